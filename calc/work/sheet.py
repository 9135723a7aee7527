"""A sheet: numbered lines of shown work, checks, cautions and notes. It knows nothing of wiring."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Literal

import tomli

from calc.work import expected_range, expressions, printing, units
from calc.work.forms import CheckForm, ExpectedForm, GivenForm, LineForm, NoteForm, SheetForm, SideForm
from calc.work.keys import keyed, stem_of
from calc.work.status import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, Status
from calc.work.values import EXACT_DECIMALS, Citation, Comparison, Lookup, Missing, Refused, Text, Value, WorkError

Kind = Literal["worked", "looked up", "found", "replaced"]


class Words:
    """The words of a family: names and reasons of its lines, cautions and notes, from one TOML file.

    ``manner`` is how a sheet is worked. What is true in one manner only stands in a table of its name in the entry,
    ``[climate_va.optional]``, and is used in place of the entry's own text.

    ``beside`` are the words of a family whose lines it prints too: what its own file lacks is looked up there.
    """

    def __init__(self, path: Path, beside: Words | None = None) -> None:
        self.path, self.beside = path, beside
        self.entries: dict[str, dict[str, Any]] = tomli.loads(path.read_text(encoding="utf-8"))
        self.manner: tuple[str, ...] = ()

    def of(self, *manner: str) -> Words:
        """The same words for sheets that are worked in this manner; of several, the first that an entry has counts."""
        other = copy(self)
        other.manner = manner
        return other

    def text(self, key: str, part: str, **fill: str) -> str:
        """One text of an entry, its {placeholders} filled."""
        entry = self.entries.get(key)
        if entry is None and self.beside is not None:
            return self.beside.text(key, part, **fill)
        if entry is None or part not in entry:
            raise WorkError(f"{self.path.name} has no '{part}' for '{key}'")
        text: str = entry[part]
        for manner in self.manner:
            if part in entry.get(manner, ()):
                text = entry[manner][part]
                break
        return text.format_map(fill)

    def has(self, key: str, part: str) -> bool:
        """Whether an entry has such a text."""
        return part in self.entries.get(key, ()) or (self.beside is not None and self.beside.has(key, part))

    def expected_range(self, key: str) -> dict[str, Any] | None:
        """The rule of thumb of an entry, where it has one."""
        if key not in self.entries and self.beside is not None:
            return self.beside.expected_range(key)
        rule: dict[str, Any] | None = self.entries[key].get("expected_range")
        return rule


@dataclass
class Line:
    """One numbered step."""

    number: int
    key: str
    kind: Kind
    name: str
    reason: str
    value: Value | str | None
    made: Value | None = None  # the expression, where the line is worked
    lookup: Lookup | None = None
    found: str = ""
    compared: list[Comparison] = field(default_factory=list)
    cites: tuple[Citation, ...] = ()

    @property
    def result(self) -> float | str:
        """Its result for machines: a number in the unit that the key ends in, or a word."""
        return self.value.number if isinstance(self.value, Value) else (self.value or self.found)


@dataclass
class Check:
    """What is required against what is provided."""

    key: str
    name: str
    reason: str
    holds: Comparison
    remedy: str
    cites: tuple[Citation, ...]
    called: tuple[str, str] | None = None  # what the two sides go by where their numbers say little, such as sizes

    @property
    def rests_on(self) -> tuple[Citation, ...]:
        """Its own rules, and the marked ones that either side goes back to: a verdict is as sure as its numbers."""
        carried = self.holds.left.rests_on | self.holds.right.rests_on
        return tuple(dict.fromkeys([*self.cites, *sorted(carried, key=lambda cite: cite.rule)]))


@dataclass
class Unknown:
    """A requirement that can't be told met or unmet until an entry is made: it reads as neither."""

    key: str
    name: str
    reason: str
    missing: str  # what to enter, in words
    at: str  # its place in the job file
    cites: tuple[Citation, ...]


@dataclass
class Sheet:
    """Shown work of one calculation for one subject.

    ``overrides`` replaces lines by key: a slip, a learner's own number or size, a what-if.
    """

    family: str
    title: str
    subject: str
    edition: str
    words: Words = field(compare=False)  # they follow from the family and the manner of its lines
    amendments: tuple[str, ...] = ()
    overrides: Mapping[str, float | str] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    unknowns: list[Unknown] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    on_site: list[str] = field(default_factory=list)
    """What a person has to see to on the spot, a line each: short forms of cautions."""
    uncovered: list[str] = field(default_factory=list)
    """What is not covered, a line each: short forms of cautions."""
    remarks: list[tuple[str, str]] = field(default_factory=list)  # (kind, text) beside the marked rules
    refused: Refused | None = None
    _taken: set[str] = field(default_factory=set)  # keys of lines, checks and unknowns

    # -- making lines ---------------------------------------------------------------------------------------

    def line(self, key: str, value: Value, item: str = "", cites: Sequence[Citation] = ()) -> Value:
        """Add a worked or looked-up line and give it back as an operand.

        ``key`` is the line's name for machines; its last word is its unit. ``item`` tells apart lines of one key
        (one a load); where they are alike all the same, the second is numbered. ``cites`` cites rules that govern the step
        without a number of their own.
        """
        unit = units.key_unit(key) or value.unit
        if unit.dims != value.unit.dims:
            raise WorkError(f"line '{key}' works out in {value.unit or 'no unit'}, not {unit}")
        looked_up = value.made is not None and value.made.kind == "lookup"
        number = round(value.base / unit.scale, EXACT_DECIMALS) + 0.0  # no minus nothing
        full_key, item = self._new(key, item)
        cites = tuple(dict.fromkeys([*value.cites, *cites]))
        kind: Kind = "looked up" if looked_up else "worked"
        made: Value | None = value
        if full_key in self.overrides:
            kind, made, number = "replaced", None, float(self.overrides[full_key])
        return self._add(full_key, key, item, kind, number, unit, cites, value, None if looked_up else made)

    def _add(
        self, full_key: str, key: str, item: str, kind: Kind, number: float, unit: units.Unit,
        cites: tuple[Citation, ...], value: Value, made: Value | None,
    ) -> Value:  # fmt: skip
        rests = value.rests_on | {cite for cite in cites if cite.mark}
        name = self.words.text(key, "name", item=item)
        result = Value(number, unit, name, "line", full_key, rests_on=frozenset(rests))
        lookup = value.made.extra if value.made is not None and value.made.kind == "lookup" else None
        self.lines.append(
            Line(len(self.lines) + 1, full_key, kind, name, self.words.text(key, "reason", item=item), result,
                 made=made, lookup=lookup if kind == "looked up" else None, cites=cites)
        )  # fmt: skip
        return result

    def pick(self, key: str, cell: Text, item: str = "", cites: Sequence[Citation] = ()) -> str:
        """Add a looked-up line whose result is a word, such as a conductor size, and give it back."""
        line = self._word(key, item, "looked up", tuple(dict.fromkeys([*cell.cites, *cites])))
        line.value = self._stated(line) or cell.text
        line.lookup = None if line.kind == "replaced" else cell.lookup
        return line.value

    def find(
        self, key: str, what: str, compared: Sequence[Comparison] = (), item: str = "", cites: Sequence[Citation] = ()
    ) -> str:
        """Add a found line and give it back: a place, a size tried, a choice; ``compared`` is what it rests on."""
        sides = [c for pair in compared for side in (pair.left, pair.right) for c in side.cites]
        line = self._word(key, item, "found", tuple(dict.fromkeys([*sides, *cites])))
        line.found = self._stated(line) or what
        line.compared = [] if line.kind == "replaced" else list(compared)
        return line.found

    def _word(self, key: str, item: str, kind: Kind, cites: tuple[Citation, ...]) -> Line:
        """A new line whose result is a word."""
        full_key, item = self._new(key, item)
        if full_key in self.overrides:
            kind = "replaced"
        name, reason = (self.words.text(key, part, item=item) for part in ("name", "reason"))
        self.lines.append(Line(len(self.lines) + 1, full_key, kind, name, reason, None, cites=cites))
        return self.lines[-1]

    def _stated(self, line: Line) -> str:
        """The word that replaces the line's own, or none."""
        return str(self.overrides.get(line.key, ""))

    def which(self, key: str, options: Mapping[str, Value], item: str = "", cites: Sequence[Citation] = ()) -> str:
        """Name the largest of the options in a printed line, the first on a tie."""
        best = max(options, key=lambda name: round(options[name].base, EXACT_DECIMALS))
        others = [options[best] >= value for name, value in options.items() if name != best]
        self.find(key, best, others, item=item, cites=cites)
        return best

    def sort(self, key: str, values: Sequence[Value], limit: Value, cites: Sequence[Citation] = ()) -> list[bool]:
        """Say for each value, in a printed line, whether it reaches the limit."""
        reached = [value >= limit for value in values]
        shown = [pair if pair.holds else value < limit for value, pair in zip(values, reached, strict=True)]
        inside = [value.name for value, pair in zip(values, reached, strict=True) if pair.holds]
        self.find(key, ", ".join(inside) or "none", shown, cites=cites)
        return [pair.holds for pair in reached]

    def check(
        self, key: str, holds: Comparison, remedy: str = "", item: str = "", cites: Sequence[Citation] = (),
        called: tuple[str, str] | None = None,
    ) -> bool:  # fmt: skip
        """Add a check of what there is, on the left, against what is required or allowed, on the right.

        ``remedy`` is the smallest change that would mend it, printed where it falls short; ``called`` is what the
        two sides go by where their numbers say little.
        """
        full_key, item = self._new(key, item)
        cites = tuple(dict.fromkeys([*holds.left.cites, *holds.right.cites, *cites]))
        self.checks.append(
            Check(full_key, self.words.text(key, "name", item=item), self.words.text(key, "reason", item=item),
                  holds, remedy, cites, called)
        )  # fmt: skip
        return holds.holds

    def unknown(self, key: str, missing: str, at: str, item: str = "", cites: Sequence[Citation] = ()) -> None:
        """Say that a requirement is not known to be met or to apply, and which entry would tell.

        ``missing`` names the entry in words, ``at`` its place in the job file, ``cites`` the rules that it decides.
        """
        full_key, item = self._new(key, item)
        name, reason = (self.words.text(key, part, item=item) for part in ("name", "reason"))
        self.unknowns.append(Unknown(full_key, name, reason, missing, at, tuple(dict.fromkeys(cites))))

    def caution(self, key: str, **fill: str) -> None:
        """Say what the sheet doesn't cover, or who decides."""
        self.cautions.append(self.words.text(key, "text", **fill))
        for part, briefly in (("on_site", self.on_site), ("uncovered", self.uncovered)):
            if self.words.has(key, part):
                briefly.append(self.words.text(key, part, **fill))

    def remark(self, key: str, **fill: str) -> None:
        """State a choice that was made where readings differ, as a numbered note."""
        self.remarks.append(("choice", self.words.text(key, "text", **fill)))

    def _new(self, key: str, item: str) -> tuple[str, str]:
        """The full key of a line and its item; an item that is there already under this key is numbered: 'rods 2'.

        Items come from a job's own words, two of which may be alike, so no two lines may need them to differ.
        """
        one, number = item, 1
        while (full := keyed(key, one)) in self._taken:
            number += 1
            one = f"{item} {number}".strip()
        self._taken.add(full)
        return full, one

    @contextmanager
    def up_to_a_refusal(self) -> Iterator[None]:
        """Work the sheet as far as it goes: a refusal ends it and stands on it."""
        try:
            yield
        except Refused as refusal:
            self.refused = refusal

    def copied(self) -> Sheet:
        """A sheet with the same lines, checks and the rest, to be gone on with; this one stays as it is."""
        lists = {each.name: copy(getattr(self, each.name)) for each in fields(self)}
        return Sheet(**lists)

    # -- what it says ---------------------------------------------------------------------------------------

    @property
    def status(self) -> Status:
        """What the sheet comes to: a known shortfall before all else, then what isn't worked, then what isn't shown."""
        if not all(check.holds.holds for check in self.checks):
            return FALLS_SHORT
        if self.refused is not None and self.refused.status == NOT_WORKED:
            return NOT_WORKED
        return NOT_SHOWN if self.refused or self.unknowns else PASSES

    @property
    def passes(self) -> bool:
        """True when it is worked in full and every check holds."""
        return self.status == PASSES

    def __contains__(self, key: str) -> bool:
        """Whether it has a line of that name."""
        return any(line.key == key for line in self.lines)

    def __getitem__(self, key: str) -> Any:
        """A result by name: ``sheet["drop_pct"]`` is a number in percent. KeyError names the nearest of those there are."""
        for line in self.lines:
            if line.key == key:
                return line.result
        found = self.results
        if key not in found:
            near = get_close_matches(key, found, 4, 0.4) or list(found)[:8]
            raise KeyError(f"no result '{key}' on '{self.title}, {self.subject}'; nearest: {', '.join(near) or 'none'}")
        return found[key]

    def value(self, key: str) -> Value:
        """The number of a line, for another sheet to carry."""
        for line in self.lines:
            if line.key == key and isinstance(line.value, Value):
                return line.value
        raise KeyError(key)

    def number_of(self, key: str) -> int:
        """The printed number of a line."""
        return next(line.number for line in self.lines if line.key == key)

    @property
    def results(self) -> dict[str, Any]:
        """Every line by key, in the unit that the key ends in, and what the sheet as a whole says."""
        named: dict[str, Any] = {}
        for line in self.lines:
            named[line.key] = line.result
        if self.checks or self.unknowns or self.refused:
            named["passes"] = self.passes
        marks = [(line.key, {cite.mark for cite in _all_cites(line)}) for line in self.lines]
        for mark, key in (("from memory", "from_memory"), ("unconfirmed", "unconfirmed"), ("amended", "amended")):
            resting = [line for line, found in marks if mark in found]
            if resting:
                named[key] = resting
        if self.refused:
            named["refused"] = self.refused.reason
        return named

    @property
    def cited(self) -> list[Citation]:
        """The rules that it cites itself, each once: of its lines, its checks, what is not shown or not worked."""
        refused = self.refused.cites if self.refused else ()
        found = [cite for line in self.lines for cite in line.cites]
        found += [cite for check in self.checks for cite in check.cites]
        found += [cite for unknown in self.unknowns for cite in unknown.cites]
        return list(dict.fromkeys([*found, *refused]))

    def as_json(self) -> SheetForm:
        """The sheet in its public form, version 1."""
        digits = printing.settle(self.lines, self.checks)
        operands = _operands(self)
        notes, note_of = _notes(self, operands)
        expected = _expected_ranges(self, notes, operands)

        def marks(cites: Sequence[Citation]) -> list[int]:
            return sorted({note_of[cite] for cite in cites if cite in note_of})

        return {
            "schema_version": 2,
            "family": self.family,
            "title": self.title,
            "subject": self.subject,
            "edition": self.edition,
            "amendments": list(self.amendments),
            "lines": [_line_json(line, digits, marks(line.cites), expected.get(line.key)) for line in self.lines],
            "checks": [_check_json(check, digits, marks(check.rests_on)) for check in self.checks],
            "not_shown": [
                {"key": each.key, "name": each.name, "missing": each.missing, "at": each.at,
                 "sections": _sections(each.cites), "marks": marks(each.cites), "reason": each.reason}
                for each in self.unknowns
            ],
            "status": self.status,
            "results": self.results,
            "givens": _givens(operands, digits),
            "rules": [
                {"rule": c.rule, "section": c.section, "words": c.words, "confidence": c.confidence,
                 "set_by": c.set_by, "marks": marks([c])}
                for c in self.cited
            ],
            "cautions": list(dict.fromkeys(self.cautions)),
            "notes": notes,
            "refused": None if self.refused is None else
            {"reason": self.refused.reason, "sections": _sections(self.refused.cites),
             "missing": self.refused.at if isinstance(self.refused, Missing) else None},
        }  # fmt: skip


def _all_cites(line: Line) -> list[Citation]:
    """The rules of a line, and the marked ones that its number, or what it was found by, goes back to."""
    found_by = [side for pair in line.compared for side in (pair.left, pair.right)]
    looked_up_by = line.lookup.chosen_by if line.lookup is not None else ()
    own = [line.value] if isinstance(line.value, Value) else []
    return [*line.cites, *(cite for value in (*own, *found_by, *looked_up_by) for cite in value.rests_on)]


def _sections(cites: Sequence[Citation]) -> list[str]:
    return list(dict.fromkeys(cite.section for cite in cites if cite.section))


def _operands(sheet: Sheet) -> list[Value]:
    """All that its lines and checks are worked out from, in their order."""
    pairs = [pair for line in sheet.lines for pair in line.compared] + [check.holds for check in sheet.checks]
    made = [line.made for line in sheet.lines if line.made is not None]
    expressions = [*made, *(side for pair in pairs for side in (pair.left, pair.right))]
    return [leaf for expression in expressions for leaf in printing.leaves(expression)]


def _notes(sheet: Sheet, operands: Sequence[Value]) -> tuple[list[NoteForm], dict[Citation, int]]:
    carried = [cite for operand in operands for cite in operand.rests_on]
    marked = [cite for cite in dict.fromkeys([*sheet.cited, *sorted(set(carried), key=lambda c: c.rule)]) if cite.mark]
    alike: dict[tuple[str, str], list[Citation]] = {}
    for cite in marked:
        alike.setdefault((cite.mark, cite.note), []).append(cite)
    notes: list[NoteForm] = []
    numbers: dict[Citation, int] = {}
    for mark, ((kind, note), cites) in enumerate(alike.items(), 1):
        about = ", ".join(
            dict.fromkeys(f"{cite.name} ({cite.section})" if cite.section else cite.name for cite in cites)
        )
        notes.append({"mark": mark, "kind": kind, "text": f"{about}: {note}"})
        numbers.update(dict.fromkeys(cites, mark))
    for kind, text in dict.fromkeys(sheet.remarks):
        notes.append({"mark": len(notes) + 1, "kind": kind, "text": text})
    return notes, numbers


def _expected_ranges(
    sheet: Sheet, notes: list[NoteForm], operands: Sequence[Value]
) -> dict[str, ExpectedForm]:  # fmt: skip
    """The rough range of each line that has a rule of thumb, in its public form; their basis goes among the notes."""
    found: dict[str, ExpectedForm] = {}
    for line in sheet.lines:
        rule = sheet.words.expected_range(stem_of(line.key))
        rough = expected_range.expected(line.value, rule, operands)
        if rough is not None:
            text = f"{line.name}: {rough.note}"
            mark = next((note["mark"] for note in notes if note["text"] == text), len(notes) + 1)
            if mark > len(notes):
                notes.append({"mark": mark, "kind": expected_range.NOTE, "text": text})
            found[line.key] = {**rough.as_json(), "mark": mark}
    return found


def _givens(operands: Sequence[Value], digits: printing.Digits) -> list[GivenForm]:
    seen: dict[tuple[str, str], GivenForm] = {}
    for one in operands:
        if one.origin in ("given", "carried") and (one.name, one.at) not in seen:
            text = printing.quantity(one.number, one.unit, printing.leaf_decimals(one, digits))
            seen[one.name, one.at] = {"name": one.name, "value": one.number, "text": text, "at": one.at}
    return list(seen.values())


def _check_json(check: Check, digits: printing.Digits, marks: list[int]) -> CheckForm:
    holds = check.holds
    return {
        "key": check.key,
        "name": check.name,
        "text": expressions.required(holds, digits, check.called),
        "provided": _side_json(holds.left, digits),
        "sign": holds.sign,
        "required": _side_json(holds.right, digits),
        "passes": holds.holds,
        "sections": _sections(check.cites),
        "marks": marks,
        "remedy": "" if holds.holds else check.remedy,
        "reason": check.reason,
    }


def _side_json(side: Value, digits: printing.Digits) -> SideForm:
    """One side of a check: what it is, and how much."""
    return {"name": expressions.formula(side), "numbers": expressions.numbers(side, digits),
            "value": round(side.number, EXACT_DECIMALS), "unit": str(side.unit)}  # fmt: skip


def _line_json(line: Line, digits: printing.Digits, marks: list[int], expected: ExpectedForm | None) -> LineForm:
    number: float | str | None = None
    unit = ""
    if isinstance(line.value, Value):
        number, unit = line.value.number, str(line.value.unit)
        result = printing.quantity(line.value.number, line.value.unit, digits[line.key])
    else:
        number = line.value
        result = line.value if line.value is not None else line.found
    if line.lookup is not None:
        formula, shown = line.lookup.text, ""
    elif line.made is not None:
        formula, shown = expressions.formula(line.made), expressions.numbers(line.made, digits)
    else:
        formula = ""
        shown = "; ".join(expressions.comparison(pair, digits) for pair in line.compared)
    sources = [line.made] if line.made is not None else [s for p in line.compared for s in (p.left, p.right)]
    operands = [leaf for source in sources for leaf in printing.leaves(source)]
    if line.lookup is not None:
        operands += line.lookup.chosen_by
    uses = [leaf.at for leaf in operands if leaf.origin == "line"]
    return {
        "number": line.number,
        "key": line.key,
        "kind": line.kind,
        "name": line.name,
        "formula": formula,
        "numbers": shown,
        "result": result,
        "value": number,
        "unit": unit,
        "sections": _sections(line.cites),
        "marks": marks,
        "uses": list(dict.fromkeys(uses)),
        "lookup": None if line.lookup is None else
        {"table": line.lookup.table, "file": line.lookup.file, "row": dict(line.lookup.row),
         "column": line.lookup.column},
        "reason": line.reason,
        "expected_range": expected,
    }  # fmt: skip
