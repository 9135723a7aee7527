"""Our sheets beside the solver: the job that says the same as a network, and how far each method stands off."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from calc.families import voltage_drop
from calc.job import read_job
from calc.wiring.house import House
from calc.work import Sheet
from tests.power_flow.cases import Case
from tests.power_flow.network import Found, Wire

METHODS = ("direct-current", "effective", "exact")
CONDUIT = {"pvc": "PVC-40", "steel": "EMT"}


@dataclass(frozen=True)
class Offset:
    """How far a total drop stands off the solver's, in percent of nominal, by method."""

    case: str
    run: str
    solved_pct: float
    off_pct: dict[str, float]


def offsets(case: Case) -> list[Offset]:
    """Each run of a case: total drop from the source on, ours less the solver's."""
    found = case.network.solve()
    ours = {method: sheets(case, found, method) for method in METHODS}
    result = []
    for wire in case.network.wires:
        base = _base(case, wire)
        solved = (1 - found[wire.name].volts[case.seen[wire.name]] / base) * 100
        off = {method: _total(ours[method][wire.name]) - solved for method in METHODS}
        result.append(Offset(case.name, wire.name, solved, off))
    return result


def sheets(case: Case, found: dict[str, Found], method: str) -> dict[str, Sheet]:
    """Our sheets by run, for currents and power factors as the solver finds them."""
    text = f'[code]\nedition = "2023"\n[code.readings]\ndrop_method = "{method}"\n[job]\nname = "case"\n'
    text += "".join(_run(case, wire, found[wire.name]) for wire in case.network.wires)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        job = read_job(path)
    return {s.subject: s for s in voltage_drop.work(House.of(job))}


def _run(case: Case, wire: Wire, found: Found) -> str:
    pair = case.seen[wire.name]
    three, split = wire.conductors.startswith("ABC"), case.network.system == "split"
    multiwire = wire.name in case.multiwire
    volts = 120 if (len(wire.conductors) == 2 and "N" in wire.conductors) or multiwire else 240 if split else 208
    power_factor = found.power_factor["A:star" if pair == "AB" and three else f"{pair[0]}:{pair}"]
    lines = {
        "name": wire.name, "role": "feeder", "fed_from": wire.begins, "volts": volts, "phases": 3 if three else 1,
        "neutral": "N" in wire.conductors, "multiwire": multiwire, "calculated_a": found.amperes[pair[0]],
        "power_factor": min(max(abs(power_factor), 0.1), 1.0), "length_ft": wire.length_ft, "size": wire.size,
        "material": wire.metal, "insulation": "THWN-2", "wiring_method": CONDUIT[wire.conduit], "sets": wire.sets,
    }  # fmt: skip
    if multiwire:
        lines["neutral_a"] = found.amperes["N"]
    return "[[runs]]\n" + "".join(f"{key} = {_toml(value)}\n" for key, value in lines.items())


def _toml(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else f'"{value}"' if isinstance(value, str) else str(value)


def _base(case: Case, wire: Wire) -> float:
    if "N" in case.seen[wire.name]:
        return 120.0 if case.network.system == "split" else 208 / 3**0.5
    return 240.0 if case.network.system == "split" else 208.0


def _total(sheet: Sheet) -> float:
    assert sheet.refused is None, sheet.refused
    return sheet.value("total_drop_pct").number
