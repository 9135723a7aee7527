"""What was laid out for a person in a job: finding it, accepting it, taking it out again.

An entry marked `proposed = true` is in the job like any other and is worked like any other, so that a person sees what
it comes to; the verdict counts nothing that rests on it before the mark is gone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from calc.job.checks import names_in, references_of, tables
from calc.job.edit import changed
from calc.job.fields import PROPOSED, Needs, Part, Proposable, parts_of
from calc.job.model import Job
from calc.job.places import Loc, dotted, steps
from calc.job.problems import nearest

Table = dict[str, Any]


@dataclass(frozen=True)
class Proposal:
    """An entry that nobody has accepted: its place, and its name, or that of the entry that it stands in."""

    at: str
    name: str

    @property
    def key(self) -> str:
        """The list of the job that it belongs to: 'circuits', 'rooms'."""
        return str(steps(self.at)[0])


def proposals(job: Job) -> tuple[Proposal, ...]:
    """All that is proposed, in the order of the file."""
    found: list[Proposal] = []
    for key, (_, many) in parts_of(Job).items():
        value = getattr(job, key)
        for number, part in enumerate(value if many else [value]):
            if part is not None:
                found += _inside(part, (key, number) if many else (key,), "")
    return tuple(found)


def _inside(part: Part, loc: Loc, outer: str) -> Iterator[Proposal]:
    name = outer or str(getattr(part, "name", None) or getattr(part, "room", None) or getattr(part, "kind", loc[0]))
    if isinstance(part, Proposable) and part.proposed:
        yield Proposal(dotted(loc), name)
    for key, (_, many) in parts_of(type(part)).items():
        value = getattr(part, key)
        for number, inner in enumerate(value if many else [value] if value is not None else []):
            yield from _inside(inner, (*loc, key, number) if many else (*loc, key), name)


def accepted(job: Job, name: str = "") -> Job:
    """The job with what is proposed accepted: all of it, or what bears that name. KeyError where nothing does."""
    chosen = _chosen(job, name)
    return changed(job, {f"{each.at}.{PROPOSED}": None for each in chosen}) if chosen else job


def withdrawn(job: Job, name: str = "") -> Job:
    """The job without what is proposed, all of it or what bears that name, and without what names it.

    KeyError where nothing does; JobError where what is left is no job.
    """
    wanted = {each.at for each in _chosen(job, name)}
    if not wanted:
        return job
    data = deepcopy(job.data)
    _taken_out(data, lambda table, at: table.get(PROPOSED) is True and at in wanted)
    while _unnamed(data):
        pass
    changes = {key: data.get(key) for key in {*job.data, *data} if data.get(key) != job.data.get(key)}
    return changed(job, changes)


def _chosen(job: Job, name: str) -> list[Proposal]:
    found = proposals(job)
    chosen = [each for each in found if not name or each.name == name]
    if name and not chosen:
        names = list(dict.fromkeys(each.name for each in found))
        near = nearest(name, names)
        raise KeyError(
            f"nothing of the name {name!r} is proposed; "
            + (f"did you mean {near}?" if near else f"there are: {', '.join(names) or 'none'}")
        )
    return chosen


def _taken_out(data: Table, wanted: Callable[[Table, str], bool]) -> None:
    """Take the wanted entries out of their lists, and lists and optional tables that held nothing else."""
    gone = [
        loc for _, table, loc, _ in tables(Job, data) if loc and isinstance(loc[-1], int) and wanted(table, dotted(loc))
    ]
    emptied = set()
    for loc in reversed(gone):
        around = _at(data, loc[:-1])
        del around[loc[-1]]
        emptied.add(loc[:-1])
    for loc in emptied:
        while loc and not _at(data, loc) and not isinstance(loc[-1], int):
            del _at(data, loc[:-1])[loc[-1]]
            loc = loc[:-1]


def _at(data: Any, loc: Loc) -> Any:
    for step in loc:
        data = data[step]
    return data


def _unnamed(data: Table) -> bool:
    """Drop the names of entries that are gone, and the entries that can't do without; whether anything was dropped."""
    broken: set[int] = set()
    dropped = False
    for part, table, _, parent in tables(Job, data):
        for key, lists, also, many in references_of(part):
            known = {
                *also,
                *(n for path in lists for n in names_in(path.lstrip("."), parent if path.startswith(".") else data)),
            }
            value = table.get(key)
            if value is None or (many and not isinstance(value, list)):
                continue
            left = [said for said in (value if many else [value]) if said in known]
            if len(left) == (len(value) if many else 1):
                continue
            dropped = True
            if many and left:
                table[key] = left
                continue
            del table[key]
            for rule in part.presence:
                if isinstance(rule, Needs) and rule.other == key:
                    table.pop(rule.key, None)
            if part.model_fields[key].is_required() or not all(rule.holds(table.keys()) for rule in part.presence):
                broken.add(id(table))
    if broken:
        _taken_out(data, lambda table, _: id(table) in broken)
    return dropped
