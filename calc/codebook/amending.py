"""What an amendments file may say of a rule: it comes from anywhere, and must neither break a sheet nor silence a rule."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calc.codebook.tables import load
from calc.intake import is_number

if TYPE_CHECKING:
    from calc.codebook.files import Rule

CONFIDENCES = ("A", "B", "C", "D", "U")
_SHOWN = 80


def shown(value: object) -> str:
    """What was read, short enough for a message."""
    said = repr(value)
    return said if len(said) <= _SHOWN else f"{said[:_SHOWN]}..."


def check_text(text: object) -> None:
    """Text of an amendments file is printed on sheets and in the terminal. ValueError where it can't be."""
    if not isinstance(text, str) or not text.isprintable():
        raise ValueError(f"is {shown(text)}; allowed: text on one line, of characters that can be seen")


def check(changes: Mapping[str, Any], old: Rule, like: Rule, methods: frozenset[str]) -> None:
    """ValueError for changes, already of the right types, that no amendment may make.

    ``old`` is the rule that they change, ``like`` the rule as an edition has it that has it at all, ``methods`` the
    procedures that the program knows for it. A rule that is left out says so in ``absent``, and why.
    """
    if (value := changes.get("value")) is not None and not (value > 0 or (value == 0 == like.value)):
        raise ValueError(
            f"value is {value:g}; allowed: a number above 0; a rule that doesn't hold is 'absent', with the reason"
        )
    if changes.get("unit", like.unit) != like.unit:
        raise ValueError(f"unit is {shown(changes['unit'])}; allowed: {shown(like.unit)}, in which the rule is worked")
    if changes.get("method", like.method) not in methods | {like.method}:
        raise ValueError(f"method is {shown(changes['method'])}; allowed: {', '.join(sorted(methods)) or 'none'}")
    if not changes.get("members", like.members) and like.members:
        raise ValueError(
            "members is []; allowed: a text at least; a rule that doesn't hold is 'absent', with the reason"
        )
    if "bands" in changes:
        _check_bands(changes["bands"])
    if changes.get("confidence", "A") not in CONFIDENCES:
        raise ValueError(f"confidence is {shown(changes['confidence'])}; allowed: {', '.join(CONFIDENCES)}")
    if old.absent and not changes.get("absent"):
        has = {"value": like.value is not None, "bands": like.bands, "members": like.members, "method": like.method,
               "table": like.table != Path()}  # fmt: skip
        if lacking := [key for key, there in has.items() if there and key not in changes]:
            raise ValueError(f"the edition has no such rule; to bring it in, say its {', '.join(lacking)} too")


def _check_bands(bands: tuple[tuple[float | None, float], ...]) -> None:
    tops = [top for top, _ in bands]
    rising = all(a < b for a, b in pairwise([0.0, *(top for top in tops if top is not None)]))
    if not bands or None in tops[:-1] or tops[-1] is not None or not rising or not all(pct > 0 for _, pct in bands):
        raise ValueError(
            'bands don\'t rise to an end; allowed: [[top, per cent], ...], tops rising, per cents above 0, the last top ""'
        )


def check_table(path: Path, like: Rule) -> None:
    """ValueError for a table without the columns of the one it replaces, or without numbers of its kind where it has them."""
    try:
        table = load(path)
    except (OSError, csv.Error) as error:
        raise ValueError(f"{path.name} can't be read: {error}") from None
    for text in (*table.notes.values(), *table.columns, *(cell for row in table.rows for cell in row.values())):
        try:
            check_text(text)
        except ValueError as error:
            raise ValueError(f"in {path.name} {error}") from None
    if like.table == Path():
        return
    replaced = load(like.table)
    if lacking := [column for column in replaced.columns if column not in table.columns]:
        raise ValueError(f"{path.name} has no column {', '.join(lacking)}, which the rule looks up")
    for column in replaced.columns:
        theirs = {row[column] for row in replaced.rows}
        numbers = [number for cell in theirs if cell and (number := _number(cell)) is not None]
        if len(numbers) < len(theirs - {""}):
            continue
        blank = " or blank" if "" in theirs else ""
        least = min(numbers, default=0.0)
        signs = "above 0" if least > 0 else "of 0 or more" if least == 0 else "of any sign"
        for cell in (row[column] for row in table.rows):
            own = _number(cell)
            fits = own is not None and (own > 0 or least < 0 or own == least == 0)
            if not fits and not (blank and cell == ""):
                raise ValueError(f"{path.name}: {column} is {shown(cell)}; allowed: a number {signs}{blank}")


def _number(cell: str) -> float | None:
    try:
        number = float(cell)
    except ValueError:
        return None
    return number if is_number(number) else None
