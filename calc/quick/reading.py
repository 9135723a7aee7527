"""What was asked: each thing that was typed given to the entry that it is for, in every way that makes sense."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from calc.job import SIZES, parse_conductors, parse_size, trade
from calc.job.problems import nearest
from calc.quick.question import Entry, Form, Question, question, questions
from calc.quick.question import called as names
from calc.quick.tokens import NotRead, Token, fits_unit, tokens, value_of
from calc.wiring.wires import called

MOST_READINGS = 24
"""More ways to read a question than this are not gone into: units settle it."""
LONGEST_TEXT = 300


class NotUnderstood(Exception):
    """A question that can't be answered as it was typed: what was read, the nearest question, one example."""

    def __init__(self, problem: str, read: str = "", example: str = "") -> None:
        lines = [problem, f"Read: {read}" if read else "", f"For example: {example}" if example else ""]
        super().__init__("\n".join(line for line in lines if line))


@dataclass(frozen=True)
class Said:
    """A thing that was typed, with the entry that it is for, how it was read, the value there, and the word beside it."""

    entry: Entry
    kind: str
    text: str
    value: Any
    count: int = 1
    named: str = ""

    def __str__(self) -> str:
        return f"{self.entry.name} {self.shown}"

    @property
    def shown(self) -> str:
        """It as typed, with the unit that it was taken in; a choice by the name that the job has for it."""
        if self.kind == "word" and (self.value in self.entry.facts.choices or self.entry.either):
            return str(self.value)
        unit = {"number": self.entry.unit, "bare size": "AWG", "bare trade": "in"}.get(self.kind, "")
        return f"{self.text} {unit}".strip()


@dataclass(frozen=True)
class Reading:
    """One way in which a question can be read: what was said, and the form of the question that it makes."""

    question: Question
    said: tuple[Said, ...]
    form: Form

    def has(self, entry: str) -> bool:
        """Whether the entry was given."""
        return any(one.entry.name == entry for one in self.said)

    @property
    def means(self) -> str:
        """What it says of each entry: two readings that mean the same are one."""
        return "; ".join(f"{one.entry.name} {one.count} {one.value}" for one in self.said)

    def __str__(self) -> str:
        return ", ".join(map(str, self.said))


def question_named(name: str) -> Question:
    """The question that goes by a name. NotUnderstood, with the nearest, where none does."""
    known = names()
    word = name.strip().lower().replace(" ", "-").replace("_", "-")
    if word in known:
        return question(known[word])
    near = known.get(nearest(word, known), "")
    listed = f"did you mean {near}?" if near else f"there are {', '.join(questions())}"
    raise NotUnderstood(
        f"No question is called '{name[:40]}'; {listed}", example=question(near or questions()[0]).example
    )


def read(asked: Question, text: str) -> list[Reading]:
    """Every way in which a text makes the question. NotUnderstood where there is none, or too many."""
    if len(text) > LONGEST_TEXT:
        raise NotUnderstood(
            f"That is {len(text):,} characters; a question has {LONGEST_TEXT} at most.", example=asked.example
        )
    try:
        ways = tokens(asked, text)
    except NotRead as error:
        raise _unread(asked, error) from None
    try:
        given = [one for found in ways for one in _readings(asked, found)]
    except ValueError as error:
        raise NotUnderstood(str(error), _as_read(ways[0]), asked.example) from None
    readings = list({(one.means, one.form): one for one in given}.values())
    if not readings:
        raise NotUnderstood(_lacking(asked, ways[0]), _as_read(ways[0]), asked.example)
    if len(readings) > MOST_READINGS:
        raise NotUnderstood(
            f"This can be read in {len(readings)} ways: write the units.",
            f"{readings[0]}; or {readings[1]}",
            asked.example,
        )
    return readings


def _readings(asked: Question, found: list[Token]) -> Iterator[Reading]:
    """Each way of giving every token an entry such that the question has a form; those that leave least out come first."""
    for said in _given(asked, found, 0, ()):
        names = {one.entry.name for one in said}
        for form in asked.forms:
            if set(form.needs) <= names and not names & set(form.without) and (not form.any or names & set(form.any)):
                yield from _settled(Reading(asked, tuple(sorted(said, key=lambda one: _order(asked, one))), form))
                break


def _settled(reading: Reading) -> Iterator[Reading]:
    """The reading; where an entry left out could be one of a few, a reading for each."""
    open_ = next((e for e in reading.question.entries if e.each and not reading.has(e.name)), None)
    if open_ is None:
        yield reading
        return
    for choice in open_.each:
        said = Said(open_, "quantity", f"{choice} {open_.unit}".strip(), choice)
        yield from _settled(replace(reading, said=(*reading.said, said)))


def _order(asked: Question, said: Said) -> int:
    return asked.entries.index(said.entry)


def _given(asked: Question, found: list[Token], at: int, said: tuple[Said, ...]) -> Iterator[tuple[Said, ...]]:
    if at == len(found):
        yield said
        return
    taken = {one.entry.name for one in said if not one.entry.many}
    for entry in asked.entries:
        if entry.name not in taken:
            for one in _as(found[at], entry):
                yield from _given(asked, found, at + 1, (*said, one))


def _as(token: Token, entry: Entry) -> Iterator[Said]:
    """The token as what an entry takes, where it can be that."""
    if token.named and token.named not in entry.named:
        return
    if not token.named and (entry.only_named or (token.kind == "number" and not entry.bare)):
        return
    if entry.free and token.kind == "quantity" and not token.named and token.unit not in entry.free:
        return
    if token.kind == "word":
        yield from (
            Said(entry, "word", token.text, value, token.count) for name, value in token.means if name == entry.name
        )
    elif entry.unit and (token.kind == "number" or (token.kind == "quantity" and fits_unit(token, entry))):
        short = [
            unit
            for unit, below in entry.short_for
            if token.kind == "number" and float(token.text.replace(",", "")) < below
        ]
        for unit in short:
            yield from _number(replace(token, kind="quantity", text=f"{token.text} {unit}"), entry)
        if not short:
            yield from _number(token, entry)
    elif token.kind in entry.at:
        yield from _wire(token, entry)
    if token.kind == "number" and "size" in entry.at and token.text in SIZES[SIZES.index("14") :]:
        yield Said(entry, "bare size", token.text, f"1 x {called(token.text)}" if entry.listed else token.text)
    if token.kind == "number" and "trade" in entry.at and token.text in entry.facts.choices:
        yield Said(entry, "bare trade", token.text, token.text)


def _number(token: Token, entry: Entry) -> Iterator[Said]:
    try:
        value = value_of(token, entry)
    except ValueError:
        return
    facts = entry.facts
    beyond = (facts.least is not None and value < facts.least) or (facts.most is not None and value > facts.most)
    if (facts.choices and value not in facts.choices) or (beyond and token.kind == "number"):
        return
    yield Said(entry, token.kind, token.text, value, named=token.named)


def _wire(token: Token, entry: Entry) -> Iterator[Said]:
    """A size, a cable or conductors, as the job file writes them. ValueError for one that nobody makes."""
    try:
        if token.kind == "size":
            size = parse_size(token.text)
            yield Said(entry, "size", token.text, f"1 x {called(size)}" if entry.listed else size)
        elif token.kind == "box":
            yield Said(entry, "box", token.text, token.text)
        elif token.kind == "trade":
            yield Said(entry, "trade", token.text, trade.choice(token.text, entry.facts.choices))
        elif token.kind == "wire":
            yield Said(entry, "wire", token.text, f"1 x {wire_text(token)}")
        else:
            text = wire_text(token)
            parse_conductors(text)
            yield Said(entry, token.kind, token.text, text)
    except ValueError as error:
        raise ValueError(f"{token.text}: {error}") from None


def wire_text(token: Token) -> str:
    """A cable or conductors as the job file writes them: '9 #12THHN' is '9 x 12 THHN', '3 12/2' is '3 x 12/2'."""
    words = re.sub(r"(?<=\d)(?=[a-z]{2})", " ", token.text.replace("#", " "), flags=re.IGNORECASE).split()
    text = " ".join(words)
    counted = re.fullmatch(r"(\d+)\s*x?\s+(\d.*)", text, re.IGNORECASE)
    return f"{counted[1]} x {counted[2]}" if counted else text


def _as_read(found: list[Token]) -> str:
    return ", ".join(" ".join(part for part in (token.named, token.text) if part) for token in found)


def _unread(asked: Question, error: NotRead) -> NotUnderstood:
    if error.alone:
        entry = next(entry for entry in asked.entries if error.word in entry.named)
        return NotUnderstood(
            f"'{error.word}' has no number in {entry.unit} beside it", _as_read(error.before), asked.example
        )
    words = [word for e in asked.entries for word, _ in e.words] + [
        str(c) for e in asked.entries if not e.unit for c in e.facts.choices
    ]
    near = nearest(error.word, words)
    hint = f"did you mean {near}?" if near else f"{asked.name} takes {_takes(asked)}"
    return NotUnderstood(f"'{error.word[:40]}' is not understood; {hint}", _as_read(error.before), asked.example)


def _takes(asked: Question) -> str:
    return ", ".join(entry.shown for entry in asked.entries)


def _lacking(asked: Question, found: list[Token]) -> str:
    """Why nothing fits: a token that no entry takes, an entry given twice, or entries that are missing."""
    for token in found:
        if not any(list(_as(token, entry)) for entry in asked.entries):
            if said := _by_name(asked, token):
                return f"'{token.text}' may be {' or '.join(said)}: write the word beside it"
            return f"'{token.text}' is nothing that {asked.name} takes; it takes {_takes(asked)}"
    partial = _most_given(asked, found)
    if len(partial) < len(found):
        left = [token.text for token in found if token.text not in {one.text for one in partial}] or [found[-1].text]
        return f"'{left[0]}' has no place left: it takes {_takes(asked)}, each once"
    names = {one.entry.name for one in partial}
    short = min(asked.forms, key=lambda form: len(set(form.needs) - names) + 9 * bool(names & set(form.without)))
    missing = [asked.entry(name).shown for name in short.needs if name not in names]
    if short.any and not names & set(short.any):
        missing.append(" or ".join(asked.entry(name).shown for name in short.any))
    return (
        f"{asked.name} needs {' and '.join(missing)} too" if missing else f"{asked.name} can't have all of this at once"
    )


def _by_name(asked: Question, token: Token) -> list[str]:
    """The entries that would take a number if their word stood beside it: 'depth (deep)'."""
    if token.kind not in ("number", "quantity"):
        return []
    return [
        f"{e.name} ({e.named[0]})" for e in asked.entries if e.named and list(_as(replace(token, named=e.named[0]), e))
    ]


def _most_given(asked: Question, found: list[Token]) -> tuple[Said, ...]:
    best: tuple[Said, ...] = ()
    for count in range(len(found), 0, -1):
        best = next(_given(asked, found[:count], 0, ()), ())
        if best:
            break
    return best
