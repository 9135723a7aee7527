"""What lies in a raceway: conductors and cables of the job, kind by kind, each with its count."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from calc.codebook import Codebook
from calc.families.feeder import run_sheet
from calc.job import SIZES, Conductors, Raceway, Run, place
from calc.wiring.house import House
from calc.wiring.tree import live_runs
from calc.wiring.wires import Wires, called, wires
from calc.work import Missing, Sheet, Value, given

FORMS = ("insulated", "compact", "bare", "cable")


@dataclass(frozen=True)
class Kind:
    """Conductors of one size and build, or cables.

    ``insulation`` is the group of the conductor tables, ``label`` what the first of them is called.
    """

    form: str
    size: str
    insulation: str
    label: str = field(compare=False)


Held = dict[Kind, list[Value]]  # how many of each kind, by where the job names them


def held(sheet: Sheet, house: House, of: Raceway | Run) -> Held:
    """Everything in a raceway of the job, or in the raceway that a run has to itself, the largest first."""
    found: Held = {}
    for kind, count in _all(sheet, house, of):
        found.setdefault(kind, []).append(count)
    if not found:
        raise Missing("Nothing is said to be in this raceway: list it in holds, or name the raceway in [[runs]].",
                      at=place(of, "holds" if isinstance(of, Raceway) else "cable"))  # fmt: skip
    return {kind: found[kind] for kind in sorted(found, key=_order)}


def _order(kind: Kind) -> tuple[int, int]:
    return FORMS.index(kind.form), -SIZES.index(kind.size) if kind.size else 0


def _all(sheet: Sheet, house: House, of: Raceway | Run) -> Iterator[tuple[Kind, Value]]:
    if isinstance(of, Run):
        yield from _of_run(sheet, house, of, compact=False, sets=1)
        return
    for number, entry in enumerate(of.holds, 1):
        yield from _of_entry(house.code, entry, f"{place(of, 'holds')}[{number}]", of.compact, 1)
    for run in house.told(live_runs):
        if run.raceway == of.name:
            yield from _of_run(sheet, house, run, of.compact, run.sets)


def _of_entry(code: Codebook, entry: Conductors, at: str, compact: bool, sets: int) -> Iterator[tuple[Kind, Value]]:
    """The kinds in one entry such as '3 x 6 THHN + 10 ground'; grounds have the insulation of their set."""
    if entry.cable:
        yield Kind("cable", "", "", "cable"), given(f"'{entry.text}'", entry.count * sets, "", at)
        return
    if (entry.wires or entry.ground) and not entry.kind:
        raise Missing(
            f"'{entry.text}' names no insulation: without it there is no area. Write such as '3 x 6 THWN-2'.", at=at
        )
    named = entry.kind if entry.covered else f"{entry.kind} without covering"
    for sizes, metal, role in ((entry.wires, entry.material, ""), (entry.ground, entry.ground_material, " ground")):
        for size in dict.fromkeys(sizes):
            form = "compact" if compact and metal == "aluminum" else "insulated"
            count = sizes.count(size) * entry.count * sets
            yield _kind(code, form, size, named), given(f"{called(size)}{role} of '{entry.text}'", count, "", at)
    for size in dict.fromkeys(entry.bare):
        count = entry.bare.count(size) * entry.count * sets
        yield Kind("bare", size, "", f"{called(size)} bare"), given(f"{called(size)} of '{entry.text}'", count, "", at)


def _kind(code: Codebook, form: str, size: str, insulation: str) -> Kind:
    group = code.row("insulation_group", insulation=insulation).text("group").text
    compact = " compact" if form == "compact" else ""
    return Kind(form, size, group, f"{called(size)} {insulation}{compact}")


def _of_run(sheet: Sheet, house: House, run: Run, compact: bool, sets: int) -> Iterator[tuple[Kind, Value]]:
    """The conductors of a run: as its cable says, or as its sheet of conductors finds them."""
    w = house.told(wires, run)
    if w.cable:
        name = f"'{run.cable.text}' of {run.name}" if run.cable else f"{w.cable} cable of {run.name}"
        yield Kind("cable", "", "", "cable"), given(name, sets, "", place(run, "cable"))
    elif run.cable is not None:
        yield from _of_entry(house.code, run.cable, place(run, "cable"), compact, sets)
    else:
        yield from _sized(sheet, house, run, w, compact, sets)


def _sized(
    sheet: Sheet, house: House, run: Run, wires: Wires, compact: bool, sets: int
) -> Iterator[tuple[Kind, Value]]:
    worked = run_sheet(house, run)
    if worked.refused is not None:
        raise worked.refused.under(f"{run.name} is {worked.refused.status} on its sheet of conductors: ")
    found = worked.results
    sizes = [("size", wires.ungrounded, "ungrounded"), ("neutral_size", int(wires.neutral), "neutral"),
             ("equipment_ground_size", 1, "ground")]  # fmt: skip
    stated = []
    form = "compact" if compact and wires.metal == "aluminum" else "insulated"  # of its ground too, of the same metal
    for key, number, role in sizes:
        size = str(found.get(key, "")).split(" ")[0]
        if number and size in SIZES:
            stated.append(f"{number} x {called(size)} {role}")
            yield (
                _kind(house.code, form, size, wires.insulation),
                given(f"{role} of {run.name}", number * sets, "", place(run)),
            )
    sheet.find("run_conductors", f"{', '.join(stated)}, {wires.insulation}", item=run.name)
