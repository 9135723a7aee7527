"""Loads whose entries contradict one another: voltage, nameplate, what they run on and whom they serve."""

from __future__ import annotations

from collections.abc import Iterator

from calc.job.loads import COOKING, Load
from calc.job.model import Job
from calc.job.plausible.notice import Found, Odd, live
from calc.job.plausible.usual import usual_of

MOST_AT_120_A = 24
"""What a 30 A circuit carries for hours: nothing larger is made for 120 V. Common practice, no source."""
NEAR = 1.7
"""How far two currents of one nameplate may lie apart. Common practice, no source."""
VA_OF_HP = (600, 4600)
"""Volt-amperes of one horsepower, from large motors to small ones. Common practice, no source."""
_SEVERAL = ("shop", "other")  # may stand for much that is on many circuits
_SMALL = ("dishwasher", "disposer", "microwave", "hood", "compactor", "sump-pump")
_COMPRESSORS = ("heat-pump", "mini-split", "air-conditioner")
_PUMPS = ("well-pump", "sump-pump", "pool-pump", "disposer")
_HEATING = ("space-heat", "supplemental-heat", "furnace", "boiler")
_CLIMATE = (*_COMPRESSORS, *_HEATING)


def _voltage(job: Job) -> Found:
    for load in live(job.loads):
        usual = usual_of(load, "loads.va")
        if usual is not None and load.va > usual.high:
            continue  # the rating is the odd one
        if load.volts == 120 and load.kind not in _SEVERAL and load.va / 120 > MOST_AT_120_A:
            yield Odd(load, "volts", f"{load.va:,g} VA are {load.va / 120:,.4g} A at 120 V", "240 or 208 V")
        elif load.volts != 120 and load.kind in _SMALL:
            yield Odd(load, "volts", f"a {_kind(load)} is made for 120 V as a rule", "120 V")
        elif load.volts != 120 and load.fuel_burning:
            yield Odd(
                load, "fuel_burning", f"{load.volts} V, where a blower and controls take 120 V", "an electric one"
            )


def _nameplate(job: Job) -> Found:
    """Load, minimum circuit and motor of one nameplate: where two agree, the third is the odd one."""
    for load in live(job.loads):
        said = dict(_currents(load))
        apart = [
            key for key in said if not any(_near(said[key], said[other]) for other in said if other != key)
        ] if len(said) > 1 else []  # fmt: skip
        if not apart:
            continue
        key = apart[0]
        others = [_current_said(load, other, said[other]) for other in said if other != key]
        amperes = next(said[other] for other in said if other != key)
        likely = f"about {_two_digits(amperes * load.volts):,g} VA" if key == load.rated_by else ""
        yield Odd(load, key, f"about {said[key]:,.3g} A, while {' and '.join(others)}", likely)


def _currents(load: Load) -> Iterator[tuple[str, float]]:
    """The full-load current by each entry of the nameplate that tells it."""
    yield load.rated_by, load.va / load.volts
    if load.mca_a is not None:
        yield "mca_a", load.mca_a / 1.25 if load.kind in _COMPRESSORS else load.mca_a / 1.1
    if load.motor_a is not None and load.kind in (*_COMPRESSORS, *_PUMPS):
        yield "motor_a", load.motor_a


def _current_said(load: Load, key: str, amperes: float) -> str:
    words = {"mca_a": "minimum circuit", "motor_a": "motor"}.get(key, "load")
    return f"its {words} makes about {amperes:,.3g} A"


def _near(one: float, other: float) -> bool:
    return max(one, other) <= NEAR * min(one, other)


def _two_digits(value: float) -> float:
    return float(f"{value:.2g}")


def _motors(job: Job) -> Found:
    low, high = VA_OF_HP
    for load in live(job.loads):
        hp = load.motor_hp
        if hp is not None and (load.va < low * hp or (load.kind in _PUMPS and load.va > high * hp)):
            yield Odd(load, "motor_hp", f"beside {load.va:,g} VA; one horsepower takes {low:,} to {high:,} VA")
        elif load.kind in (*_COMPRESSORS, *_PUMPS):
            continue  # the motor is the load, which is compared with all of the nameplate
        elif load.motor_a is not None and load.motor_a > NEAR * load.va / load.volts:
            whole = f"beside {load.va / load.volts:,.3g} A for the whole load"
            yield Odd(load, "motor_a", f"{whole}, which its largest motor is part of")


def _settings(job: Job) -> Found:
    for load in live(job.loads):
        if load.setting_a is not None and load.setting_a * load.volts > 1.05 * load.va:
            made = load.setting_a * load.volts
            yield Odd(
                load,
                load.rated_by,
                f"set to {load.setting_a:g} A, which is {made:,g} VA at {load.volts} V",
                f"{made:,g} VA",
            )
        if load.mca_a is not None and load.mocp_a is not None and load.mocp_a < load.mca_a:
            yield Odd(load, "mocp_a", f"below the minimum circuit of {load.mca_a:g} A", "the two exchanged")
        if load.connected_by == "hardwired" and (load.cord_in is not None or load.receptacle_at is not None):
            yield Odd(load, "connected_by", "a cord or its receptacle is stated", "cord")


def _panels(job: Job) -> Found:
    """A load on another panel than its circuit."""
    circuits = {circuit.name: circuit for circuit in job.circuits}
    for load in live(job.loads):
        circuit = circuits.get(load.circuit or load.name)
        if circuit is None:
            continue
        if load.panel and circuit.panel and load.panel != circuit.panel:
            likely = circuit.panel
            yield Odd(load, "panel", f'its circuit "{circuit.name}" starts from {circuit.panel}', likely)


def _on_none(job: Job) -> Found:
    """A load without a circuit, in a panel whose other loads have theirs."""
    drawn = {circuit.panel for circuit in live(job.circuits)} & {load.panel for load in job.loads if load.circuit}
    fed = {run.feeds for run in live(job.runs)} | {circuit.name for circuit in job.circuits}
    outlets = {outlet for circuit in live(job.circuits) for outlet in circuit.outlets}
    for load in live(job.loads):
        if load.circuit or load.name in fed or load.panel not in drawn or load.status == "existing":
            continue
        if load.kind == "fan" and load.volts == 120 and outlets & {"fan", "lighting"}:
            continue  # bath fans stand on circuits as outlets
        yield Odd(load, "circuit", f"other loads of {load.panel} have their circuits")


def _serving(job: Job) -> Found:
    if job.dwelling is None or job.dwelling.kind == "one-family":
        return
    units = {panel.name for panel in job.panels if panel.unit_group}
    service = {panel.name for panel in job.panels if panel.service_equipment}
    for load in live(job.loads):
        if load.serves == "house" and (load.kind in (*COOKING, "dishwasher", "disposer") or load.panel in units):
            where = f"on {load.panel}, a panel of units" if load.panel in units else f"a {_kind(load)} is a unit's own"
            yield Odd(load, "serves", where, "unit")
        elif load.serves == "unit" and load.panel in service and units:
            yield Odd(load, "serves", f"on {load.panel}, which serves the house", "house")


def _heat(job: Job) -> Found:
    """A heat pump with no other heat, where every other sort of equipment of the house is listed; blowers left alone."""
    loads = list(live(job.loads))
    if any(load.kind in _HEATING for load in loads) or not any(load.panel for load in loads):
        return
    for load in loads:
        if load.kind == "heat-pump":
            yield Odd(load, "kind", "no strip heat or other heat is listed beside it", "strip heat is forgotten")


def _beside(job: Job) -> Found:
    kinds = {load.name: load.kind for load in job.loads}
    for load in live(job.loads):
        other = next((name for name in load.runs_with if kinds[name] not in (*_CLIMATE, "fan")), None)
        if other:
            yield Odd(load, "runs_with", f'"{other}" neither heats nor cools the house')
        if load.locked_out_by and set(load.locked_out_by) & set(load.runs_with):
            yield Odd(load, "runs_with", "it is locked out by the same load")


def _kind(load: Load) -> str:
    return load.kind.replace("-", " ")


RULES = (_voltage, _settings, _nameplate, _motors, _panels, _on_none, _serving, _heat, _beside)
