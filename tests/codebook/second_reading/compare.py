"""What differs between the codebook and its second reading: by table cell, and by rule, edition and field."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from calc.codebook import tables
from calc.codebook.files import Rule, edition
from tests.codebook.second_reading import rules as reading
from tests.codebook.second_reading.gathered import Rows, cell, keyed
from tests.codebook.second_reading.rules import EDITIONS
from tests.codebook.second_reading.tables import keys, second

FIXED = Path(__file__).parent / "fixed.toml"
FIELDS = ("section", "value", "unit", "bands", "members", "method", "table", "until", "confidence", "absent")
CABLES = Path(__file__).parents[3] / "calc" / "job" / "made_cables.csv"


def _cables() -> tables.Table:
    """The cables as made, which stand with the job file."""
    rows = tuple(csv.DictReader(line for line in CABLES.read_text(encoding="utf-8").splitlines() if line[:1] != "#"))
    assert all(None not in row and None not in row.values() for row in rows), "a row with more or fewer cells"
    return tables.Table(CABLES, {}, tuple(rows[0]), rows)


TABLES = {path.stem: tables.load(path) for path in sorted(tables.FOLDER.glob("*.csv"))} | {CABLES.stem: _cables()}
Difference = tuple[str, str]
"""Who noticed ('gathered' or 'fixed'), and what."""


@cache
def fixed() -> dict[str, Any]:
    """What no second place confirms, as it stood when somebody last looked."""
    return tomllib.loads(FIXED.read_text(encoding="utf-8"))


def table_differences(name: str, rows: tuple[Mapping[str, str], ...]) -> Iterator[Difference]:
    """Rows that are missing or more, and cells that differ."""
    columns = TABLES[name].columns
    ours = keyed(rows, keys(columns, name))
    if len(ours) != len(rows):
        yield "gathered", f"{name}: two rows with the same keys"
    read, fence = _second().get(name, {}), _fence(name)
    for key in ours.keys() - read.keys() - fence.keys():
        yield "gathered" if read else "fixed", f"{name}: a row {' '.join(key)} that nobody read twice"
    for who, expected in (("gathered", read), ("fixed", fence)):
        for key in expected.keys() - ours.keys():
            yield who, f"{name}: no row {' '.join(key)}"
        for key, row in expected.items():
            for column, found in row.items():
                if key in ours and ours[key][column] != found:
                    yield who, f"{name}, {' '.join(key)}, {column}: {ours[key][column]}, read a second time {found}"


@cache
def _second() -> dict[str, Rows]:
    return second()


@cache
def _fence(name: str) -> Rows:
    fence: Rows = {}
    for line in fixed()["tables"].get(name, ()):
        key, _, cells = line.partition(" : ")
        fence[tuple(key.split("|"))] = dict(part.split("=", 1) for part in cells.split("|") if part)
    return fence


def unread_cells(name: str) -> Rows:
    """The cells of a table that nothing gathered has."""
    columns = TABLES[name].columns
    ours, read = keyed(TABLES[name].rows, keys(columns, name)), _second().get(name, {})
    left = {key: {column: found for column, found in row.items() if column not in read.get(key, {})} for key, row in ours.items()}  # fmt: skip
    return {key: row for key, row in left.items() if row or key not in read}


def rule_differences(name: str, year: str, rule: Rule) -> Iterator[Difference]:
    """Fields of a rule that differ from what was gathered or fixed."""
    for field in FIELDS:
        found = shown(rule, field)
        expected = gathered_field(name, year, field)
        if expected is not None and found != expected and not rule.absent:
            yield "gathered", f"{year}, {name}, {field}: {found}, read a second time {expected}"
        fence = fixed()["rules"].get(field, {}).get(name)
        if fence is not None and found != (said := fence if isinstance(fence, str) else fence[EDITIONS.index(year)]):
            yield "fixed", f"{year}, {name}, {field}: {found}, fixed as {said}"
        elif fence is None and found and expected is None:
            yield "fixed", f"{year}, {name}, {field}: {found}, which nobody read twice or fixed"
    if not rule.absent and reading.section_agrees(rule, name, year) is False:
        yield "gathered", f"{year}, {name}: {rule.section} is not where the map of editions has it"


def gathered_field(name: str, year: str, field: str) -> str | None:
    """The field as gathered, as it is compared; None where nothing gathered has it."""
    if field == "value" and (value := reading.value(name, year)) is not None:
        return cell(round(value, 9))
    if field == "bands" and name in reading.BANDS:
        return _bands(reading.BANDS[name](year))
    if field == "members" and (members := reading.members(name, year)) is not None:
        return " ".join(sorted(members))
    return None


def shown(rule: Rule, field: str) -> str:
    """A field as it is compared; of an absent rule only that it is."""
    if field == "absent":
        return "absent" if rule.absent else ""
    if rule.absent:
        return ""
    found = getattr(rule, field)
    if field == "bands":
        return _bands(found)
    if field == "members":
        return " ".join(sorted(found))
    if field == "table":
        return "" if found == Path() else found.name
    return cell(found) if field == "value" else str(found or "")  # a section is no number: 250.14 is not 250.140


def _bands(bands: Any) -> str:
    return "; ".join(f"{cell(top)}: {cell(share)}" for top, share in bands)


def all_differences() -> list[Difference]:
    """The whole codebook against its second reading."""
    found = [each for name, table in TABLES.items() for each in table_differences(name, table.rows)]
    for year in EDITIONS:
        for name, rule in edition(year).rules.items():
            found += rule_differences(name, year, rule)
    for field, entries in fixed()["rules"].items():
        found += [("fixed", f"{name}, {field}: fixed, but no such rule") for name in entries if name not in edition("2026").rules]  # fmt: skip
    found += [("fixed", f"{name}: fixed, but no such table") for name in fixed()["tables"] if name not in TABLES]
    return found
