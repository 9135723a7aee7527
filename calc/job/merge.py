"""Two people's entries in one job, put together place by place: what only one of them changed is taken from that one.

Where both changed one place and don't agree, that is a conflict, for a person to decide. Entries of a list are told apart by
their names; one that the one removed and the other changed stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

Table = dict[str, Any]


@dataclass(frozen=True)
class Conflict:
    """A place that both changed, each in another way; None where one of them took the entry away."""

    at: str
    mine: Any
    theirs: Any


def merged(base: Table, mine: Table, theirs: Table) -> tuple[Table, list[Conflict]]:
    """The data of a job with the changes of both since ``base``, and the conflicts, where it says what is mine."""
    conflicts: list[Conflict] = []
    return _merge(base, mine, theirs, "", conflicts) or {}, conflicts


def _merge(base: Any, mine: Any, theirs: Any, at: str, conflicts: list[Conflict]) -> Any:
    if mine is base or mine in (base, theirs):
        return theirs
    if theirs is base or theirs == base:
        return mine
    if isinstance(mine, dict) and isinstance(theirs, dict):
        was = base if isinstance(base, dict) else {}
        found = {
            key: _merge(was.get(key), mine.get(key), theirs.get(key), f"{at}.{key}".lstrip("."), conflicts)
            for key in {**theirs, **mine}
        }
        return {key: value for key, value in found.items() if value is not None}
    if _tables(mine) and _tables(theirs) and (base is None or _tables(base)):
        return _merge_lists(base or [], mine, theirs, at, conflicts)
    conflicts.append(Conflict(at, mine, theirs))
    return mine


def _merge_lists(base: list[Table], mine: list[Table], theirs: list[Table], at: str, conflicts: list[Conflict]) -> Any:
    if _row_by_row(base, mine, theirs):
        rows = enumerate(zip(base, mine, theirs, strict=True), 1)
        return [_merge(was, here, there, f"{at}[{number}]", conflicts) for number, (was, here, there) in rows]
    if not all(map(_told_apart, (base, mine, theirs))):
        conflicts.append(Conflict(at, mine, theirs))
        return mine
    was, here, there = ({row["name"]: row for row in rows} for rows in (base, mine, theirs))
    unmoved = [name for name in was if name in here] == [name for name in here if name in was]
    order = _both(list(there), list(here)) if unmoved else _both(list(here), list(there))
    kept = [name for name in order if not _removed(name, was, here, there) and not _removed(name, was, there, here)]
    found: list[Any] = []
    for name in kept:
        one, other = here.get(name), there.get(name)
        row = f"{at}[{len(found) + 1}]"
        found.append(_merge(was.get(name), one, other, row, conflicts) if one and other else one or other)
    return found or None


def _removed(name: str, was: dict[str, Table], there: dict[str, Table], here: dict[str, Table]) -> bool:
    """Whether it was taken away there and is here as it was."""
    return name in was and name not in there and here.get(name) == was[name]


def _both(first: list[str], second: list[str]) -> list[str]:
    """All names, those of the second each after the one that it stands behind there."""
    order = list(first)
    for number, name in enumerate(second):
        if name not in order:
            order.insert(order.index(second[number - 1]) + 1 if number else 0, name)
    return order


def _row_by_row(base: Sequence[Table], mine: Sequence[Table], theirs: Sequence[Table]) -> bool:
    """Whether the rows are the same ones in the same order: at most one of the two renamed one, by a name that is new."""
    if not len(base) == len(mine) == len(theirs):
        return False
    rows = zip(base, mine, theirs, strict=True)
    names = [(was.get("name"), {here.get("name"), there.get("name")}) for was, here, there in rows]
    new = [name for was, said in names for name in said - {was}]
    return (
        all(was in said for was, said in names) and len(set(new)) == len(new) and not {was for was, _ in names} & {*new}
    )


def _told_apart(rows: Sequence[Table]) -> bool:
    names = [row.get("name") for row in rows]
    return all(isinstance(name, str) for name in names) and len(set(names)) == len(names)


def _tables(found: Any) -> bool:
    return isinstance(found, list) and all(isinstance(row, dict) for row in found)
