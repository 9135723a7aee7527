"""The ways in which a question can be read: those that make sense are answered, and those that come to the same are one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from calc.quick.answer import Answer, answered, odd_entries, small_job
from calc.quick.reading import NotUnderstood, Reading

MOST_ANSWERS = 4
"""More answers than this help nobody: units settle it."""


def answers(readings: Sequence[Reading], edition: str) -> list[Answer]:
    """The answers to all readings that can be meant. Where there is a choice, each says how it was read.

    A reading that can't be so is left out, and one with an entry far from the usual where another has none.
    NotUnderstood where no reading can be so, or too many.
    """
    likely = _likely(readings, edition)
    if len(likely) > MOST_ANSWERS:
        raise NotUnderstood(
            f"This can be read in {len(likely)} ways: write the units.",
            f"{likely[0]}; or {likely[1]}",
            likely[0].question.example,
        )
    alike: dict[object, list[Answer]] = {}
    for answer in (answered(reading, edition) for reading in likely):
        said = answer.line, answer.decides, answer.sections, answer.notes, answer.beside, answer.status
        alike.setdefault(said, []).append(answer)
    several = len(readings) > 1
    return [replace(group[0], read_as=_as_read(group) if several else "") for group in alike.values()]


def _likely(readings: Sequence[Reading], edition: str) -> list[Reading]:
    """The readings that make a job, those alone in which nothing looks like a slip where there are such."""
    found: list[tuple[Reading, bool]] = []
    problems: list[NotUnderstood] = []
    for reading in readings:
        try:
            found.append((reading, bool(odd_entries(reading, small_job(reading, edition)))))
        except NotUnderstood as problem:
            problems.append(problem)
    if not found:
        raise problems[0]
    return [reading for reading, odd in found if not odd] or [reading for reading, _ in found]


def _as_read(group: Sequence[Answer]) -> str:
    """How answers that are the same were read: 'load 60 A, voltage 120 V or 240 V'."""
    entries = dict.fromkeys(one.entry.name for answer in group for one in answer.reading.said)
    ways = [
        list(
            dict.fromkeys(
                ", ".join(one.shown for one in answer.reading.said if one.entry.name == name) for answer in group
            )
        )
        for name in entries
    ]
    return ", ".join(f"{name} {' or '.join(shown)}" for name, shown in zip(entries, ways, strict=True))
