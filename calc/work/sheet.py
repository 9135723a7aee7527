"""A sheet: numbered lines of shown work, checks, cautions and notes. It knows nothing of wiring."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field, fields
from difflib import get_close_matches
from typing import Any, Literal

from calc.work import sheet_form, units
from calc.work.forms import SheetForm
from calc.work.keys import keyed
from calc.work.status import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, Status
from calc.work.values import EXACT_DECIMALS, Citation, Comparison, Lookup, Refused, Text, Value, WorkError
from calc.work.words import Words

Kind = Literal["worked", "looked up", "found", "replaced"]


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
        """The sheet in its public form."""
        return sheet_form.form_of(self)


def _all_cites(line: Line) -> list[Citation]:
    """The rules of a line, and the marked ones that its number, or what it was found by, goes back to."""
    found_by = [side for pair in line.compared for side in (pair.left, pair.right)]
    looked_up_by = line.lookup.chosen_by if line.lookup is not None else ()
    own = [line.value] if isinstance(line.value, Value) else []
    return [*line.cites, *(cite for value in (*own, *found_by, *looked_up_by) for cite in value.rests_on)]
