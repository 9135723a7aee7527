"""Runs, raceways and the service: what is stated twice and differs, or earns something by an unlikely value."""

from __future__ import annotations

from calc.job.fields import field_info
from calc.job.model import Job
from calc.job.plausible.names import alike, words
from calc.job.plausible.notice import Found, Odd, live
from calc.job.wiring import Raceway

SMALL_SHARE = 0.25
"""A feeder loaded below this share of its breaker is odd. Common practice, no source."""
_RACEWAYS = field_info(Raceway, "kind").choices
_MOTORS = (
    "heat-pump", "mini-split", "air-conditioner", "furnace", "fan", "well-pump", "sump-pump", "pool-pump", "disposer",
    "hydromassage-tub", "compactor", "spa", "shop", "supplemental-heat", "other",
)  # fmt: skip


def _supply(job: Job) -> Found:
    if job.service is None or job.service.supply is None:
        return
    for run in live(job.runs):
        if run.role not in ("service", "utility"):
            continue
        buried = run.location == "buried" or run.burial_in is not None or run.wiring_method == "USE"
        if job.service.supply == "overhead" and buried and run.role == "service":
            yield Odd(job.service, "supply", f'the service run "{run.name}" is buried', "underground")
        elif job.service.supply == "underground" and run.wiring_method == "overhead":
            yield Odd(job.service, "supply", f'the run "{run.name}" is overhead', "overhead")


def _neutral(job: Job) -> Found:
    panels = {panel.name for panel in job.panels}
    for run in live(job.runs):
        whole = run.calculated_a
        if run.neutral_a == 0 and (run.neutral or run.feeds in panels):
            yield Odd(run, "neutral_a", "it has a neutral, and no load on it", "left out, to have it worked out")
        elif run.neutral_a is not None and whole is not None and run.neutral_a > whole:
            yield Odd(run, "neutral_a", f"above the whole load of {whole:g} A")
        elif run.neutral_a is not None and whole is not None and run.feeds in panels and run.neutral_a < whole / 10:
            yield Odd(run, "neutral_a", f"less than a tenth of the load of {whole:g} A", f"{run.neutral_a * 10:g} A")


def _load(job: Job) -> Found:
    kinds = {load.name: {load.kind} for load in job.loads}
    kinds |= {circuit.name: {load.kind for load in job.loads_on(circuit.name)} for circuit in job.circuits}
    for run in live(job.runs):
        if (
            run.role == "feeder"
            and run.calculated_a
            and run.breaker_a
            and run.calculated_a < SMALL_SHARE * run.breaker_a
        ):
            odd = f"less than a quarter of its breaker of {run.breaker_a} A"
            yield Odd(run, "calculated_a", odd, f"{run.calculated_a * 10:g} A")
        on_it = kinds.get(run.feeds or "", set())
        if run.motor_or_hvac and on_it and not on_it & set(_MOTORS):
            yield Odd(run, "motor_or_hvac", f"{run.feeds} is neither a motor nor air conditioning", "no")
        if run.phases == 3 and job.service is not None and job.service.phases == 1:
            yield Odd(run, "phases", "the service has one phase", "1")


def _ends(job: Job) -> Found:
    """A run whose role, or whose name, does not fit what it feeds."""
    panels, circuits = {p.name for p in job.panels}, {c.name for c in job.circuits}
    named = [*panels, *circuits, *(load.name for load in job.loads)]
    fed = {run.feeds for run in job.runs}
    for run in live(job.runs):
        if run.role == "branch" and run.feeds in panels:
            yield Odd(run, "role", f"it feeds the panel {run.feeds}", "feeder")
        elif run.role == "feeder" and run.feeds in circuits:
            yield Odd(run, "role", f"it feeds the circuit {run.feeds}", "branch")
        elif run.role == "feeder" and run.fed_from == "utility" and job.service is not None and run.feeds in panels:
            yield Odd(run, "role", "it begins at the utility", "service")
        elif run.role == "service" and run.fed_from in panels:
            yield Odd(run, "role", f"it begins at the panel {run.fed_from}", "feeder")
        if run.feeds is None and run.role in ("feeder", "branch"):
            near = [
                n for n in named if n not in fed and (alike(run.name, n) or (words(n) and words(n) <= words(run.name)))
            ]
            if near:
                yield Odd(run, "feeds", f'"{near[0]}" is called alike and no run feeds it', f"{near[0]}")


def _surroundings(job: Job) -> Found:
    raceways = {raceway.name: raceway for raceway in job.raceways}
    for run in live(job.runs):
        if run.burial_in and run.location not in ("buried", "wet") and run.role != "utility":
            yield Odd(run, "location", f"{run.burial_in:g} in of earth lie over it", "buried")
        if run.above_roof_in is not None and run.location != "rooftop":
            yield Odd(run, "location", f"it lies {run.above_roof_in:g} in above a roof", "rooftop")
        for key in ("terminations_from_c", "terminations_to_c"):
            if getattr(run, key) == 90:
                yield Odd(run, key, "terminals of breakers and equipment are marked 60 or 75 °C as a rule", "75 °C")
        raceway = raceways.get(run.raceway or "")
        if raceway is None:
            continue
        if raceway.length_ft and run.length_ft and raceway.length_ft > 1.1 * run.length_ft:
            yield Odd(raceway, "length_ft", f'longer than its run "{run.name}" of {run.length_ft:,g} ft')
        if len({run.wiring_method, raceway.kind} & {*_RACEWAYS}) == 2:  # a wireway goes with any
            yield Odd(run, "wiring_method", f'its raceway "{raceway.name}" is {raceway.kind}', f"{raceway.kind}")


RULES = (_supply, _neutral, _load, _ends, _surroundings)
