"""What lowers the ampacity of a run: temperatures of insulation, terminals and air, and other conductors beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calc.codebook import Codebook
from calc.job import Raceway, Run, place
from calc.wiring.house import House
from calc.wiring.reading import read
from calc.wiring.way import Way, way
from calc.wiring.wires import Wires, sets_of, wires
from calc.work import IN_PER_FT, Citation, Refused, Sheet, Value, constant, given, root, smaller, total, whole

PLACES = {"dry": "dry", "attic": "dry", "damp": "damp", "wet": "wet", "buried": "wet", "rooftop": "wet"}
WET = {"buried": ("buried_is_wet",), "rooftop": ("outdoors_is_wet",), "wet": ("outdoors_is_wet",)}
"""The rules by which a place counts as wet."""
ONLY_BURIED = "raceway_only_buried"
KEPT_FROM = {
    "raceway_not_buried": ("buried",),
    "raceway_not_wet": ("wet", "rooftop"),
    ONLY_BURIED: ("dry", "damp", "attic", "wet", "rooftop"),
}
"""Where a raceway of each rule's members may not lie."""
MARKINGS = ("wet", "direct-burial")
"""What a cable may be marked for: each holds for what stands before it, too."""
MET = constant("condition to be met", 1, "condition")
FREEZING = constant("freezing point", 32, "°F")
F_PER_C = constant("°F per °C", 1.8, "°F/°C")


@dataclass(frozen=True)
class Conditions:
    """How the ampacity of any size is found where the run lies.

    ``limit_c`` is the column that the result may not pass, ``limited_by`` says what sets it. ``share`` is None in a
    nipple, where the number of conductors lowers nothing.
    """

    insulation_c: Value
    limit_c: Value
    limited_by: str
    factor: Value
    share: Value | None
    sets: Value
    limit_cites: tuple[Citation, ...]

    @property
    def corrected(self) -> bool:
        """Whether anything but the size and the terminals plays a part."""
        return self.factor.number != 1 or (self.share is not None and self.share.number != 100)


def conditions(sheet: Sheet, house: House, run: Run, wires: Wires, breaker: Value) -> Conditions:
    """Print and return the conditions of a run."""
    sheet.find("conductors", f"{wires.metal}, {wires.kind}")
    lies = along(sheet, house, run, wires)
    insulation, cable = _insulation(sheet, house.code, run, wires, lies)
    terminals = _terminals(sheet, house.code, run, breaker)
    cites = (
        house.code.cite("terminal_limit"),
        *([house.code.cite(f"cable_{wires.cable.lower()}")] if wires.cable else []),
    )
    limits = [insulation, terminals] + ([cable] if cable is not None else [])
    limit = sheet.line("limit_c", smaller(*limits), cites=cites)
    limited_by = "the terminals"
    if cable is not None and cable.number == limit.number:
        limited_by = f"{wires.cable} cable"
    elif limit.number < terminals.number:
        limited_by = "the insulation"
    elif run.terminations_from_c is None or run.terminations_to_c is None:
        sheet.remark("note_unmarked_terminals")
    factor = _ambient(sheet, house.code, run, wires, insulation)
    share = _adjustment(sheet, house, run, wires)
    return Conditions(insulation, limit, limited_by, factor, share, sets_of(run), cites)


def along(sheet: Sheet, house: House, run: Run, wires: Wires) -> str:
    """Where the run lies, as the tables have it. A way that isn't known is taken as wet by a type that stands it."""
    lies = way(house, run)
    _raceway_fits(sheet, house, run, wires, lies)
    if lies.known:
        if lies.outdoors:
            sheet.remark("note_dry_throughout", ends=lies.outdoors)
        return lies.location
    if stands_wet(house.code, wires):
        return "wet"
    unknown_way(sheet, house.code, run, wires, lies, place(run, "location"))
    return lies.location


def _raceway_fits(sheet: Sheet, house: House, run: Run, wires: Wires, lies: Way) -> None:
    """Check that the raceway may lie there, printed where it may not, or where nobody says what or where it is."""
    kind: str | None = run.wiring_method or next(
        (each.kind for each in house.job.raceways if each.name == run.raceway), None
    )
    rule = next(
        (rule for rule, spots in KEPT_FROM.items() if lies.location in spots and kind in house.code.members(rule)), None
    )
    if kind is None and not wires.cable:
        missing = f"the raceway around the {wires.kind} conductors of {run.name} (wiring_method)"
        sheet.unknown("raceway_fits_place", missing=missing, at=place(run, "wiring_method"))
    elif rule == ONLY_BURIED and "location" not in run.model_fields_set:
        missing = f"where {run.name} lies: {kind} is for the earth alone (location)"
        sheet.unknown("raceway_fits_place", missing=missing, at=place(run, "location"), cites=[house.code.cite(rule)])
    elif rule is not None:
        fits = given(f"{kind} may lie in a {lies.location} place", 0, "condition", place(run, "wiring_method"))
        sheet.check("raceway_fits_place", fits >= MET, remedy="a raceway that is made for it, such as PVC-40",
                cites=[house.code.cite(rule)])  # fmt: skip
    elif not lies.known and kind in house.code.members("raceway_not_wet"):
        missing = f"where {run.name} lies all along: {lies.outdoors} is outdoors, and {kind} is for dry places"
        cites = [house.code.cite("outdoors_is_wet"), house.code.cite("raceway_not_wet")]
        sheet.unknown("raceway_fits_place", missing=missing, at=place(run, "location"), cites=cites)


def stands_wet(code: Codebook, wires: Wires) -> bool:
    """Whether the cable or insulation is made for wet places."""
    return made_for(code, wires, "wet")


def unknown_way(sheet: Sheet, code: Codebook, run: Run, wires: Wires, lies: Way, at: str) -> None:
    """Say that a type for dry places may lie where it gets wet, since an end is outdoors."""
    cites = [code.cite("outdoors_is_wet"), code.cite(_rule(wires))]
    missing = f"where {run.name} lies all along: {lies.outdoors} is outdoors, and {wires.kind} is for dry places"
    sheet.unknown("way_known", missing=missing, at=at, cites=cites)


def fits_place(sheet: Sheet, code: Codebook, run: Run, wires: Wires, lies: str) -> None:
    """Check that the type may lie there, printed where it may not, or where nobody says what its marking is for."""
    if made_for(code, wires, lies):
        if needed := _marking(code, wires, lies):
            sheet.remark("note_marked_for", kind=wires.kind, marking=needed)
        return
    cites = (code.cite(_rule(wires)), *(code.cite(rule) for rule in WET.get(lies, ())))
    if not wires.marked_for and (needed := _marking(code, wires, lies)):
        sheet.unknown("type_fits_place", f"whether {run.name} is {wires.cable} cable marked for {needed} (marked_for)",
                      place(run, "marked_for"), cites=cites)  # fmt: skip
        return
    inside = f" in {run.wiring_method}" if wires.cable and run.wiring_method not in (None, wires.cable) else ""
    fits = given(f"{wires.kind}{inside} is made for a {lies} place", 0, "condition", place(run, "location"))
    sheet.check("type_fits_place", fits >= MET, remedy=_suitable(code, wires, lies), cites=cites)
    sheet.remark("note_out_of_place", kind=wires.kind, place=lies)


def _suitable(code: Codebook, make: Wires, lies: str) -> str:
    """What may lie there: cables, and some of the insulations that are best there."""
    by_temperature = {row["insulation"]: float(row[f"{PLACES[lies]}_c"] or 0) for row in code.rows("insulations")}
    best = max(by_temperature.values())
    wires = " or ".join([name for name, celsius in by_temperature.items() if celsius == best][:2])
    if not make.cable:
        return f"a type made for it, such as {wires}"
    cables = dict.fromkeys(
        row["cable"] for row in code.rows(_rule(make)) if row["location"] == _spot(make, lies) and not row["marked"]
    )
    return f"{' or '.join(cables)} cable, or single conductors such as {wires} in a raceway"


def _rule(wires: Wires) -> str:
    """The rule that says where the type may lie and how hot it may get."""
    return f"cable_{wires.cable.lower()}" if wires.cable else "insulations"


def _spot(wires: Wires, lies: str) -> str:
    """What the tables call the place: they know no roofs, and of insulation only how wet it is."""
    return PLACES[lies] if not wires.cable or lies == "rooftop" else lies


def made_for(code: Codebook, wires: Wires, lies: str) -> bool:
    """Whether the cable or insulation may lie in such a place, as far as its name tells."""
    spot = _spot(wires, lies)
    if not wires.cable:
        return code.row("insulations", insulation=wires.insulation).has(f"{spot}_c")
    needed = _marking(code, wires, lies)
    return needed == "" or (needed is not None and wires.marked_for in MARKINGS[MARKINGS.index(needed) :])


def _marking(code: Codebook, wires: Wires, lies: str) -> str | None:
    """The marking with which a cable may lie there, '' where it needs none, None where it may not or is no cable."""
    if not wires.cable:
        return None
    here = (wires.cable, _spot(wires, lies))
    return next((row["marked"] for row in code.rows(_rule(wires)) if (row["cable"], row["location"]) == here), None)


def _insulation(sheet: Sheet, code: Codebook, run: Run, wires: Wires, lies: str) -> tuple[Value, Value | None]:
    """Temperature of the insulation where the run lies and, of a cable, the column that it keeps to.

    A type that may not lie there is worked as in the place that it is made for, so that the rest of the sheet is known.
    """
    fits_place(sheet, code, run, wires, lies)
    cites = [code.cite(rule) for rule in WET.get(lies, ())]
    spot = next(_spot(wires, each) for each in (lies, "dry", "wet") if made_for(code, wires, each))
    if not wires.cable:
        row = code.row("insulations", insulation=wires.insulation)
        return sheet.line("insulation_c", row[f"{spot}_c"], cites=cites), None
    row = code.row(_rule(wires), cable=wires.cable, location=spot)
    keeps = "in_insulation_c" if run.in_insulation else "limit_c"
    return sheet.line("insulation_c", row["insulation_c"]), sheet.line("cable_c", row[keeps])


def _terminals(sheet: Sheet, code: Codebook, run: Run, breaker: Value) -> Value:
    """The coolest terminal of both ends; an unmarked one by the rating of the circuit."""
    stated = []
    for field, where in (("terminations_from_c", "where it begins"), ("terminations_to_c", "where it ends")):
        at = getattr(run, field)
        if at == 90:
            raise Refused(
                f"{run.name} states 90 °C terminals {where}: breakers, panels and devices of a dwelling have terminals "
                "of 60 or 75 °C. The 90 °C column serves only as the start of correction.",
                code.cite("terminal_limit"),
            )
        if at is not None:
            stated.append(read(run, field, f"terminals {where}"))
    if len(stated) < 2:
        stated.append(sheet.line("unmarked_terminals_c", code.row("terminals", rating_a=breaker)["terminals_c"]))
    return sheet.line("terminals_c", smaller(*stated), cites=[code.cite("terminal_limit")])


def _ambient(sheet: Sheet, code: Codebook, run: Run, wires: Wires, insulation: Value) -> Value:
    """The factor by the table; the formula stands beside it where the two could differ."""
    air = read(run, "ambient_f", "air around it")
    cites: list[Citation] = []
    if run.location == "rooftop":
        air, cites = _on_roof(sheet, code, run, wires, air)
    rounded = sheet.line("ambient_f", whole(air, "up"), cites=cites)
    row = code.row("ambient_correction", ambient_f=rounded)
    column = f"factor_{insulation.number:.0f}"
    if not row.has(column):
        left = given(f"insulation of {insulation.number:.0f} C stands air of {rounded.number:.0f} F", 0, "condition",
                     place(run, "ambient_f"))  # fmt: skip
        sheet.check("stands_air", left >= MET, remedy="insulation of a higher temperature, or a cooler route",
                cites=[code.cite("ambient_correction")])  # fmt: skip
        raise Refused(
            f"Insulation of {insulation.number:.0f} °C has no ampacity left in air of {rounded.number:.0f} °F.",
            code.cite("ambient_correction"),
        )
    factor = sheet.line("ambient_factor", row[column])
    if factor.number != 1:
        air_c = sheet.line("ambient_c", (rounded - FREEZING) / F_PER_C)
        sheet.line("formula_factor", root((insulation - air_c) / (insulation - code["ambient_base"])))
    return factor


def _on_roof(sheet: Sheet, code: Codebook, run: Run, wires: Wires, air: Value) -> tuple[Value, list[Citation]]:
    if wires.insulation in code.members("rooftop_exempt"):
        return air, [code.cite("rooftop_exempt")]
    if run.above_roof_in is not None:
        height = read(run, "above_roof_in", "height above the roof") >= code["rooftop_height"]
        sheet.find("above_roof", "clear of the roof" if height.holds else "close to the roof",
               [height if height.holds else height.left < height.right])  # fmt: skip
        if height.holds:
            return air, []
    return air + code["rooftop_adder"], []


def _adjustment(sheet: Sheet, house: House, run: Run, wires: Wires) -> Value | None:
    """The share that is left where more than three conductors heat one another."""
    raceway = next((r for r in house.job.raceways if r.name == run.raceway), None) if run.raceway else None
    wireway = raceway is not None and raceway.kind in house.code.members("wireway_conductors")
    if raceway is not None and not wireway and raceway.length_ft is not None and run.current_carrying is None:
        length = sheet.line("raceway_in", read(raceway, "length_ft", f"length of {raceway.name}") * IN_PER_FT)
        short = length <= house.code["nipple"]
        if short.holds:
            sheet.find("nipple", "a nipple: no adjustment", [short])
            return None
    if run.current_carrying is not None:
        number = sheet.line("current_carrying", _plain(run, "current_carrying", "conductors as counted in the job"))
    else:
        number = sheet.line("current_carrying", _counted(sheet, house, run, wires, raceway))
        if wireway and (few := number <= house.code["wireway_conductors"]).holds:
            sheet.find("wireway_adjustment", "few enough for a wireway: no adjustment", [few])
            sheet.remark("note_wireway_alone", run=run.name)
            return None
    return sheet.line("adjustment_pct", house.code.row("count_adjustment", conductors=number)["share_pct"])


def _counted(sheet: Sheet, house: House, run: Run, wires: Wires, raceway: Raceway | None) -> Value:
    own = sheet.line("own_conductors", house.code.row("current_carrying", wiring=wires.wiring)["conductors"])
    if raceway is None:
        if run.cables_bundled > 1 and wires.cable in house.code.members("bundle_let_off"):
            sheet.find("bundle_counted", "adjusted like any other", cites=[house.code.cite("bundle_let_off")])
        cables = _plain(run, "cables_bundled", "cables together")
        return own * cables if run.cables_bundled > 1 else own
    return total([own, *_others(sheet, house, run, raceway)], "")


def _others(sheet: Sheet, house: House, run: Run, raceway: Raceway) -> list[Value]:
    """Current-carrying conductors of what shares the raceway; of plain entries all but grounds are counted."""
    found: list[Value] = []
    for other in house.job.runs:
        if other.raceway == raceway.name and other.name != run.name and other.status != "removed":
            row = house.code.row("current_carrying", wiring=house.told(wires, other).wiring)
            found.append(sheet.line("other_conductors", row["conductors"], item=other.name))
    held: Sequence[int] = [len(entry.wires) * entry.count for entry in raceway.holds if entry.wires]
    if held:
        sheet.remark("note_held_counted", raceway=raceway.name)
        found.append(given(f"conductors that {raceway.name} holds", sum(held), "", f"raceways {raceway.name}"))
    return found


def _plain(run: Run, field: str, name: str) -> Value:
    """A count of the run as a plain number."""
    return given(name, getattr(run, field), "", read(run, field).at)
