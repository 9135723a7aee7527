"""From volt-amperes to amperes, to the rating that serves, and to the number of lighting circuits."""

from __future__ import annotations

from dataclasses import dataclass

from calc.codebook import Codebook
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.unit import DwellingUnit
from calc.job import Job
from calc.wiring.reading import read
from calc.work import Refused, Sheet, Value, constant, larger, root, smaller, total, whole

LEGS = constant("legs", 2, "")
PHASES = constant("3", 3, "")


@dataclass(frozen=True)
class Volts:
    """Voltages of the system that serves the dwelling.

    ``two_legs`` is both legs to neutral, end to end; ``whole`` is what the whole load is divided by for its current:
    the volts between the legs, times the root of 3 on a three-phase system. ``from_wye`` is two legs and neutral of one.
    """

    line_to_line: Value
    line_to_neutral: Value
    two_legs: Value
    whole: Value
    from_wye: bool

    @property
    def three_phase(self) -> bool:
        """Whether all three legs come in."""
        return self.whole is not self.line_to_line


def volts(sheet: Sheet, code: Codebook, system: str, phases: int) -> Volts:
    """Nominal voltages of the system."""
    row = code.row("nominal_voltages", system=system)
    line_to_line = sheet.line("line_to_line_v", row["line_to_line_v"])
    line_to_neutral = sheet.line("line_to_neutral_v", row["line_to_neutral_v"])
    if phases == 3:
        whole = sheet.line("three_phase_v", root(PHASES) * line_to_line)
        return Volts(line_to_line, line_to_neutral, line_to_line, whole, from_wye=False)
    from_wye = system == "208Y/120"
    both = sheet.line("two_legs_v", LEGS * line_to_neutral) if from_wye else line_to_line
    return Volts(line_to_line, line_to_neutral, both, line_to_line, from_wye)


def current(sheet: Sheet, prefix: str, load: Value, volts: Volts, one_leg: list[Value] | None = None) -> Value:
    """Calculated current in amperes.

    On two legs and neutral of a wye, loads to the neutral (``one_leg``) are spread over both legs at 120 V and loads
    between the legs draw at 208 V; the two currents are added as numbers, as the published example does, which errs
    high. Where a method doesn't keep them apart, all of the load is taken between the legs, which errs higher.
    """
    if not volts.from_wye:
        return sheet.line(f"{prefix}_a", load / volts.whole)
    if one_leg is None:
        sheet.remark("note_wye_all_between_legs")
        return sheet.line(f"{prefix}_a", load / volts.line_to_line)
    neutral_part = sheet.line("line_to_neutral_va", total(one_leg))
    line_part = sheet.line("line_to_line_va", load - neutral_part)
    sheet.remark("note_wye_current")
    return sheet.line(f"{prefix}_a", neutral_part / volts.two_legs + line_part / volts.line_to_line)


def worst_leg(sheet: Sheet, prefix: str, load: Value, volts: Volts, demand: Demand) -> Value:
    """Calculated current in amperes of the most loaded leg of a house on three phases.

    A house has few large loads between two legs, and they don't even out: the largest stands on its pair in full, at
    its nameplate, and the rest is taken as spread over the three.
    """
    between = {c.load.name: c.each for group in demand.groups for c in group.loads if not c.line_to_neutral}
    sheet.remark("note_three_phase_house")
    if not between:
        return sheet.line(f"{prefix}_a", load / volts.whole)
    name = max(between, key=lambda name: between[name].number)
    on_pair = sheet.line("largest_between_legs_va", smaller(between[name], load), item=prefix)
    return sheet.line(f"{prefix}_a", on_pair / volts.line_to_line + (load - on_pair) / volts.whole)


def whole_amperes(sheet: Sheet, code: Codebook, prefix: str, amperes: Value) -> Value:
    """Calculated current in whole amperes: rounded once, here at the end."""
    return sheet.line(f"{prefix}_whole_a", whole(amperes, "half up"), cites=[code.cite("whole_amperes")])


def rating(sheet: Sheet, unit: DwellingUnit, code: Codebook, prefix: str, whole: Value) -> tuple[Value, Value]:
    """The least rating allowed, and what serves: for a house the smallest service sold, else a standard rating."""
    rule = {"house": "service_least", "building": "service_least_building"}.get(unit.kind)
    least = sheet.line(f"{prefix}_least_a", larger(whole, code[rule])) if rule else whole
    standard = sheet.line(f"{prefix}_standard_rating_a", code.at_least("standard_ratings", least))
    if not unit.one_family:
        return least, standard
    try:
        sold = sheet.line(f"{prefix}_service_a", code.at_least("services_sold", least))
        if code.row("services_sold", service_a=sold).text("common").text == "no":
            sheet.remark("note_less_common", rating=f"{sold.number:g}")
        return least, sold
    except Refused:  # more than dwelling equipment is sold for: the rating alone stands
        sheet.caution("caution_not_sold")
        return least, standard


def service(sheet: Sheet, job: Job, sold: Value) -> Value:
    """The rating that the job states; where it states none, the service that is sold."""
    stated = job.service and job.service.rating_a
    return sheet.line("service_rating_a", read(job.service, "rating_a") if stated and job.service else sold)


def lighting_circuits(sheet: Sheet, unit: DwellingUnit, code: Codebook, volts: Volts) -> None:
    """The least number of general lighting circuits, at 15 A and at 20 A."""
    load = sheet.line("lighting_circuits_va", unit.area * code["circuit_unit_load"])
    for size in ("15a", "20a"):
        capacity = code[f"circuit_{size}"] * volts.line_to_neutral
        sheet.line(f"general_circuits_{size}", whole(load / capacity, "up"))
