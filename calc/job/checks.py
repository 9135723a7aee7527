"""Checks over the file as written: keys that go together, names told apart, names that refer to something.

They look at the raw data, so that one wrong value does not hide what is wrong elsewhere.
"""

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any, NamedTuple

from calc.job.fields import CONFIRMED, Needs, Part, all_parts, field_info, keys_of, parts_of, toml_value, unwrap
from calc.job.known import Known, Table
from calc.job.model import Job
from calc.job.places import Loc, inside
from calc.job.problems import MOST_SHOWN, Trouble, nearest


class Reference(NamedTuple):
    """A field that names entries of lists (`also`: or is one of these words): its key, and whether it is a list."""

    key: str
    lists: tuple[str, ...]
    also: tuple[str, ...]
    many: bool


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


def check_data(job: Known) -> list[Trouble]:
    """Everything wrong with presence, names and references.

    Tables known to be right are passed over, unless the names are others that they may refer to.
    """
    found: list[Trouble] = []
    names = Names(job.data)
    for part, table, loc, parent in tables(Job, job.data if _names_stay(job) else job.raw):
        found += _presence(part, table, loc)
        found += _same_names(part, table, loc)
        found += _confirmed(part, table, loc)
        for trouble, said, known in _references(part, table, loc, parent, names):
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
    if not isinstance(items, list | tuple):
        return []
    return [(n, name) for n, item in enumerate(items) if isinstance(name := inside(item, "name"), str)]


class Names:
    """The names in each list of a job, gathered once."""

    def __init__(self, data: Table) -> None:
        self._data = data
        self._found: dict[str, list[str]] = {}

    def at(self, path: str, parent: Table) -> list[str]:
        """Names in a list of the job ('panels', 'dwelling.units'), or of the table around ('.walls')."""
        if path.startswith("."):
            return names_in(path[1:], parent)
        if path not in self._found:
            self._found[path] = names_in(path, self._data)
        return self._found[path]


def names_in(path: str, table: Any) -> list[str]:
    """Names in a list inside a table, at a path such as 'panels' or 'dwelling.units'."""
    for step in path.split("."):
        table = inside(table, step)
    return [name for _, name in _names(table)]


def _names_stay(job: Known) -> bool:
    """Whether the names are those of the job before, in every list whose entries are referred to."""
    if job.before is None:
        return False
    anew = [path for path in _referred_to() if path.partition(".")[0] in job.anew]
    return all(names_in(path, job.data) == names_in(path, job.before.data) for path in anew)


@cache
def _referred_to() -> frozenset[str]:
    """The lists of a job whose entries some field names."""
    lists = (path for part in all_parts(Job) for one in references_of(part) for path in one.lists)
    return frozenset(path for path in lists if not path.startswith("."))


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


@cache
def references_of(part: type[Part]) -> tuple[Reference, ...]:
    """The fields of a table that name something."""
    found = []
    for key, info in part.model_fields.items():
        extra = info.json_schema_extra
        if isinstance(extra, dict) and "refers_to" in extra:
            lists, also = (tuple(map(str, extra[said])) for said in ("refers_to", "also"))  # type: ignore[arg-type]
            found.append(Reference(key, lists, also, unwrap(info.annotation)[1]))
    return tuple(found)


def _references(
    part: type[Part], table: Table, loc: Loc, parent: Table, names: Names
) -> Iterator[tuple[Trouble, str, list[str]]]:
    """Names that refer to nothing, or to their own table; with what was said and the names there are."""
    for key, lists, also, many in references_of(part):
        value = table.get(key)
        if key not in table or many != isinstance(value, list):
            continue
        known = [*also, *(name for path in lists for name in names.at(path, parent))]
        for number, said in enumerate(value if isinstance(value, list) else [value]):
            at: Loc = (*loc, key, number) if many else (*loc, key)
            if not isinstance(said, str):
                continue
            if said not in known:
                yield _unknown(at, said, lists, known), said, known
            elif said == table.get("name") and loc[:-1] == lists[:1]:
                yield Trouble(at, f'is "{said}", which is this one itself', f"another of {lists[0]}"), said, []


def _unknown(loc: Loc, said: str, lists: Iterable[str], known: list[str]) -> Trouble:
    where = " or ".join(path.strip(".") for path in lists)
    listed = ", ".join(toml_value(k) for k in known[:20]) if known else f"none: the job has no {where}"
    hint = "" if known else "leave it out, or enter one first"
    return Trouble(loc, f"is {toml_value(said)}, which is not the name of any of {where}", listed, hint)
