"""Mends that follow from the check itself: a stated value that it compares is set to what it asks for."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from calc.codebook import Codebook
from calc.job import Job, field_info
from calc.job.fields import Part
from calc.job.places import value_at
from calc.remedies.ways import Kind, Way
from calc.wiring.house import House
from calc.work import Check, Sheet, Value
from calc.work.printing import leaves

STEP = 4  # what is taped or stamped is asked for in quarters
SOLD = {"interrupting_a": ("interrupting_ratings", "rating_a"), "bus_a": ("services_sold", "service_a"),
        "main_a": ("standard_ratings", "rating_a")}  # fmt: skip
"""What is sold in steps: the table of them and its column."""
KINDS = {"bus_a": Kind.MAKE, "main_a": Kind.BREAKER_ASKED}
"""What is more than a part put in: another panel, a larger main."""


def stated_ways(house: House, sheet: Sheet, check: Check) -> Iterator[Way]:
    """Each value of the check that stands in the job: yes instead of no, another choice, the number asked for."""
    wanted = check.holds.right if check.holds.sign in (">=", ">") else None
    made = {line.key: line.made for line in sheet.lines if line.made is not None}
    for leaf in leaves(check.holds.left):
        deeper = leaves(made[leaf.at]) if leaf.origin == "line" and leaf.at in made else ()
        for given, asked in ((leaf, wanted), *((other, None) for other in deeper)):
            if given.origin == "given" and (found := part_at(house.whole_job, given.at)) is not None:
                for value in _values(house.code, *found, given, asked):
                    yield Way(KINDS.get(found[1], Kind.PART), _said(check.remedy, *found, value), {given.at: value})


def part_at(job: Job, at: str) -> tuple[Part, str] | None:
    """The part and the field at a place of the job, such as 'panels[2].neutral_bonded'; None for any other text."""
    outer, _, last = at.rpartition(".")
    try:
        part = value_at(job, outer)
    except KeyError:
        return None
    return (part, last) if isinstance(part, Part) and last in type(part).model_fields else None


def _said(remedy: str, part: Part, field: str, value: object) -> str:
    """The sheet's own words, with the number where it is one."""
    if field == "breaker_type":
        return f"{'an' if str(value)[0] in 'aeiou' else 'a'} {value} breaker"
    if isinstance(value, bool) or not isinstance(value, int | float):
        return remedy
    info = field_info(part, field)
    return f"{remedy}: {info.title.lower()} {value:,.8g} {info.unit} instead of {getattr(part, field):,.8g} {info.unit}"


def _values(code: Codebook, part: Part, field: str, leaf: Value, wanted: Value | None) -> Iterator[object]:
    """Values to try, the smallest change first."""
    now = getattr(part, field)
    info = field_info(part, field)
    if isinstance(now, bool) or info.kind == "yes or no":
        yield not now
    elif info.choices:
        yield from (choice for choice in info.choices if choice != now)
    elif isinstance(now, int | float) and wanted is not None and wanted.unit.dims == leaf.unit.dims:
        number = wanted.base / leaf.unit.scale
        if field in SOLD:
            table, column = SOLD[field]
            yield from [int(float(row[column])) for row in code.rows(table) if float(row[column]) >= number][:1]
            return
        yield ceil(round(number, 6)) if isinstance(now, int) else ceil(round(number * STEP, 6)) / STEP
