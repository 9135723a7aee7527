"""Whether sheets that speak of one thing say the same of it: what the service counts, what feeders and circuits carry."""

from __future__ import annotations

from math import ceil

from calc.codebook import Codebook
from calc.families import feeder
from calc.families.branch_circuits.worked import circuit_sheet
from calc.families.dwelling_load.standard import is_motor
from calc.job import Dwelling, Job, Run
from calc.wiring.house import House
from calc.wiring.reading import Counted, carry, counted, read
from calc.wiring.tree import below, groups_below, live_runs, panel_of, whole_dwelling
from calc.work import Sheet, Value, given, larger, total

COUNTED = (("small-appliance", "small_appliance_circuits", "small_appliance_circuit", "required_small_appliance"),
           ("laundry", "laundry_circuits", "laundry_circuit", "required_laundry"))  # fmt: skip
"""Circuits that the load counts by number: their purpose, where the number is stated, what each counts, the least."""


def tied(job: Job) -> bool:
    """Whether the job has two places that can disagree."""
    return bool(live_runs(job)) or _stated(job) is not None


def ties(sheet: Sheet, house: House) -> None:
    """Print each number beside the one that another sheet has for the same thing, and check the pairs."""
    dwelling = _stated(house.job)
    if dwelling is not None:
        _circuits_counted(sheet, house, dwelling)
    for run in house.told(live_runs):
        if run.role == "branch":
            _breakers(sheet, house, run)
            continue
        if run.calculated_a is not None:
            _by_tree(sheet, house, run)
        if run.role == "feeder" and dwelling is not None and not house.told(groups_below, str(run.feeds)):
            _in_the_service(sheet, house, run, dwelling)


def _stated(job: Job) -> Dwelling | None:
    """The dwelling whose circuits and area the load counts, where it is a single one."""
    return job.dwelling if job.dwelling is not None and job.dwelling.floor_area_ft2 is not None else None


def _circuits_counted(sheet: Sheet, house: House, dwelling: Dwelling) -> None:
    """Small-appliance and laundry circuits that the load counts, against those that the job lists."""
    for purpose, field, each, least in COUNTED:
        listed = [c for c in house.job.circuits if c.purpose == purpose and c.status != "removed"]
        if listed:
            number = given(f"{purpose} circuits listed", len(listed), "circuit", "circuits")
            sheet.check("circuits_counted", larger(house.code[least], read(dwelling, field)) >= number, item=purpose,
                    remedy=f"count {len(listed)} of them in the load", cites=[house.code.cite(each)])  # fmt: skip


def _breakers(sheet: Sheet, house: House, run: Run) -> None:
    """The breaker that a circuit's conductors were sized behind, against the one that its own sheet and the schedule have."""
    conductors = feeder.run_sheet(house, run)
    circuit = circuit_sheet(house, str(run.feeds))
    if circuit is None or any("breaker_a" not in each for each in (conductors, circuit)):
        return
    behind = carry(conductors, "breaker_a", f"breaker that {run.name} is sized for")
    has = carry(circuit, "breaker_a", f"breaker of {circuit.subject}")
    sheet.check("same_breaker", behind >= has, item=run.name, cites=[house.code.cite("next_size_up")],
            remedy=f"one breaker for {circuit.subject} and {run.name}")  # fmt: skip


def _by_tree(sheet: Sheet, house: House, run: Run) -> None:
    """A load that the job states for a run, against what the job hangs on it."""
    worked = feeder.load_by_tree(house, run)
    if "calculated_a" not in worked:
        sheet.remark("note_not_told", run=run.name)
        return
    hangs = carry(worked, "calculated_a", f"load of what {run.name} supplies")
    for gap in worked.unknowns:
        sheet.remark("note_more_hangs", run=run.name, missing=gap.missing)
    sheet.check("stated_load", read(run, "calculated_a", f"stated load of {run.name}") >= hangs, item=run.name,
            remedy=f"a load of {ceil(hangs.number):,} A for {run.name}, or its load left out to have it worked",
            cites=[house.code.cite("load_of_branches")])  # fmt: skip


def _in_the_service(sheet: Sheet, house: House, run: Run, dwelling: Dwelling) -> None:
    """A feeder's load against all that the service's load can hold of it; what a record measured holds old feeders too."""
    measured = (
        house.job.service is not None and house.job.service.load_method == "measured" and run.status == "existing"
    )
    if measured or house.told(whole_dwelling, run).holds:
        return
    worked = feeder.run_sheet(house, run)
    tree = feeder.load_by_tree(house, run)
    if run.calculated_a is None and "calculated_a" not in tree and "calculated_a" in worked:
        sheet.remark(
            "note_by_breaker", run=run.name
        )  # its breaker stands for a load that isn't known: that counts nowhere
        return
    if "calculated_a" not in worked:
        return
    amperes = carry(worked, "calculated_a", f"load of {run.name}")
    carries = sheet.line("feeder_carries_va", amperes * read(run, "volts", f"voltage of {run.name}"), item=run.name)
    holds = sheet.line("service_counts_va", total(_counts(house, run, dwelling)), item=run.name)
    sheet.check("in_the_service", holds >= carries, item=run.name, cites=[house.code.cite("load_of_branches")],
            remedy=f"loads of {ceil(carries.number - holds.number):,} VA more on what {run.name} feeds, or a smaller load of the "
            "run")  # fmt: skip


def _counts(house: House, run: Run, dwelling: Dwelling) -> list[Value]:
    """All that the service counts and that may hang on the run, in full: a load that names no panel may hang anywhere."""
    inside = house.told(below, str(run.feeds))
    items = [c for c in counted(house.job.loads) if house.told(panel_of, c.load) in {*inside, None}]
    parts = [_least(house.code, c) for c in items]
    if motors := [c.each for c in items if is_motor(c, house.code)]:
        parts.append(larger(*motors) * house.code["largest_motor"])
    panel = next((panel for panel in house.job.panels if panel.name == run.feeds), None)
    if panel is not None and panel.building is None:
        parts.append(read(dwelling, "floor_area_ft2") * house.code["unit_load"])
        parts += [
            larger(house.code[least], read(dwelling, field)) * house.code[each] for _, field, each, least in COUNTED
        ]
    return parts


def _least(code: Codebook, counted: Counted) -> Value:
    """A load in full, at the least that the code counts for its kind."""
    rule = {"dryer": "dryer_least", "ev-supply": "vehicle_least"}.get(counted.load.kind, "")
    if not rule or counted.load.fuel_burning or not code.has(rule):
        return counted.va
    return counted.times(larger(counted.each, code[rule]))
