"""Sheets spoiled on purpose: a replay that lets one of them pass proves nothing."""

import copy
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from tests.replay.evaluator import assert_replays, replay_sheet
from tests.replay.grammar import read
from tests.replay.quantities import exact, in_unit, is_number, printed_quantity, rounds_to

Sheet = dict[str, Any]


def nudge(printed: str, steps: int) -> str:
    """A printed number moved by `steps` of its last digit: '9,720' -> '9,721'."""
    moved = Decimal(printed.replace(",", ""))
    moved += steps * Decimal(1).scaleb(moved.as_tuple().exponent)
    return f"{moved:,}" if "," in printed or abs(moved) >= 1000 else f"{moved}"


def mutate(sheet: Sheet, tables: Path | None = None) -> Iterator[tuple[str, Sheet]]:
    """What was spoiled, and the spoiled copy: each result, value, named result and verdict, one at a time.

    A result is also moved together with its value and its named result, wherever its own numbers (or its
    table, when `tables` is given) can tell. In an exact tie the other neighbour is a right rounding too, so
    no mutation is made there.
    """
    for place, line in enumerate(sheet["lines"]):
        if not is_number(line["value"]):
            if line["value"] is not None or line["key"] in sheet["results"]:
                yield f"{line['key']}: text", spoil(sheet, place, result=line["result"] + " or so")
            continue
        printed, unit = printed_quantity(line["result"])
        for steps in (1, -1):
            digits = nudge(printed, steps)
            text = line["result"].replace(printed, digits, 1)
            moved = float(
                Decimal(repr(line["value"])) + Decimal(digits.replace(",", "")) - Decimal(printed.replace(",", ""))
            )
            if not rounds_to(exact(line["value"]), digits):
                yield f"{line['key']}: result {text}", spoil(sheet, place, result=text)
            if not rounds_to(exact(moved), printed):
                yield f"{line['key']}: value {moved}", spoil(sheet, place, value=moved)
            if told_by_itself(line, unit, digits, tables):
                spoiled = spoil(sheet, place, result=text, value=moved)
                if line["key"] in spoiled["results"]:
                    spoiled["results"][line["key"]] = moved
                yield f"{line['key']}: result and value {text}", spoiled
    for key, value in sheet["results"].items():
        if is_number(value):
            spoiled = copy.deepcopy(sheet)
            spoiled["results"][key] = value + 1
            yield f"results.{key}: {value + 1}", spoiled
    for place, check in enumerate(sheet["checks"]):
        spoiled = copy.deepcopy(sheet)
        spoiled["checks"][place]["passes"] = not check["passes"]
        yield f"{check['key']}: passes {not check['passes']}", spoiled


def spoil(sheet: Sheet, place: int, **changes: Any) -> Sheet:
    spoiled = copy.deepcopy(sheet)
    spoiled["lines"][place].update(changes)
    return spoiled


def told_by_itself(line: Sheet, unit: str, digits: str, tables: Path | None) -> bool:
    """Whether the line's own numbers, or its table, say that `digits` is wrong."""
    if line["kind"] == "worked" and line["numbers"]:
        return not rounds_to(in_unit(read(line["numbers"], "phrase")[0], unit), digits)
    return line["kind"] == "looked up" and tables is not None


def assert_mutations_caught(sheet: Sheet, tables: Path | None = None) -> int:
    """The sheet replays and none of its mutations does; returns how many there were."""
    assert_replays(sheet, tables)
    missed, count = [], 0
    for what, spoiled in mutate(sheet, tables):
        count += 1
        if not replay_sheet(spoiled, tables):
            missed.append(what)
    assert count, "the sheet has nothing to mutate"
    assert not missed, "mutations that still replay: " + "; ".join(missed)
    return count
