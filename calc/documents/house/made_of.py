"""What a run or a circuit is made of, in the words of the trade: conductors, equipment ground, the way that it takes."""

from __future__ import annotations

from calc.documents.house import amounts
from calc.documents.house.found import word
from calc.job import Conductors, Run
from calc.wiring.wires import called
from calc.work import Sheet

METALS = {"copper": "Cu", "aluminum": "Al"}
NOT_STATED = "not stated"
MARKED = {"wet": "wet places", "direct-burial": "direct burial"}
PLACES = {"dry": "", "dry-throughout": "", "rooftop": "on the roof"}


def conductors(run: Run, sheet: Sheet | None) -> str:
    """'2 sets of 4/0 Al XHHW-2, neutral 1/0', '10/2 NM'; a size that is neither stated nor worked is said to be missing."""
    if run.cable:
        return _sets(run) + cable_text(run.cable)
    neutral = trade_size(word(sheet, "neutral_size"))
    return ungrounded(run, sheet) + (f", neutral {neutral}" if neutral[:1].isdigit() else "")


def ungrounded(run: Run, sheet: Sheet | None) -> str:
    """'2 sets of 4/0 Al XHHW-2', '10/2 NM', '4/0 Al SER': what there is room for on a schedule."""
    if run.cable and "-" not in run.cable.text:
        return _sets(run) + cable_text(run.cable)
    size = trade_size(word(sheet, "size")) or trade_size(called(run.given_size) if run.given_size else "")
    if not size:
        return NOT_STATED
    metal = run.metal or word(sheet, "conductors").partition(", ")[0]
    kind = run.insulation or run.wiring_method or (run.cable.kind if run.cable else "")
    return " ".join(part for part in (f"{_sets(run)}{size}", METALS.get(metal, metal), kind) if part)


def _sets(run: Run) -> str:
    return f"{run.sets} sets of " if run.sets > 1 else ""


def cable_text(cable: Conductors) -> str:
    """A cable as the trade says it: '12/2 NM'; a set, conductor by conductor, after its kind, so that it can take two lines."""
    metal = "" if cable.material == "copper" else METALS.get(cable.material, cable.material)
    if not cable.cable:
        return cable.text
    if len(set(cable.wires)) == 1 and "-" not in cable.text:
        bare = "" if cable.ground or cable.bare else "no ground"
        return " ".join(part for part in (f"{cable.size}/{len(cable.wires)}", cable.kind, metal, bare) if part)
    return " ".join(part for part in (cable.kind, metal, "-".join((*cable.wires, *cable.ground, *cable.bare))) if part)


def trade_size(size: str) -> str:
    """A conductor size as it is said: '4/0' for '4/0 AWG', '250 kcmil'."""
    return size.removesuffix(" AWG")


def ground(run: Run, sheet: Sheet | None) -> str:
    """The equipment grounding conductor: its size, the raceway that serves as one, or that there is none."""
    size = trade_size(word(sheet, "equipment_ground_size"))
    if size[:1].isdigit():
        return size
    if run.role in ("service", "utility"):
        return "none"  # ahead of the service disconnect the neutral bonds
    if run.equipment_ground == "wire" and run.cable is not None and not (run.cable.ground or run.cable.bare):
        return "none"
    return {"raceway": "raceway", "none": "none"}.get(run.equipment_ground, NOT_STATED)


def way(run: Run) -> str:
    """'PVC-40, buried 24 in, 35 ft', 'NM, attic, 113 °F, in insulation, 40 ft'."""
    kind = run.wiring_method or (run.cable.kind if run.cable is not None and run.cable.cable else "") or ""
    place = PLACES.get(run.location, run.location)
    if run.location == "buried" and run.burial_in is not None:
        place = f"buried {run.burial_in:g} in"
    parts = (
        kind,
        f"marked for {MARKED[run.marked_for]}" if run.marked_for in MARKED else "",
        place,
        f"{run.ambient_f:g} °F" if "ambient_f" in run.model_fields_set else "",
        "in insulation" if run.in_insulation else "",
        f"{run.cables_bundled} bundled" if run.cables_bundled > 1 else "",
        f"{amounts.feet(run.length_ft)} ft" if run.length_ft else "length not stated",
    )
    return ", ".join(part for part in parts if part)
