"""Places in a job: 'loads[3].load_va' for people, files and forms, ('loads', 2, 'load_va') for the program.

Entries of a list count from 1 for people and from 0 for the program.
"""

import re
from functools import lru_cache
from typing import Any

from calc.job.fields import Part, parts_of

Loc = tuple[str | int, ...]
ANOTHER = "+"
"""In brackets, in place of a number: an entry after the last one."""
_STEP = re.compile(r"([^.\[\]]+)((?:\[(?:\d+|\+)\])*)")
_NUMBER = re.compile(r"\[(\d+|\+)\]")


@lru_cache(maxsize=4096)
def steps(at: str) -> Loc:
    """'loads[3].load_va' -> ('loads', 2, 'load_va'); '' is the job itself. KeyError for text that is no place."""
    found: list[str | int] = []
    for part in at.split(".") if at else ():
        step = _STEP.fullmatch(part)
        if step is None:
            raise KeyError(f"{at!r} is not a place in a job")
        found.append(step[1])
        found += [n if n == ANOTHER else int(n) - 1 for n in _NUMBER.findall(step[2])]
    return tuple(found)


def dotted(loc: Loc) -> str:
    """('loads', 2, 'load_va') -> 'loads[3].load_va'."""
    return "".join(f"[{p + 1}]" if isinstance(p, int) else f".{p}" for p in loc).lstrip(".")


def keys(at: str) -> list[str]:
    """The keys along a place, without the numbers of entries: 'rooms[2].walls' -> ['rooms', 'walls']."""
    return [step for step in steps(at) if isinstance(step, str)]


def around(at: str) -> str:
    """The place around a place: that of 'rooms[2].walls[1]' is 'rooms[2].walls', that of it 'rooms[2]', at last ''."""
    return at[: max(at.rfind("."), at.rfind("["), 0)]


def inside(table: Any, step: str | int) -> Any:
    """What a table or a list has at a step, as data or as parts of a job; None where it has nothing."""
    if isinstance(step, int):
        return table[step] if isinstance(table, list | tuple) and 0 <= step < len(table) else None
    return (
        table.get(step) if isinstance(table, dict) else getattr(table, step, None) if isinstance(table, Part) else None
    )


def value_at(job: Part | dict[str, Any], at: str) -> Any:
    """What a job or its data says at a place such as 'boxes[3].devices'; None where it says nothing.

    KeyError for text that is no place; TypeError for what is neither, which would seem to say nothing anywhere.
    """
    if not isinstance(job, Part | dict):
        raise TypeError(f"{type(job).__name__} is neither a job nor its data")
    found: Any = job
    for step in steps(at):
        found = inside(found, step)
    return found


def set_places(part: Part, at: str = "") -> None:
    """Tell each table of a job where it stands: loads[3] is the third load of the file. One that was told knows it."""
    if at and part._where == at:
        return
    part._place = at
    for name in parts_of(type(part)):
        value = getattr(part, name)
        inside = f"{at}.{name}" if at else name
        if isinstance(value, Part):
            set_places(value, inside)
        elif value:
            for number, item in enumerate(value, 1):
                set_places(item, f"{inside}[{number}]")


def place(part: Part, name: str = "") -> str:
    """Where a table, or a field of it, stands in the job file: 'loads[3].load_va', counted from 1."""
    return ".".join(p for p in (part._place, name) if p)
