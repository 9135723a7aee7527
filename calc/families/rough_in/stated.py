"""Yes and no of the job file as numbers that a check can compare and a page can print."""

from __future__ import annotations

from calc.job import place
from calc.job.fields import Part
from calc.work import Value, given


def yes(part: Part, field: str, name: str, unit: str) -> Value:
    """A field of yes and no: one such thing, or none."""
    return given(name, int(bool(getattr(part, field))), unit, place(part, field))


def among(part: Part, field: str, allowed: frozenset[str], name: str, unit: str) -> Value:
    """Whether a field of choices is one of those that serve: one such thing, or none."""
    return given(name, int(getattr(part, field) in allowed), unit, place(part, field))
