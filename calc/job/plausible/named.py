"""Entries filed under a kind that their own name speaks against, by the words of `named.toml`."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import NamedTuple

import tomli

from calc.job.model import Job
from calc.job.plausible.names import words
from calc.job.plausible.notice import Found, Odd
from calc.job.plausible.usual import parts


class Named(NamedTuple):
    """Words of a name, and the kinds that they fit; `without`: words beside which they say something else."""

    entry: str
    words: tuple[str, ...]
    fits: tuple[str, ...]
    without: tuple[str, ...] = ()


@cache
def rows() -> tuple[Named, ...]:
    """The rows of the file."""
    text = resources.files(__package__).joinpath("named.toml").read_text("utf-8")
    return tuple(
        Named(row["entry"], tuple(row["words"]), tuple(row["fits"]), tuple(row.get("without", ())))
        for row in tomli.loads(text)["named"]
    )


def misfiled(job: Job) -> Found:
    """A charger as 'other', a bathroom as a hall: another kind decides by other rules."""
    for row in rows():
        path, _, key = row.entry.rpartition(".")
        for part in parts(job, path):
            said = words(getattr(part, "name", ""))
            found = [word for word in row.words if words(word) <= said]
            if found and not said & set(row.without) and getattr(part, key) not in row.fits:
                yield Odd(part, key, f'its name says "{found[0]}"', f"{row.fits[0]}")
