"""Checks over the file as written: keys that go together, names told apart, names that refer to something.

They look at the raw data, so that one wrong value does not hide what is wrong elsewhere.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from calc.job.fields import CONFIRMED, Needs, Part, field_info, keys_of, parts_of, toml_value, unwrap
from calc.job.lines import Loc
from calc.job.problems import MOST_SHOWN, Trouble, nearest

Table = dict[str, Any]


def tables(
    part: type[Part], table: Table, loc: Loc = (), parent: Table | None = None
) -> Iterator[tuple[type[Part], Table, Loc, Table]]:
    """Every table in the data that is a table: its type, itself, where it stands, the one around it."""
    yield part, table, loc, parent if parent is not None else table
    for key, (inner, many) in parts_of(part).items():
        value = table.get(key)
        items = value if many and isinstance(value, list) else [value]
        for number, item in enumerate(items):
            if isinstance(item, dict):
                yield from tables(inner, item, (*loc, key, number) if many else (*loc, key), table)


def check_data(root: type[Part], data: Table) -> list[Trouble]:
    """Everything wrong with presence, names and references."""
    found: list[Trouble] = []
    for part, table, loc, parent in tables(root, data):
        found += _presence(part, table, loc)
        found += _same_names(part, table, loc)
        found += _confirmed(part, table, loc)
        for trouble, said, known in _references(part, table, loc, parent, data):
            near = nearest(said, known) if len(found) < MOST_SHOWN else ""
            found.append(trouble._replace(hint=f'did you mean "{near}"?') if near else trouble)
    return found


def _presence(part: type[Part], table: Table, loc: Loc) -> Iterator[Trouble]:
    for rule in part.presence:
        if rule.holds(table.keys()):
            continue
        if isinstance(rule, Needs):
            allowed = field_info(part, rule.other).allowed
            yield Trouble((*loc, rule.other), f"is missing; {rule.key} needs it", allowed)
            continue
        given = [key for key in rule.keys if key in table]
        if not given:
            yield Trouble((*loc, rule.keys[0]), "is missing", f"one of {', '.join(rule.keys)}")
        else:
            yield Trouble((*loc, given[1]), f"stands beside {given[0]}", f"only one of {', '.join(rule.keys)}")


def _confirmed(part: type[Part], table: Table, loc: Loc) -> Iterator[Trouble]:
    listed, known = table.get(CONFIRMED), keys_of(part)
    for number, said in enumerate(listed if isinstance(listed, list) else []):
        if isinstance(said, str) and said not in known:
            near = nearest(said, known)
            hint = f'did you mean "{near}"?' if near else ""
            yield Trouble(
                (*loc, CONFIRMED, number),
                f"is {toml_value(said)}, which is no key of this table",
                ", ".join(known),
                hint,
            )


def _names(items: Any) -> list[tuple[int, str]]:
    if not isinstance(items, list):
        return []
    return [
        (n, item["name"])
        for n, item in enumerate(items)
        if isinstance(item, dict) and isinstance(item.get("name"), str)
    ]


def _same_names(part: type[Part], table: Table, loc: Loc) -> Iterator[Trouble]:
    for key, (inner, many) in parts_of(part).items():
        if not many or "name" not in inner.model_fields:
            continue
        first: dict[str, int] = {}
        for number, name in _names(table.get(key)):
            if first.setdefault(name, number) != number:
                yield Trouble(
                    (*loc, key, number, "name"),
                    f"is {toml_value(name)}, as in {key}[{first[name] + 1}]",
                    "a name of its own",
                )


def _references(
    part: type[Part], table: Table, loc: Loc, parent: Table, data: Table
) -> Iterator[tuple[Trouble, str, list[str]]]:
    """Names that refer to nothing, or to their own table; with what was said and the names there are."""
    for key, info in part.model_fields.items():
        extra = info.json_schema_extra
        if key not in table or not isinstance(extra, dict) or "refers_to" not in extra:
            continue
        if unwrap(info.annotation)[1] != isinstance(table[key], list):
            continue
        lists = [str(x) for x in extra["refers_to"]]  # type: ignore[union-attr]
        also = [str(x) for x in extra["also"]]  # type: ignore[union-attr]
        known = [*also, *(name for path in lists for name in names_in(path, parent, data))]
        value = table[key]
        for number, said in enumerate(value if isinstance(value, list) else [value]):
            at: Loc = (*loc, key, number) if isinstance(value, list) else (*loc, key)
            if not isinstance(said, str):
                continue
            if said not in known:
                yield _unknown(at, said, lists, known), said, known
            elif said == table.get("name") and loc[:-1] == tuple(lists[:1]):
                yield Trouble(at, f'is "{said}", which is this one itself', f"another of {lists[0]}"), said, []


def names_in(path: str, parent: Table, data: Table) -> list[str]:
    """Names in a list of the job ('panels', 'dwelling.units'), or of the table around ('.walls')."""
    here: Any = parent if path.startswith(".") else data
    for step in path.strip(".").split("."):
        here = here.get(step) if isinstance(here, dict) else None
    return [name for _, name in _names(here)]


def _unknown(loc: Loc, said: str, lists: Iterable[str], known: list[str]) -> Trouble:
    where = " or ".join(path.strip(".") for path in lists)
    listed = ", ".join(toml_value(k) for k in known[:20]) if known else f"none: the job has no {where}"
    hint = "" if known else "leave it out, or enter one first"
    return Trouble(loc, f"is {toml_value(said)}, which is not the name of any of {where}", listed, hint)
