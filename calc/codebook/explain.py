"""What a rule says, in each edition: words, value or table, who set it, how sure it is, and its sources in full."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import Any

from calc.codebook.files import CodebookError, Edition, Rule, edition
from calc.codebook.files import editions as known_editions
from calc.codebook.sources import sources, split
from calc.codebook.tables import Table, load
from calc.work.printing import quantity
from calc.work.units import unit

WIDTH = 110
SURE = {
    "A": "two sources or more, or one and a recomputation that agrees",
    "B": "one source, which agrees with memory",
    "C": "from memory, passes a check",
    "D": "from memory, check the code book",
    "U": "not confirmed",
}
_NUMBER = re.compile(r"\d+\.\d+(?:\([A-Za-z0-9]+\))*")


@dataclass(frozen=True)
class State:
    """A rule as it stands in one edition. A text is '' and a list empty where it says nothing of the kind."""

    name: str
    section: str
    words: str
    """What it says, in our words."""
    value: float | None
    unit: str
    bands: tuple[tuple[float | None, float], ...]
    """Steps of a demand factor: upper limit, null for none, and percent."""
    members: tuple[str, ...]
    method: str
    """The procedure that it asks for, by its name here."""
    table: str
    until: str
    """Date of the first permit for which it no longer holds."""
    absent: str
    """Why the edition has no such rule."""
    confidence: str
    sure: str
    """What the letter of its confidence means."""
    stands_in: str
    unconfirmed: str
    set_by: str
    amended_by: str
    sources: tuple[str, ...]
    """Codes of the sources, as sources.toml has them."""
    source_note: str


@dataclass(frozen=True)
class Entry:
    """A rule in each edition that was asked for."""

    rule: str
    editions: Mapping[str, State]


@dataclass(frozen=True)
class Heading:
    """A column of a table: its key and what it is called."""

    key: str
    label: str


@dataclass(frozen=True)
class Rows:
    """A table of the code with its rows as printed."""

    file: str
    title: str
    covers: str
    confidence: str
    columns: tuple[Heading, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...]
    source_note: str


@dataclass(frozen=True)
class Explained:
    """The rules that were asked for, and the tables of those whose section was."""

    asked: str
    rules: tuple[Entry, ...]
    tables: tuple[Rows, ...]

    def as_json(self) -> dict[str, Any]:
        """Its public form."""
        return asdict(self)


def explained(asked: str, editions: Mapping[str, Edition]) -> Explained:
    """The rules that ``asked`` names: by a section (220.55), a rule's own name (unit_load), or words of its name.

    ``editions`` are those to show, by the name to show them under. Raises CodebookError, with the nearest sections and
    names, where nothing matches.
    """
    every = [*(edition(year) for year in known_editions()), *editions.values()]
    names = dict.fromkeys(name for each in editions.values() for name in each.rules)
    found = [name for name in names if _is_asked(asked, name, [each.rules[name] for each in every])]
    if not found:
        raise CodebookError(f"no rule for '{asked}'; nearest: {', '.join(_nearest(asked, every)) or 'none'}")
    entries = (Entry(name, {shown: _state(each.rules[name]) for shown, each in editions.items()}) for name in found)
    return Explained(
        asked, tuple(entries), _tables(asked, [editions[shown].rules[name] for name in found for shown in editions])
    )


def as_text(told: Explained) -> str:
    """The same for a person: editions that agree stand together, each source is printed once, at the end."""
    out: list[str] = []
    cited: dict[str, None] = {}
    for entry in told.rules:
        out += [f"{list(entry.editions.values())[-1].name} ({entry.rule})"]
        told_before: set[str] = set()
        for shown, state in _alike(entry.editions):
            out += [f"  {shown}: {_where_and_what(state)}"]
            for text in _said(state):
                if text not in told_before:
                    out += wrap(text, WIDTH, initial_indent="      ", subsequent_indent="      ")
            told_before |= set(_said(state))
            cited |= dict.fromkeys(state.sources)
        out.append("")
    for table in told.tables:
        out += _table_text(table)
        cited |= dict.fromkeys(table.sources)
    out += ["Sources"]
    for code in cited:
        out += wrap(f"{code}: {sources()[code].text}", WIDTH, initial_indent="  ", subsequent_indent="      ", break_on_hyphens=False)  # fmt: skip
    return "\n".join(out) + "\n"


def _is_asked(asked: str, name: str, rules: Sequence[Rule]) -> bool:
    wanted = asked.strip().lower()
    if number := _NUMBER.search(wanted):  # 'NEC 220.55' and 'Table 220.55' ask for the section
        section = re.compile(rf"(?<![\d.]){re.escape(wanted[number.start() :])}(?!\d)", re.IGNORECASE)
        return any(section.search(rule.section) for rule in rules)
    if wanted.replace(" ", "_") == name:
        return True
    words = wanted.split()
    text = " ".join([name.replace("_", " "), *(f"{rule.name} {rule.section}" for rule in rules)]).lower()
    return bool(words) and all(word in text for word in words)


def _nearest(asked: str, editions: Sequence[Edition]) -> list[str]:
    rules = [(name, rule) for each in editions for name, rule in each.rules.items()]
    sections = dict.fromkeys(number for _, rule in rules for number in _NUMBER.findall(rule.section))
    names = dict.fromkeys(name for name, _ in rules)
    return difflib.get_close_matches(asked.strip().replace(" ", "_"), [*sections, *names], 4, 0.5)


def _state(rule: Rule) -> State:
    codes, note = split(rule.source)
    return State(
        name=rule.name,
        section=rule.section,
        words=rule.words,
        value=rule.value,
        unit=rule.unit,
        bands=rule.bands,
        members=rule.members,
        method=rule.method,
        table="" if rule.table == Path() else rule.table.name,
        until=rule.until.isoformat() if rule.until else "",
        absent=rule.absent,
        confidence=rule.confidence,
        sure=SURE.get(rule.confidence, ""),
        stands_in=rule.stands_in,
        unconfirmed=rule.unconfirmed,
        set_by=f"{rule.set_by}.toml",
        amended_by=rule.amended_by,
        sources=codes,
        source_note=note,
    )


def _alike(states: Mapping[str, State]) -> list[tuple[str, State]]:
    """Editions in their order, those that say the same together: the file that set it is then the first one's."""
    groups: list[tuple[list[str], State]] = []
    for shown, state in states.items():
        if groups and replace(groups[-1][1], set_by=state.set_by) == state:
            groups[-1][0].append(shown)
        else:
            groups.append(([shown], state))
    return [(", ".join(shown), state) for shown, state in groups]


def _where_and_what(state: State) -> str:
    if state.absent:
        return "no such rule"
    parts = [state.section.strip("-") or "no section", _value(state)]
    return ", ".join(part for part in parts if part)


def _value(state: State) -> str:
    parts = []
    if state.value is not None:
        parts.append(quantity(state.value, unit(state.unit)))
    if state.bands:
        low, steps = 0.0, []
        for top, percent in state.bands:
            reach = f"{low:,.10g} to {top:,.10g}" if top is not None else f"over {low:,.10g}"
            steps.append(f"{reach} {state.unit}: {percent:.10g} %")
            low = top or 0
        parts.append("; ".join(steps))
    if state.members:
        parts.append(", ".join(state.members))
    if state.method:
        parts.append(f"by the reading '{state.method}'")
    if state.table:
        parts.append(f"table {state.table}")
    if state.until:
        parts.append(f"until {state.until}")
    return ", ".join(parts)


def _said(state: State) -> list[str]:
    if state.absent:
        return [f"{state.absent} Set by {state.set_by}."]
    sure = f"Confidence {state.confidence}, {state.sure}. Set by {state.set_by}."
    if state.amended_by:
        sure = f"Amended by {state.amended_by} ({state.set_by})."
    elif state.stands_in:
        sure += f" What stands in: {state.stands_in}"
    elif state.unconfirmed:
        sure += f" Refused: {state.unconfirmed}"
    note = f" ({state.source_note})" if state.source_note else ""
    return [state.words, sure, f"Sources: {' '.join(state.sources) or 'as cited'}{note}."]


def _tables(asked: str, rules: Sequence[Rule]) -> tuple[Rows, ...]:
    """The tables of the rules with their rows, where a section was asked for: by a word, too many would come."""
    if not _NUMBER.search(asked):
        return ()
    paths = dict.fromkeys(rule.table for rule in rules if rule.table != Path() and not rule.absent)
    return tuple(_rows(load(path)) for path in paths)


def _rows(table: Table) -> Rows:
    codes, note = split(table.notes["source"])
    return Rows(
        file=table.file,
        title=table.title,
        covers=table.covers,
        confidence=table.notes["confidence"],
        columns=tuple(Heading(column, table.label(column)) for column in table.columns),
        rows=tuple(tuple(row[column] for column in table.columns) for row in table.rows),
        sources=codes,
        source_note=note,
    )


def _table_text(table: Rows) -> list[str]:
    rows = [[column.label for column in table.columns], *table.rows]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    note = f" ({table.source_note})" if table.source_note else ""
    return [
        f"{table.title} ({table.file})",
        *("  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows),
        *wrap(f"Confidence {table.confidence}. Sources: {' '.join(table.sources)}{note}.", WIDTH, initial_indent="  ", subsequent_indent="  "),
        "",
    ]  # fmt: skip
