"""Each table cell and each rule value changed once, in memory: does the second reading notice?

``python -m tests.mutants.data`` prints how many were noticed, by whom (a page that was gathered, or the fence of values
that nothing confirms), and each that nobody noticed.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from calc.codebook.files import Rule, edition
from tests.codebook.second_reading import compare
from tests.codebook.second_reading.rules import EDITIONS


@dataclass(frozen=True)
class Mutant:
    """One change: where it stands, what kind of thing was changed, and who noticed it ('' for nobody)."""

    where: str
    kind: str
    noticed: str


def mutants() -> Iterator[Mutant]:
    """Every mutant of tables and rules, judged."""
    for name, table in compare.TABLES.items():
        for number, row in enumerate(table.rows):
            for column in table.columns:
                changed = {**row, column: _other_cell(row[column])}
                rows = (*table.rows[:number], changed, *table.rows[number + 1 :])
                yield _of_table(name, rows, f"{name}, row {number + 1}, {column}", "cell")
            yield _of_table(name, (*table.rows[:number], *table.rows[number + 1 :]), f"{name}, row {number + 1} left out", "row")  # fmt: skip
    for year in EDITIONS:
        for name, rule in edition(year).rules.items():
            for kind, changed_rule in _changed(rule):
                noticed = {who for who, _ in compare.rule_differences(name, year, changed_rule)}
                yield Mutant(f"{year}, {name}, {kind}", kind, _best(noticed))


def _of_table(name: str, rows: tuple[Mapping[str, str], ...], where: str, kind: str) -> Mutant:
    return Mutant(where, kind, _best({who for who, _ in compare.table_differences(name, rows)}))


def _best(noticed: set[str]) -> str:
    return next((who for who in ("gathered", "fixed") if who in noticed), "")


def _other_cell(cell: str) -> str:
    """The last digit one more, a blank filled, a word made another."""
    if cell == "":
        return "1"
    return cell[:-1] + str((int(cell[-1]) + 1) % 10) if cell[-1].isdigit() else cell + "x"


def _changed(rule: Rule) -> Iterator[tuple[str, Rule]]:
    """The rule with one thing changed, for each thing that it has."""
    if rule.absent:
        yield "absent", replace(rule, absent="")
        return
    yield "absent", replace(rule, absent="Not in this edition.")
    yield "confidence", replace(rule, confidence="B" if rule.confidence == "A" else "A")
    if rule.section:
        yield "section", replace(rule, section=_other_section(rule.section))
    if rule.value is not None:
        yield "value", replace(rule, value=rule.value + (1 if rule.value == int(rule.value) else 0.01))
    if rule.unit:
        yield "unit", replace(rule, unit="in" if rule.unit != "in" else "ft")
    for number, (top, share) in enumerate(rule.bands):
        for band in ((top + 1 if top is not None else 1.0, share), (top, share + 1)):
            yield "band", replace(rule, bands=(*rule.bands[:number], band, *rule.bands[number + 1 :]))
    for member in rule.members:
        yield "member left out", replace(rule, members=tuple(one for one in rule.members if one != member))
    if rule.members:
        yield "member put in", replace(rule, members=(*rule.members, "another"))
    if rule.method:
        yield "method", replace(rule, method="another way")
    if rule.table != Path():
        yield "table", replace(rule, table=rule.table.with_name("terminals.csv" if rule.table.stem != "terminals" else "ampacity.csv"))  # fmt: skip
    if rule.until:
        yield "until", replace(rule, until=rule.until + timedelta(days=1))
        yield "until", replace(rule, until=None)


def _other_section(section: str) -> str:
    """The last digit of a section, or the last letter of one that has none, one further."""
    at = max((place for place, char in enumerate(section) if char.isdigit()), default=len(section) - 1)
    char = section[at]
    return section[:at] + (str((int(char) + 1) % 10) if char.isdigit() else chr(ord(char) + 1)) + section[at + 1 :]


def report(judged: list[Mutant]) -> str:
    """Killed of total by kind, and every survivor."""
    whole, killed = Counter(one.kind for one in judged), Counter((one.kind, one.noticed) for one in judged)
    out = [f"{'changed':<16} {'mutants':>8} {'by a page':>10} {'by the fence':>13} {'survived':>9}"]
    out += [
        f"{kind:<16} {whole[kind]:>8} {killed[kind, 'gathered']:>10} {killed[kind, 'fixed']:>13} {killed[kind, '']:>9}"
        for kind in whole
    ]
    left = [one.where for one in judged if not one.noticed]
    out.append(f"{len(judged) - len(left)} of {len(judged)} noticed")
    return "\n".join(out + [f"  survived: {where}" for where in left])


if __name__ == "__main__":
    found = list(mutants())
    print(report(found))
    sys.exit(0 if all(one.noticed for one in found) else 1)
