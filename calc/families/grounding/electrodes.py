"""The electrodes: whether they make a system, and the conductor of each."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.families.grounding.source import Source, at_least
from calc.job import SIZES, Electrode, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.wires import called
from calc.work import Refused, Sheet, Value, given, total

NAMES = {
    "water-pipe": "water pipe", "footing": "concrete-encased electrode", "rod": "rods", "pipe": "pipe electrodes",
    "plate": "plates", "ring": "ground ring", "structural-metal": "structural metal", "other": "other electrode",
}  # fmt: skip
MADE = ("rod", "pipe", "plate")
LENGTHS = {"rod": "rod_length", "pipe": "rod_length", "footing": "footing_length", "ring": "ring_length",
           "water-pipe": "water_pipe_length"}  # fmt: skip


def system(sheet: Sheet, house: House, electrodes: Sequence[Electrode]) -> None:
    """The checks of the electrodes together: all that are there, none alone that may not be, each long enough."""
    used = [electrode for electrode in electrodes if electrode.used]
    sheet.find(
        "electrodes_used", ", ".join(NAMES[e.kind] for e in used) or "none", cites=[house.code.cite("electrodes_all")]
    )
    number = _count(sheet, "electrodes_count", used, [house.code.cite("electrodes_all")])
    sheet.check(
        "electrode_there",
        number >= house.code["electrodes_least"],
        remedy="an electrode: a concrete-encased electrode, or two rods",
    )
    for electrode in electrodes:
        if not electrode.used:
            _unused(sheet, house, electrode, label(electrode, electrodes))
    _rods(sheet, house.code, used)
    _water_pipe(sheet, house.code, used)
    if used and all(electrode.kind not in (*MADE, "water-pipe") for electrode in used):
        sheet.find(
            "supplement",
            "none asked for",
            cites=[house.code.cite("rod_supplement"), house.code.cite("water_pipe_supplement")],
        )
    for electrode in used:
        name = label(electrode, used)
        _dimensions(sheet, house.code, electrode, name)
        if electrode.kind == "footing":
            _seen(sheet, electrode, "" if name == NAMES[electrode.kind] else name)


def conductors(sheet: Sheet, code: Codebook, source: Source, electrodes: Sequence[Electrode]) -> None:
    """The conductor of each electrode: by the table, or its own ceiling where the conductor ends there."""
    used = [electrode for electrode in electrodes if electrode.used]
    metals = list(dict.fromkeys(electrode.material for electrode in used))
    table = {
        metal: sheet.pick("electrode_table", code.row("electrode_conductor", **source.cites).text(metal), item=metal)
        for metal in metals
    }
    for electrode in used:
        name = label(electrode, used)
        least = _least(sheet, code, electrode, table[electrode.material], name)
        have = electrode.conductor or least
        ring = electrode.kind == "ring"
        sheet.find("electrode_conductor", called(have), item=name, cites=[code.cite("ring_ceiling")] if ring else [])
        if electrode.conductor is not None:
            at_least(sheet, code, "electrode", electrode.conductor, least, name)
        _metal(sheet, code, electrode, name)
        if ring:
            sheet.caution("caution_ring")
        if have in code.members("electrode_conductor_protection") and not electrode.protected:
            sheet.caution("caution_protection", electrode=name, size=called(have))
            sheet.find(
                "protection", "in a raceway or armor", item=name, cites=[code.cite("electrode_conductor_protection")]
            )


def _metal(sheet: Sheet, code: Codebook, electrode: Electrode, name: str) -> None:
    """Aluminum keeps off the earth and the concrete: it may not end where such an electrode is clamped."""
    if electrode.material == "aluminum" and electrode.kind in code.members("electrode_aluminum"):
        there = given(f"aluminum conductors to the {name}", 1, "conductor", place(electrode, "material"))
        sheet.check("aluminum_off_earth", there <= code["electrode_aluminum"], remedy="copper", item=name,
                cites=[code.cite("electrode_aluminum")])  # fmt: skip


def label(electrode: Electrode, among: Sequence[Electrode]) -> str:
    """How the sheet calls it: its kind, with a number where there are several entries of one kind."""
    alike = [other for other in among if other.kind == electrode.kind]
    name = NAMES[electrode.kind]
    return name if len(alike) == 1 else f"{name} {alike.index(electrode) + 1}"


def _least(sheet: Sheet, code: Codebook, electrode: Electrode, table: str, name: str) -> str:
    """The least size: the ceiling of the electrode, unless the conductor runs on to one that needs more."""
    own = _ceiling(sheet, code, electrode.kind, electrode.material, table, name)
    if electrode.continues_to is None:
        return own
    onward = NAMES[electrode.continues_to]
    beyond = _ceiling(sheet, code, electrode.continues_to, electrode.material, table, f"{name}, on to {onward}")
    larger = max(own, beyond, key=SIZES.index)
    sheet.find("runs_on", f"{onward}: {called(larger)}", item=name, cites=[code.cite("electrode_ceilings")])
    return larger


def _ceiling(sheet: Sheet, code: Codebook, kind: str, metal: str, table: str, name: str) -> str:
    rows = [row for row in code.rows("electrode_ceilings") if row["electrode"] == kind and row[metal]]
    if not rows or SIZES.index(rows[0][metal]) >= SIZES.index(table):
        return table
    return sheet.pick("electrode_ceiling", code.row("electrode_ceilings", electrode=kind).text(metal), item=name)


def _count(sheet: Sheet, key: str, electrodes: Sequence[Electrode], cites: Sequence[object] = ()) -> Value:
    """How many there are, rods counted one by one."""
    numbers = [given(label(e, electrodes), e.count, "electrode", read(e, "count").at) for e in electrodes]
    return sheet.line(key, total(numbers, "electrode"))


def _rods(sheet: Sheet, code: Codebook, used: Sequence[Electrode]) -> None:
    """A single rod, pipe or plate needs another beside it, unless it is measured low. A water pipe is none: it needs one.

    Where the rule was changed to count rods alone, neither a low resistance nor another electrode lets one off.
    """
    made = [electrode for electrode in used if electrode.kind in MADE]
    if not made:
        return
    alone = code.method("rod_supplement") == "rods alone"
    measured = [e for e in made if e.resistance_ohm is not None]
    if len(made) == 1 and made[0].count == 1 and measured and not alone:
        low = read(made[0], "resistance_ohm", "resistance of the rod") <= code["rod_resistance"]
        if low.holds:
            sheet.find("low_resistance", "one is enough", [low])
            return
    others = made if alone else [electrode for electrode in used if electrode.kind != "water-pipe"]
    number = _count(sheet, "with_rods_count", others)
    sheet.check(
        "rod_supplemented", number >= code["rod_supplement"], remedy="a second rod, 6 ft or more from the first"
    )


def _water_pipe(sheet: Sheet, code: Codebook, used: Sequence[Electrode]) -> None:
    if all(electrode.kind != "water-pipe" for electrode in used):
        return
    others = [electrode for electrode in used if electrode.kind != "water-pipe"]
    number = _count(sheet, "beside_water_pipe_count", others)
    sheet.check(
        "water_pipe_supplemented", number >= code["water_pipe_supplement"], remedy="two rods beside the water pipe"
    )


def _unused(sheet: Sheet, house: House, electrode: Electrode, name: str) -> None:
    """An electrode that is there but not connected."""
    existing = house.job.dwelling is not None and house.job.dwelling.status == "existing"
    if electrode.kind == "footing" and existing and electrode.accessible is False:
        sheet.find("unused_electrode", "in existing concrete, out of reach: let off", item=name,
               cites=[house.code.cite("electrodes_all")])  # fmt: skip
        return
    connected = given(f"{name} connected", 0, "electrode", read(electrode, "used").at)
    present = given(f"{name} present", electrode.count, "electrode", read(electrode, "count").at)
    sheet.check("all_used", connected >= present, remedy=f"a conductor to the {name}", item=name,
            cites=[house.code.cite("electrodes_all")])  # fmt: skip


def _measured(sheet: Sheet, electrode: Electrode, field: str, key: str, what: str, least: Value, name: str) -> None:
    """A length against the least; not shown where nobody says it."""
    if getattr(electrode, field) is None:
        sheet.unknown(key, f"the {what} ({field})", place(electrode, field), item=name, cites=least.cites)
        return
    sheet.check(key, read(electrode, field, what) >= least, remedy=f"{least.number:g} ft or more", item=name)


def _seen(sheet: Sheet, electrode: Electrode, item: str) -> None:
    """Who saw the footing electrode before the pour, since nobody can afterwards."""
    if electrode.seen_by is None:
        sheet.caution("caution_seen")
        return
    sheet.find("footing_seen", f"{electrode.seen_by}{f', {electrode.seen_on}' if electrode.seen_on else ''}", item=item)


def _dimensions(sheet: Sheet, code: Codebook, electrode: Electrode, name: str) -> None:
    if electrode.kind in LENGTHS:
        _measured(
            sheet, electrode, "length_ft", "long_enough", f"length of the {name}", code[LENGTHS[electrode.kind]], name
        )
    if electrode.kind in MADE and (electrode.count > 1 or electrode.spacing_ft is not None):
        _measured(
            sheet, electrode, "spacing_ft", "far_apart", f"distance between the {name}", code["rod_spacing"], name
        )
    if electrode.kind == "other":
        raise Refused("An electrode of kind 'other' has no rule here: have its conductor worked by hand.",
                      code.cite("electrodes_all"))  # fmt: skip
