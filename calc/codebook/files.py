"""Edition files: each states only what it changes from the one it inherits from. An amendments file is one too."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date
from functools import cache
from math import isfinite
from pathlib import Path
from typing import Any

from calc.codebook.tables import FOLDER as TABLES
from calc.codebook.tables import load

EDITIONS = Path(__file__).parent / "editions"


class CodebookError(Exception):
    """An edition or amendments file that can't be used, or a rule asked for in a way that it has no answer to."""


@dataclass(frozen=True)
class Rule:
    """A rule as it stands in one edition.

    ``confidence`` A to D and U as in the reference: D prints a mark; U is refused unless ``stands_in`` says what is
    used instead and why that is the safe side. ``until`` is the date of the first permit for which it no longer holds.
    """

    name: str
    section: str = ""
    words: str = ""
    confidence: str = ""
    source: str = ""
    value: float | None = None
    unit: str = ""
    bands: tuple[tuple[float | None, float], ...] = ()
    members: tuple[str, ...] = ()
    method: str = ""
    table: Path = Path()
    until: date | None = None
    absent: str = ""
    stands_in: str = ""
    unconfirmed: str = ""
    set_by: str = ""
    amended_by: str = ""


@dataclass(frozen=True)
class Edition:
    """All rules of an edition, inherited and its own."""

    base: str
    rules: dict[str, Rule]
    amendments: tuple[str, ...] = ()
    titles: dict[str, str] = field(default_factory=dict)


def editions() -> list[str]:
    """The editions that ship, oldest first."""
    return sorted(path.stem for path in EDITIONS.glob("*.toml"))


@cache
def edition(name: str, folder: Path = EDITIONS) -> Edition:
    """An edition by name ('2023'), with all that it inherits."""
    path = folder / f"{name}.toml"
    if not path.exists():
        raise CodebookError(f"no edition '{name}'; there are {', '.join(editions())}")
    data = _read(path)
    parent = edition(data["inherits"], folder) if data.get("inherits") else Edition(name, {})
    return Edition(name, _overlaid(parent.rules, data, path, ""), (), {**parent.titles, name: data["title"]})


def amended(name: str, paths: Sequence[Path]) -> Edition:
    """An edition with local amendments laid over it, in the order given."""
    current = edition(name)
    for path in paths:
        data = _read(path)
        if data.get("inherits") != name:
            raise CodebookError(
                f"{path.name}: amends edition '{data.get('inherits', '')}', but the job adopts '{name}'"
            )
        _check_text(title := data["title"], f"{path.name}: title")
        current = replace(
            current,
            rules=_overlaid(current.rules, data, path, title),
            amendments=(*current.amendments, title),
        )
    return current


def _read(path: Path) -> dict[str, Any]:
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise CodebookError(f"{path}: can't be read: {error.strerror}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise CodebookError(f"{path.name}: not a TOML file: {error}") from None
    unknown = set(data) - {"title", "inherits", "rules"}
    if unknown or "title" not in data:
        raise CodebookError(f"{path.name}: has {', '.join(sorted(unknown)) or 'no title'}; "
                            "allowed at the top: title, inherits, rules")  # fmt: skip
    return data


_KEYS = {f.name for f in fields(Rule)} - {"set_by", "amended_by"}
_TEXTS = {f.name for f in fields(Rule) if f.type == "str"} | {"table"}


def _overlaid(rules: dict[str, Rule], data: dict[str, Any], path: Path, amends: str) -> dict[str, Rule]:
    result = dict(rules)
    if not isinstance(data.get("rules", {}), dict):
        raise CodebookError(f"{path.name}: rules is {data['rules']!r}; allowed: a table [rules.<name>] for each rule")
    for name, changes in data.get("rules", {}).items():
        where = f"{path.name}: rules.{name}"
        if not isinstance(changes, dict):
            raise CodebookError(f"{where}: is {changes!r}; allowed: a table of what changes")
        if unknown := set(changes) - _KEYS:
            raise CodebookError(f"{where}: unknown {', '.join(sorted(unknown))}; allowed: {', '.join(sorted(_KEYS))}")
        if amends and name not in rules:
            raise CodebookError(f"{where}: the edition has no such rule to amend")
        for key in _TEXTS & set(changes):
            _check_text(changes[key], f"{where}: {key}")
        result[name] = _changed(result.get(name), dict(changes), path, amends, where)
    return result


def _check_text(text: object, where: str) -> None:
    """Text of an amendments file is printed on sheets and in the terminal, and comes from anywhere."""
    if not isinstance(text, str) or not text.isprintable():
        raise CodebookError(f"{where} is {text!r}; allowed: text on one line, of characters that can be seen")


def _check_table(path: Path, replaced: Rule | None, where: str) -> None:
    """A table that an amendments file brings has the columns of the one it replaces, with numbers where that has them."""
    try:
        table = load(path)
    except (OSError, ValueError) as error:
        raise CodebookError(f"{where}: {error}") from None
    for text in (*table.notes.values(), *table.columns, *(cell for row in table.rows for cell in row.values())):
        _check_text(text, f"{where}: in {path.name}")
    if replaced is None or replaced.table == Path():
        return
    like = load(replaced.table)
    if lacking := [column for column in like.columns if column not in table.columns]:
        raise CodebookError(f"{where}: {path.name} has no column {', '.join(lacking)}, which the rule looks up")
    for column in like.columns:
        theirs = {row[column] for row in like.rows}
        if not all(cell == "" or _is_number(cell) for cell in theirs):
            continue
        blank = " or blank" if "" in theirs else ""
        for cell in (row[column] for row in table.rows):
            if not _is_number(cell) and not (blank and cell == ""):
                raise CodebookError(f"{where}: {path.name}: {column} is '{cell}'; allowed: a number{blank}")


def _is_number(cell: str) -> bool:
    try:
        return isfinite(float(cell))
    except ValueError:
        return False


def _bands(said: Any, where: str) -> tuple[tuple[float | None, float], ...]:
    try:
        return tuple((None if top == "" else float(top), float(pct)) for top, pct in said)
    except (TypeError, ValueError):
        raise CodebookError(f'{where}: bands is {said!r}; allowed: [[top, per cent], ...], the last top ""') from None


def _changed(old: Rule | None, changes: dict[str, Any], path: Path, amends: str, where: str) -> Rule:
    if old is None and "name" not in changes:
        raise CodebookError(f"{where}: a new rule needs a name")
    if old is not None and old.absent and "absent" not in changes:
        changes["absent"] = ""
    if "bands" in changes:
        changes["bands"] = _bands(changes["bands"], where)
    if "members" in changes:
        if not isinstance(changes["members"], list) or not all(isinstance(one, str) for one in changes["members"]):
            raise CodebookError(f"{where}: members is {changes['members']!r}; allowed: a list of texts")
        changes["members"] = tuple(changes["members"])
    if "table" in changes:
        if Path(changes["table"]).name != changes["table"]:
            raise CodebookError(f"{where}: table is '{changes['table']}'; allowed: the name of a file beside this one")
        changes["table"] = (path.parent if amends else TABLES) / changes["table"]
        if not changes["table"].exists():
            raise CodebookError(f"{where}: no table '{changes['table'].name}'")
        if amends:
            _check_table(changes["table"], old, where)
    if "value" in changes:
        if isinstance(changes["value"], bool) or not isinstance(changes["value"], (int, float)):
            raise CodebookError(f"{where}: value is {changes['value']!r}; allowed: a number")
        changes["value"] = float(changes["value"])
    if type(changes.get("until", date.min)) is not date:
        raise CodebookError(f"{where}: until is {changes['until']!r}; allowed: a date such as 2026-09-01")
    if amends and "confidence" not in changes:
        changes.update(confidence="A", stands_in="", unconfirmed="")  # the adopting office has said what holds
    base = old or Rule(name=changes["name"])
    return replace(base, **changes, set_by=path.stem, amended_by=amends or base.amended_by)
