"""Measured demand: a record of the highest demand in place of the load that is there, and what is added to it."""

from __future__ import annotations

from calc.families.dwelling_load.case import Case
from calc.families.dwelling_load.climate import climate
from calc.families.dwelling_load.demand import Group
from calc.families.dwelling_load.existing import tested
from calc.families.dwelling_load.readings import Record, record
from calc.families.dwelling_load.vehicle import vehicle_supply
from calc.job import MeasuredDemand, place
from calc.wiring.conditions import MET
from calc.wiring.reading import read
from calc.work import VA_PER_KW, Missing, Value, constant, given, total


def measured(case: Case) -> Value:
    """Highest measured demand at 125 % and the new load, VA. Missing where a condition of the record isn't stated."""
    s, code = case.sheet, case.house.code
    tested(case, "measured_method")
    said = case.house.job.measured_demand
    if said is None:
        raise Missing("the job has no [measured_demand]", code.cite("measured_method"), at="measured_demand")
    found = record(case.house, said)
    s.caution("caution_tests_existing")
    s.caution("caution_measured")
    _conditions(case, said, found)
    grown = s.line("measured_existing_va", _peak(case, said, found) * code["measured_growth"])
    case.demand.groups.append(Group("measured", [], grown))

    loads = case.sorted([c for c in case.unit.loads if c.load.status == "new"])
    cites = [code.cite("measured_method")]
    added = [value for _, value in vehicle_supply(s, code, loads.vehicle)]
    added += [m.value for m in loads.managed]
    added += [c.va for c in loads.rest]
    load, running, _ = climate(s, code, loads.climate, cites)
    added += [load] if load is not None else []
    held = [c for m in loads.managed if m.holds_climate for c in m.loads]
    if added:
        new = s.line("measured_new_va", total(added), cites=cites)
        case.demand.groups.append(Group("measured_new", [*loads.free, *held, *running], new))
    return s.line("measured_va", total(case.demand.values), cites=cites)


def _peak(case: Case, said: MeasuredDemand, found: Record) -> Value:
    """Highest demand with the season's load that the record lacks, VA."""
    s = case.sheet
    if found.when:
        s.find("measured_highest", f"{found.highest.number:,.4g} {found.highest.unit}, {found.when}")
    if found.highest.unit.text == "A":
        peak = s.line("measured_peak_va", found.highest * case.volts.whole)
    else:
        peak = s.line("measured_peak_va", found.highest * VA_PER_KW)
        s.remark("note_kilowatts")
    return s.line("measured_season_va", peak + read(said, "seasonal_added_va"))


def _conditions(case: Case, said: MeasuredDemand, found: Record) -> None:
    """Each condition of the record as a check; Missing where one isn't stated at all."""
    s, code = case.sheet, case.house.code
    answers = {
        "record_occupied": ("occupied", said.occupied, True),
        "record_overload": ("overload_protected", said.overload_protected, True),
        "record_unlowered": ("generation_or_shaving", said.generation_or_shaving, False),
    }
    if said.method == "30-day" and not found.both_legs:
        answers["record_highest_leg"] = ("highest_leg", said.highest_leg, True)
    unsaid = [field for field, answer, _ in answers.values() if answer is None]
    unsaid += ["seasonal_added_va"] if said.seasonal_added_va is None else []
    unsaid += ["interval_min"] if found.interval is None else []
    unsaid += ["from_date and to_date"] if found.days is None else []
    if unsaid:
        raise Missing(
            "a highest demand alone can't be used; [measured_demand] doesn't state " + ", ".join(unsaid),
            code.cite("measured_conditions"), at=place(said, unsaid[0].split()[0]),
        )  # fmt: skip
    assert found.days is not None
    assert found.interval is not None
    reading = case.house.job.code.readings.year_record
    as_recorded = said.method == "1-year" and reading == "as-recorded"
    row = code.row("measured_record", record=said.method)
    least = s.line("record_least_day", row["least_day"])
    longest = s.line("record_longest_min", code["measured_year_interval"] if as_recorded else row["longest_min"])
    s.check("record_long_enough", found.days >= least, remedy=f"a record of {least.number:g} days or more")
    closer = f"a record in intervals of {longest.number:g} minutes"
    if said.method == "1-year" and (as_recorded or (found.interval > longest).holds):
        s.remark(f"note_year_record_{reading}")
    s.check("record_interval", found.interval <= longest, remedy=closer)
    if found.missing is not None:
        s.check("record_complete", found.missing <= constant("readings that may be missing", 0, "reading"),
                remedy="a record without gaps")  # fmt: skip
    for key, (field, answer, wanted) in answers.items():
        met = given(s.words.text(key, "name"), float(answer is wanted), "condition", place(said, field))
        s.check(key, met >= MET, remedy=s.words.text(key, "remedy"), cites=[code.cite("measured_conditions")])
