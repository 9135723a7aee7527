"""The ways in which a question can be read: those that make sense are answered, and those that come to the same are one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from calc.quick.answer import Adopted, Answer, answered, odd_entries, small_job
from calc.quick.reading import NotUnderstood, Reading

MOST_ANSWERS = 4
"""More answers than this help nobody: units settle it."""


def answers(readings: Sequence[Reading], under: Adopted) -> list[Answer]:
    """The answers to all readings that can be meant. Where there is a choice, each says how it was read.

    A reading that can't be so is left out, and one with an entry far from the usual where another has none.
    NotUnderstood where no reading can be so, or too many.
    """
    likely = _likely(readings, under)
    if len(likely) > MOST_ANSWERS:
        raise NotUnderstood(
            _which(likely) or f"This can be read in {len(likely)} ways: write the units.",
            f"{likely[0]}; or {likely[1]}",
            likely[0].question.example,
        )
    alike: dict[object, list[Answer]] = {}
    for answer in (answered(reading, under) for reading in likely):
        said = answer.line, answer.decides, answer.sections, answer.notes, answer.beside, answer.status
        alike.setdefault(said, []).append(answer)
    several = len(readings) > 1
    return [replace(group[0], read_as=_as_read(group) if several else "") for group in alike.values()]


def _which(readings: Sequence[Reading]) -> str:
    """The word that may mean several things, where that is all that is open; '' otherwise."""
    if len({tuple(one.text for one in reading.said) for reading in readings}) > 1:
        return ""
    for same in zip(*(reading.said for reading in readings), strict=True):
        if len(meant := list(dict.fromkeys(one.shown for one in same))) > 1:
            return f"'{same[0].text}' may be {', '.join(meant[:-1])} or {meant[-1]}: write which."
    return ""


def _likely(readings: Sequence[Reading], under: Adopted) -> list[Reading]:
    """The readings that make a job, those alone in which nothing looks like a slip where there are such."""
    found: list[tuple[Reading, bool]] = []
    problems: list[NotUnderstood] = []
    for reading in readings:
        try:
            odd = odd_entries(reading, small_job(reading, under))
            found.append((reading, bool(odd) and not reading.form.trial))  # what is on trial is no entry of a person
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
