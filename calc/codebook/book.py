"""The electrical code as data: rules asked by name, as they stand in one edition with its local amendments."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from calc.codebook import tables
from calc.codebook.files import CodebookError, Edition, Rule
from calc.work import Bands, Citation, Lookup, Refused, Text, Value
from calc.work.printing import decimals_needed, quantity, rounded
from calc.work.units import COUNTS, DECIMALS, KEY_UNITS, Unit, key_unit, unit
from calc.work.values import EXACT_DECIMALS, Op

FROM_MEMORY = "value from memory, check the code book"


class Codebook:
    """One edition, amended or not. ``in_full`` is all that it says, for a page about it; families ask rule by rule."""

    def __init__(self, edition: Edition) -> None:
        self.edition = edition.base
        self.amendments = edition.amendments
        self._rules = edition.rules
        self._values: dict[str, Value] = {}
        self._cites: dict[str, Citation] = {}
        self.in_full = edition

    def __getitem__(self, rule: str) -> Value:
        """The rule's value. Refused where the edition has no such rule or its value is unconfirmed."""
        if rule in self._values:
            return self._values[rule]
        data = self._rule(rule)
        if data.value is None:
            raise CodebookError(f"rule '{rule}' has no single value: ask for its bands, row, members or method")
        cite = self.cite(rule)
        value = Value(data.value, unit(data.unit), data.name, "rule", rule, cites=(cite,), rests_on=_marked(cite))
        return self._values.setdefault(rule, value)

    def has(self, rule: str) -> bool:
        """False where this edition declares that it has no such rule."""
        return not self._known(rule).absent

    def why_absent(self, rule: str) -> str:
        """The reason for which this edition has no such rule, or ''."""
        return self._known(rule).absent

    def cite(self, rule: str) -> Citation:
        """The rule as something to cite, for a step that it governs."""
        if rule in self._cites:
            return self._cites[rule]
        data = self._rule(rule)
        mark, note = "", ""
        if data.amended_by:
            mark, note = "amended", f"amended by {data.amended_by}: {data.words}"
        elif data.confidence == "U":
            mark, note = "unconfirmed", data.stands_in
        elif data.confidence == "D":
            mark, note = "from memory", FROM_MEMORY
        cite = Citation(rule, data.name, data.section, data.words, data.confidence, data.set_by, mark, note)
        return self._cites.setdefault(rule, cite)

    def bands(self, rule: str) -> Bands:
        """The rule's steps of a demand factor."""
        data = self._rule(rule)
        return Bands(tuple((top, percent) for top, percent in data.bands), unit(data.unit), self.cite(rule))

    def members(self, rule: str) -> frozenset[str]:
        """The kinds that the rule takes in."""
        return frozenset(self._rule(rule).members)

    def in_force(self, rule: str, permit_date: date | None) -> bool:
        """Whether the rule still holds for a permit of that date; one that ends holds for no permit without a date."""
        ends = self._rule(rule).until
        return ends is None or (permit_date is not None and permit_date < ends)

    def until(self, rule: str) -> date | None:
        """The date from which on the rule no longer holds; None where no end is set."""
        return self._rule(rule).until

    def method(self, rule: str) -> str:
        """The name of the procedure that this edition uses."""
        return self._rule(rule).method

    def rows(self, rule: str) -> tuple[Mapping[str, str], ...]:
        """The rule's table as printed, for trying one row after the other."""
        return tables.load(self._rule(rule).table).rows

    def row(self, rule: str, **by: Value | str) -> Row:
        """The row of the rule's table for ``by``: an exact key, or a band that a number falls in."""
        data = self._rule(rule)
        table = tables.load(data.table)
        numbers = {key: value.number if isinstance(value, Value) else value for key, value in by.items()}
        found = table.find(numbers)
        asked = ", ".join(_asked(table, key, value) for key, value in by.items())
        if found is None:
            raise Refused(f"{data.section} has no row for {asked}: {table.covers}", self.cite(rule))
        return Row(self, rule, table, found, numbers, asked, tuple(v for v in by.values() if isinstance(v, Value)))

    def at_least(self, rule: str, amount: Value) -> Value:
        """The smallest value in the first column of the rule's table that is not under ``amount``."""
        return self._next(rule, amount, "at_least")

    def at_most(self, rule: str, amount: Value) -> Value:
        """The largest value in the first column of the rule's table that is not over ``amount``."""
        return self._next(rule, amount, "at_most")

    def _next(self, rule: str, amount: Value, way: str) -> Value:
        data = self._rule(rule)
        table = tables.load(data.table)
        column = table.columns[0]
        limit = round(amount.number, EXACT_DECIMALS)
        up = way == "at_least"

        def nearest(to: float) -> Mapping[str, str] | None:
            fits = [row for row in table.rows if (float(row[column]) >= to if up else float(row[column]) <= to)]
            return (min if up else max)(fits, key=lambda row: float(row[column]), default=None)

        best = nearest(limit)
        if best is None:
            word = "stops below" if up else "begins above"
            where = data.section or f"the list of {data.name}"
            raise Refused(f"{where} {word} {quantity(limit, amount.unit)}", self.cite(rule))
        # said with the decimals that its unit prints with, and more where those would lead to another row
        full = decimals_needed(limit)
        few = min(DECIMALS.get(amount.unit.text, full), full)
        places = next(n for n in range(few, full + 1) if nearest(float(rounded(limit, n))) == best)
        said = f"at {'least' if up else 'most'} {quantity(limit, amount.unit, places)}"
        return Row(self, rule, table, best, {way: limit}, said, (amount,))[column]

    def _known(self, rule: str) -> Rule:
        data = self._rules.get(rule)
        if data is None:
            near = difflib.get_close_matches(rule, self._rules, 3)
            raise CodebookError(f"no rule '{rule}' in edition {self.edition}; nearest: {', '.join(near) or 'none'}")
        return data

    def _rule(self, rule: str) -> Rule:
        data = self._known(rule)
        if data.absent:
            raise Refused(data.absent)
        if data.confidence == "U" and not data.stands_in:
            raise Refused(f"edition {self.edition}: {data.name} is not confirmed ({data.unconfirmed}). "
                          "An amendments file may supply the adopted value",
                          Citation(rule, data.name, data.section, data.words, "U", data.set_by))  # fmt: skip
        return data


@dataclass(frozen=True)
class Row:
    """One row of a table, ready to give its cells."""

    code: Codebook
    rule: str
    table: tables.Table
    cells: Mapping[str, str]
    by: Mapping[str, Any]
    said: str  # what it was found by, in words
    asked: tuple[Value, ...]

    def __getitem__(self, column: str) -> Value:
        """A number of the row, as a value to be given a line of its own."""
        cell = self.cells[column]
        if cell == "":
            raise Refused(f"{self._lookup(column).text} is blank in the table", self.code.cite(self.rule))
        cite = self._cite()
        rests: frozenset[Citation] = frozenset().union(_marked(cite), *(value.rests_on for value in self.asked))
        lookup = self._lookup(column)
        return Value(float(cell), _column_unit(column), lookup.text, "made",
                     made=Op("lookup", self.asked, lookup), cites=(cite,), rests_on=rests)  # fmt: skip

    def text(self, column: str) -> Text:
        """A word of the row, such as a conductor size."""
        return Text(self.cells[column], self._lookup(column), (self._cite(),))

    def has(self, column: str) -> bool:
        """Whether the row has anything but nothing in this column."""
        return self.cells.get(column, "") not in ("", "0")

    def _cite(self) -> Citation:
        cite = self.code.cite(self.rule)
        confidence = self.cells.get("confidence", "")
        if confidence == "D" and not cite.mark:
            return replace(cite, confidence="D", mark="from memory", note=f"this row is a {FROM_MEMORY}")
        if confidence == "U":
            raise Refused(f"{self.table.title}: this row is not confirmed", cite)
        return cite

    def _lookup(self, column: str) -> Lookup:
        data = self.code._rules[self.rule]
        where = data.section or self.table.title
        return Lookup(self.table.name, self.table.file, tuple(self.by.items()), column,
                      f"{where}, {self.table.label(column)}, {self.said}", self.asked)  # fmt: skip


def _marked(cite: Citation) -> frozenset[Citation]:
    return frozenset({cite} if cite.mark else ())


def _asked(table: tables.Table, key: str, value: Value | str) -> str:
    """What a row is found by, as a reader says it: 'air 86 °F', 'size 4/0', 'stranded'."""
    name = table.notes.get(f"by {key}", key.replace("_", " "))
    if isinstance(value, str):
        return f"{name} {value}".strip()
    if name.rpartition(" ")[2] in KEY_UNITS:  # 'rating_a': the unit stands behind the number
        name = name.rpartition(" ")[0]
    counted = value.unit.text in COUNTS
    return f"{name} {quantity(value.number, unit('') if counted else value.unit)}".strip()


def _column_unit(column: str) -> Unit:
    """The unit in a column's name: its last word ('demand_pct' is in percent)."""
    return key_unit(column) or unit("")
