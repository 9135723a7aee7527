"""Edition files: each states only what it changes from the one it inherits from. An amendments file is one too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from calc.codebook.amending import check, check_table, check_text, shown
from calc.codebook.tables import FOLDER as TABLES
from calc.intake import NotTaken, is_number, taken, text_of, toml_of

EDITIONS = Path(__file__).parent / "editions"


class CodebookError(Exception):
    """An edition or amendments file that can't be used, or a rule asked for in a way that it has no answer to."""


@dataclass(frozen=True)
class Rule:
    """A rule as it stands in one edition.

    ``confidence`` A to D and U as in the reference: D prints a mark; U is refused unless ``stands_in`` says what is
    used instead and why that is the safe side. ``until`` is the date of the first permit for which it no longer holds.
    ``methods`` are procedures that no edition uses and an amendment may choose.
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
    methods: tuple[str, ...] = ()
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
    """The editions that ship, oldest first.

    Examples:
        >>> calc.editions()
        ['2017', '2020', '2023', '2026']
    """
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
                f"{path.name}: amends edition {shown(data.get('inherits', ''))}, but the job adopts '{name}'"
            )
        try:
            check_text(title := data["title"])
        except ValueError as error:
            raise CodebookError(f"{path.name}: title {error}") from None
        current = replace(
            current,
            rules=_overlaid(current.rules, data, path, title),
            amendments=(*current.amendments, title),
        )
    return current


def _read(path: Path) -> dict[str, Any]:
    try:
        data = toml_of(text_of(taken(path, kind="file of amendments")))
    except NotTaken as error:
        raise CodebookError(f"{path}: {error}") from None
    unknown = set(data) - {"title", "inherits", "rules"}
    if unknown or "title" not in data:
        raise CodebookError(f"{path.name}: has {shown(sorted(unknown)) if unknown else 'no title'}; "
                            "allowed at the top: title, inherits, rules")  # fmt: skip
    return data


_KEYS = {f.name for f in fields(Rule)} - {"set_by", "amended_by"}
_TEXTS = {f.name for f in fields(Rule) if f.type == "str"} | {"table"}


def _overlaid(rules: dict[str, Rule], data: dict[str, Any], path: Path, amends: str) -> dict[str, Rule]:
    result = dict(rules)
    if not isinstance(data.get("rules", {}), dict):
        raise CodebookError(
            f"{path.name}: rules is {shown(data['rules'])}; allowed: a table [rules.<name>] for each rule"
        )
    for name, changes in data.get("rules", {}).items():
        try:
            result[name] = _changed(name, result.get(name), changes, path, amends)
        except ValueError as error:
            raise CodebookError(f"{path.name}: rules.{name}: {error}") from None
    return result


def _changed(name: str, old: Rule | None, said: object, path: Path, amends: str) -> Rule:
    """A rule as a file changes it. ``amends``: the title of an amendments file, or '' for an edition of ours."""
    if not isinstance(said, dict):
        raise ValueError(f"is {shown(said)}; allowed: a table of what changes")
    known = _KEYS - {"methods"} if amends else _KEYS
    if unknown := set(said) - known:
        raise ValueError(f"unknown {', '.join(sorted(unknown))[:80]}; allowed: {', '.join(sorted(known))}")
    if amends and old is None:
        raise ValueError("the edition has no such rule to amend")
    if old is None and "name" not in said:
        raise ValueError("a new rule needs a name")
    changes = {key: _typed(key, value) for key, value in said.items()}
    if old is not None and old.absent and "absent" not in changes:
        changes["absent"] = ""
    if "table" in changes:
        changes["table"] = (path.parent if amends else TABLES) / changes["table"]
        if not changes["table"].exists():
            raise ValueError(f"no table '{changes['table'].name}'")
    if amends and old is not None:
        like, methods = _like(name, old)
        check(changes, old, like, methods)
        if "table" in changes:
            check_table(changes["table"], like)
        if "confidence" not in changes:
            changes.update(confidence="A", stands_in="", unconfirmed="")  # the adopting office has said what holds
    base = old or Rule(name=changes["name"])
    return replace(base, **changes, set_by=path.stem, amended_by=amends or base.amended_by)


def _typed(key: str, value: Any) -> Any:
    """What a file says under a key of a rule, as the rule holds it. ValueError for what it can't."""
    if key in _TEXTS:
        try:
            check_text(value)
        except ValueError as error:
            raise ValueError(f"{key} {error}") from None
        if key == "table" and Path(value).name != value:
            raise ValueError(f"table is {shown(value)}; allowed: the name of a file beside this one")
    elif key == "bands":
        return _bands(value)
    elif key in ("members", "methods"):
        if not isinstance(value, list) or not all(isinstance(one, str) and one.isprintable() for one in value):
            raise ValueError(f"{key} is {shown(value)}; allowed: a list of texts")
        return tuple(value)
    elif key == "value":
        if not is_number(value):
            raise ValueError(f"value is {shown(value)}; allowed: a number")
        return float(value)
    elif key == "until" and type(value) is not date:
        raise ValueError(f"until is {shown(value)}; allowed: a date such as 2026-09-01")
    return value


def _bands(said: Any) -> tuple[tuple[float | None, float], ...]:
    pairs = said if isinstance(said, list) else [said]
    for pair in pairs:
        if (
            not isinstance(pair, list)
            or len(pair) != 2
            or not (pair[0] == "" or is_number(pair[0]))
            or not is_number(pair[1])
        ):
            raise ValueError(f'bands is {shown(said)}; allowed: [[top, per cent], ...], the last top ""')
    return tuple((None if top == "" else float(top), float(pct)) for top, pct in pairs)


@cache
def _like(name: str, old: Rule) -> tuple[Rule, frozenset[str]]:
    """A rule as an edition has it that has it at all, the newest first; and every procedure known for it."""
    all_of = [rule for year in reversed(editions()) if (rule := edition(year).rules.get(name)) is not None]
    methods = {rule.method for rule in all_of if rule.method}.union(*(rule.methods for rule in all_of))
    return next((rule for rule in (old, *all_of) if not rule.absent), old), frozenset(methods)
