"""Mutants of job files and amendments: the same seed gives the same mutant on any machine."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import tomlkit

from calc.codebook.files import edition, editions
from calc.job import Job
from calc.job.fields import Part, field_info, parts_of

ROOT = Path(__file__).parents[2]
SMALL = 120
"""Lines of a job file that is small: most mutants are of these, which are worked quickly."""
Data = dict[str, Any]
NUMBERS = (0, -1, 1, 2, 0.5, 1e-9, 99, 120, 240, 1e6, 1e15, -0.0)
TEXTS = (
    "",
    "x",
    "utility",
    "{}",
    "{0.__class__}",
    "=1+1",
    "\u202ex",
    "a" * 81,
    "a" * 301,
    "1/2",
    "12/2",
    "2026-01-01",
    "none",
    "other",
)


@dataclass(frozen=True)
class Mutant:
    """A job file, the amendments file beside it, and which commands it is for."""

    seed: int
    job: bytes
    amendments: bytes


@cache
def bases(small: bool = True) -> list[tuple[str, Data]]:
    """The jobs that mutants are made of, by file name."""
    folders = ("tests/samples", "templates/jobs", "tests/job/houses", "notebooks/jobs")
    paths = sorted(path for folder in folders for path in (ROOT / folder).glob("*.toml"))
    texts = [(path.name, path.read_text(encoding="utf-8")) for path in paths]
    return [(name, tomllib.loads(text)) for name, text in texts if (text.count("\n") <= SMALL) is small]


def mutant(seed: int) -> Mutant:
    """The mutant of a seed."""
    draw = random.Random(seed)
    small = draw.random() < 0.97
    data = deepcopy(draw.choice(bases(small))[1])
    data.setdefault("code", {}).pop("amendments", None)
    for _ in range(draw.choice((1, 1, 1, 2, 2, 3, 5, 8))):
        draw.choices(*zip(*CHANGES, strict=True))[0](data, draw)
    amendments = b""
    if draw.random() < 0.25 and isinstance(data.get("code"), dict):
        data["code"]["amendments"] = ["local.toml"]
        amendments = _spoiled(_written(_amendments(data, draw)), draw, 0.1)
    return Mutant(seed, _spoiled(_written(data), draw, 0.06), amendments)


def _written(data: Data) -> bytes:
    return tomlkit.dumps(data).encode("utf-8", "replace")


# -- places of a job ----------------------------------------------------------------------------------------


def _tables(part: type[Part], table: Data) -> Iterator[tuple[type[Part], Data]]:
    """Each table of a job with its type."""
    yield part, table
    for name, (inner, _) in parts_of(part).items():
        found = table.get(name)
        for one in found if isinstance(found, list) else [found]:
            if isinstance(one, dict):
                yield from _tables(inner, one)


def _lists(data: Data) -> list[list[Any]]:
    return [value for _, table in _tables(Job, data) for value in table.values() if isinstance(value, list) and value]


def _a_table(data: Data, draw: random.Random) -> tuple[type[Part], Data]:
    return draw.choice(list(_tables(Job, data)))


def _names(data: Data) -> list[str]:
    return [table["name"] for _, table in _tables(Job, data) if isinstance(table.get("name"), str)] or ["x"]


def good(part: type[Part], name: str, data: Data, draw: random.Random) -> Any:
    """A value that the field takes, more often than not."""
    facts = field_info(part, name)
    kind = facts.kind.removeprefix("list of ")
    if name in parts_of(part):
        inner = parts_of(part)[name][0]
        made: Any = {field: good(inner, field, data, draw) for field in inner.model_fields
                     if field_info(inner, field).required or draw.random() < 0.3}  # fmt: skip
    elif facts.choices:
        made = draw.choice(facts.choices)
    elif kind == "yes or no":
        made = draw.random() < 0.5
    elif kind in ("number", "whole number", "length", "space"):
        low, high = facts.least or 0, facts.most if facts.most is not None else 1000
        made = draw.choice((low, high, (low + high) / 2, low + 1, draw.uniform(low, high), draw.uniform(low, low + 30)))
        made = round(made) if kind == "whole number" else round(made, 3)
    elif kind == "date":
        made = f"20{draw.randrange(10, 40)}-0{draw.randrange(1, 10)}-15"
    elif facts.refers_to or name == "name":
        made = draw.choice([*_names(data), "utility", f"new {draw.randrange(9)}"])
    else:
        made = draw.choice(("12/2 with ground", "14/3", "2 x 12 AWG", "6", "4/0", "1/2", "3/4", "x", "20"))
    return [made] * draw.choice((0, 1, 1, 2)) if facts.kind.startswith("list of") else made


# -- changes ------------------------------------------------------------------------------------------------


def _set(data: Data, draw: random.Random) -> None:
    part, table = _a_table(data, draw)
    name = draw.choice(list(part.model_fields))
    table[name] = good(part, name, data, draw)


def _drop(data: Data, draw: random.Random) -> None:
    _, table = _a_table(data, draw)
    if table:
        del table[draw.choice(list(table))]


def _add(data: Data, draw: random.Random) -> None:
    part, table = _a_table(data, draw)
    inside = [name for name, (_, many) in parts_of(part).items() if many]
    if not inside:
        part, table = Job, data
        inside = [name for name, (_, many) in parts_of(Job).items() if many]
    name = draw.choice(inside)
    entries = table.setdefault(name, [])
    if isinstance(entries, list):
        inner = parts_of(part)[name][0]
        entries.append({field: good(inner, field, data, draw) for field in inner.model_fields
                        if field_info(inner, field).required or draw.random() < 0.4})  # fmt: skip


def _copy(data: Data, draw: random.Random) -> None:
    if lists := _lists(data):
        entries = draw.choice(lists)
        entry = deepcopy(draw.choice(entries))
        if isinstance(entry, dict) and "name" in entry and draw.random() < 0.8:
            entry["name"] = f"{entry['name']} {draw.randrange(2, 9)}"
        entries.insert(draw.randrange(len(entries) + 1), entry)


def _move(data: Data, draw: random.Random) -> None:
    if lists := _lists(data):
        draw.shuffle(draw.choice(lists))


def _empty(data: Data, draw: random.Random) -> None:
    if lists := _lists(data):
        draw.choice(lists).clear()


def _refer(data: Data, draw: random.Random) -> None:
    """Let a name say another entry's name: loops, strangers, one's own."""
    part, table = _a_table(data, draw)
    names = [name for name in part.model_fields if field_info(part, name).refers_to]
    if names:
        name = draw.choice(names)
        said = draw.choice(_names(data))
        table[name] = [said] if field_info(part, name).kind.startswith("list of") else said


def _wild(data: Data, draw: random.Random) -> None:
    _, table = _a_table(data, draw)
    if table:
        name = draw.choice(list(table))
        table[name] = draw.choice((*NUMBERS, *TEXTS, True, [], {}, [1], ["x", "x"], {"x": 1}, [[[]]]))


def _many(data: Data, draw: random.Random) -> None:
    """Many of an entry: sums, searches and prints that grow."""
    if lists := _lists(data):
        entries = draw.choice(lists)
        entry = draw.choice(entries)
        copies = [deepcopy(entry) for _ in range(draw.choice((3, 10, 40)))]
        for number, one in enumerate(copies):
            if isinstance(one, dict) and "name" in one:
                one["name"] = f"{one['name']}, {number}"
        entries.extend(copies)


CHANGES: Sequence[tuple[Callable[[Data, random.Random], None], float]] = (
    (_set, 30), (_drop, 8), (_add, 12), (_copy, 12), (_move, 3), (_empty, 4), (_refer, 12), (_wild, 5), (_many, 2),
)  # fmt: skip


def _spoiled(raw: bytes, draw: random.Random, chance: float) -> bytes:
    """Now and then the bytes themselves: cut off, turned over, doubled, with what no text has."""
    if draw.random() > chance or not raw:
        return raw
    at = draw.randrange(len(raw))
    long = draw.choice(
        (b"9" * 5000, b"[" * 3000, b"a." * 3000 + b"b = 1\n", b"\xff\xfe", b"\0", b"\r", b"'''", b"= nan\n")
    )
    return draw.choice((raw[:at], raw[:at] + long + raw[at:], raw[:at] + bytes([draw.randrange(256)]) + raw[at + 1 :],
                        raw + raw[at:], b""))  # fmt: skip


def _amendments(data: Data, draw: random.Random) -> Data:
    """An amendments file: some rules of the edition, some of their keys changed."""
    name = data["code"].get("edition")
    year = name if name in editions() else "2023"
    rules = edition(year).rules
    numbers = (*NUMBERS, 3, 75, 125, float("nan"), float("inf"))
    kinds: dict[str, Callable[[], Any]] = {
        "value": lambda: draw.choice(numbers),
        "unit": lambda: draw.choice(("VA", "A", "%", "ft", "", "x/y")),
        "words": lambda: draw.choice(TEXTS),
        "name": lambda: draw.choice(TEXTS),
        "section": lambda: draw.choice(TEXTS),
        "confidence": lambda: draw.choice(("A", "D", "U", "Z")),
        "absent": lambda: draw.choice(("not adopted here", "")),
        "stands_in": lambda: draw.choice(TEXTS),
        "method": lambda: draw.choice([rule.method for rule in rules.values() if rule.method]),
        "members": lambda: draw.sample(("range", "rod", "dryer", "kitchen", "x", "copper"), draw.randrange(4)),
        "bands": lambda: [[draw.choice(numbers), draw.choice(numbers)], ["", draw.choice(numbers)]],
        "table": lambda: draw.choice(("local.toml", "none.csv", "../x", "")),
        "until": lambda: draw.choice(("soon", 3)),
    }
    changed: Data = {}
    for rule in draw.sample(sorted(rules), draw.choice((1, 1, 2, 5, 20))):
        own = [key for key in kinds if getattr(rules[rule], key, None)] if draw.random() < 0.8 else list(kinds)
        keys = draw.sample(own, min(len(own), draw.choice((1, 1, 2)))) if own else ["value"]
        changed[rule] = {key: kinds[key]() for key in keys}
    return {"title": "Local", "inherits": draw.choice((year, year, year, year, "2020")), "rules": changed}
