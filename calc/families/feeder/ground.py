"""The equipment grounding conductor: by the breaker, and larger where the circuit is larger than it has to be."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.feeder.sizing import Sizing
from calc.job import SIZES, place
from calc.wiring.ampacity import area
from calc.wiring.conditions import MET
from calc.wiring.house import House
from calc.wiring.tree import old_three_wire
from calc.wiring.wires import called, made
from calc.work import Refused, Sheet, Value, given


def equipment_ground(house: House, sizing: Sizing, size: str) -> None:
    """Print the equipment grounding conductor of a feeder or branch circuit, and check the one that is there."""
    s, code, run = sizing.sheet, sizing.code, sizing.run
    if run.role == "service":
        return
    if old_three_wire(house, run):
        s.find("equipment_ground_size", "none: an existing feed that stays", cites=[code.cite("building_three_wire")])
        return
    if run.equipment_ground == "raceway" or sizing.wires.cable == "AC":
        _of_metal(sizing)
        return
    have = _given(sizing, size)
    if run.equipment_ground == "none" or have == "":
        count = given("equipment grounding conductors in it", 0, "conductor", "")
        one = given("equipment grounding conductors needed", 1, "conductor", "")
        s.check("equipment_ground_present", count >= one, remedy="a run with an equipment grounding conductor",
                cites=[code.cite("equipment_ground_required")])  # fmt: skip
        return
    least = _least(sizing, size)
    if have is None:
        s.find("equipment_ground_size", called(least))
        return
    s.find("equipment_ground_size", called(have))
    if have not in SIZES:
        have = str(int(have) + 1)
        s.remark("note_odd_ground", taken=called(have))
    own = area(s, code, have, "equipment_ground_own_cmil")
    need = area(s, code, least, "equipment_ground_needed_cmil")
    s.check("equipment_ground_serves", own >= need, remedy=f"an equipment grounding conductor of {called(least)}",
            called=(called(have), called(least)))  # fmt: skip


def _of_metal(sizing: Sizing) -> None:
    """A raceway or an armor that is itself the equipment grounding conductor."""
    method = sizing.run.wiring_method or sizing.wires.cable
    if method in sizing.code.members("raceway_nonmetallic"):
        cites = [sizing.code.cite("equipment_ground_required"), sizing.code.cite("raceway_nonmetallic")]
        metal = given(f"{method} is of metal", 0, "condition", place(sizing.run, "equipment_ground"))
        sizing.sheet.check(
            "equipment_ground_of_metal", metal >= MET, remedy="an equipment grounding conductor in it", cites=cites
        )
        return
    if method not in sizing.code.members("raceway_as_ground"):
        raise Refused(
            f"{sizing.run.name}: {method or 'no raceway'} is not taken as equipment grounding conductor here; "
            f"{', '.join(sorted(sizing.code.members('raceway_as_ground')))} may serve, else run a wire.",
            sizing.code.cite("raceway_as_ground"),
        )
    sizing.sheet.find("equipment_ground_size", f"the {method} itself", cites=[sizing.code.cite("raceway_as_ground")])


def _given(sizing: Sizing, size: str) -> str | None:
    """The ground that is there: '' where a cable or set has none, None where it is to be worked out."""
    run, said = sizing.run, sizing.wires.given
    if run.ground_size:
        return run.ground_size
    if said is not None:
        return said.ground_size or (said.bare[0] if said.bare else "")
    if sizing.wires.cable:
        return next((cable.ground_size for cable in made(sizing.wires) if cable.size == size), None)
    return None


def _least(sizing: Sizing, size: str) -> str:
    """The least ground in each set: the table's, grown where the circuit has grown, no larger than the circuit."""
    s, code, w = sizing.sheet, sizing.code, sizing.wires
    rating = s.line("equipment_ground_row_a", code.at_least("equipment_ground", sizing.needed.breaker))
    cites = [code.cite("equipment_ground_parallel")] if sizing.run.sets > 1 else []
    table = s.pick(
        "equipment_ground_table", code.row("equipment_ground", rating_a=rating).text(w.ground_metal), cites=cites
    )
    needed = _grown(sizing, size, table) or table
    if w.ground_metal == w.metal and SIZES.index(needed) > SIZES.index(size):
        s.find("equipment_ground_cap", called(size), cites=[code.cite("equipment_ground_cap")])
        return size
    return needed


def _grown(sizing: Sizing, size: str, table: str) -> str | None:
    """The ground in proportion to an enlarged circuit; None where the circuit is no larger than it has to be."""
    s, code = sizing.sheet, sizing.code
    cite = code.cite("equipment_ground_increase")
    any_increase = code.method("equipment_ground_increase") == "any increase"
    smallest = (sizing.uncorrected() if any_increase else sizing).smallest
    if smallest is None or SIZES.index(smallest) >= SIZES.index(size):
        return None
    s.find("least_size", called(smallest), cites=[cite])
    base = area(s, code, smallest, "least_cmil")
    installed = area(s, code, size, "installed_cmil")
    start = area(s, code, table, "equipment_ground_table_cmil")
    needed = s.line("equipment_ground_cmil", start * installed / base, cites=[cite])
    return _next_size(s, code, needed)


def _next_size(sheet: Sheet, code: Codebook, needed: Value) -> str:
    """The next size with that area, strictly; where a few circular mils decide, the other reading stands beside."""
    listed = list(dict.fromkeys(row["size"] for row in code.rows("conductor_properties")))
    exact = [size for size in listed if _cmil(code, size) >= needed.number]
    if not exact:
        raise Refused("The equipment grounding conductor would be larger than the conductor table.",
                      code.cite("conductor_properties"))  # fmt: skip
    strict = area(sheet, code, exact[0], "equipment_ground_strict_cmil")
    sheet.find("equipment_ground_strict", called(exact[0]), [strict >= needed])
    below = listed[listed.index(exact[0]) - 1]
    lenient = needed - code["area_forgiveness"]
    if _cmil(code, below) >= lenient.number:
        least = sheet.line("equipment_ground_lenient_cmil", lenient)
        other = area(sheet, code, below, "equipment_ground_forgiven_cmil")
        sheet.find("equipment_ground_forgiven", called(below), [other >= least])
        sheet.remark("note_forgiven", strict=called(exact[0]), lenient=called(below))
    return exact[0]


def _cmil(code: Codebook, size: str) -> float:
    return next(float(row["cmil"]) for row in code.rows("conductor_properties") if row["size"] == size)
