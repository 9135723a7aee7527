"""Replay a sheet from what it prints.

Nothing of the program is imported, here or in the modules beside this one: the printed text is parsed,
worked with exact fractions and with units, and compared with what the sheet claims; a looked-up value is
compared with its table.
"""

import functools
import hashlib
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from tests.replay.grammar import compared, read
from tests.replay.quantities import Fault, exact, in_unit, is_number, printed_quantity, rounds_to, unit
from tests.replay.tables import cell, check_unit, same

KINDS = {"worked", "looked up", "found", "replaced"}
NOTE_KINDS = {"from memory", "unconfirmed", "amended", "choice", "rule of thumb"}
MARKED_LINES = {"from_memory", "unconfirmed", "amended"}  # results that list the lines resting on such values
FIELDS = {
    "sheet": "schema_version family title subject edition amendments lines checks not_shown status results givens rules "
    "cautions notes refused",
    "line": "number key kind name formula numbers result value unit sections marks uses lookup reason",
    "check": "key name text provided sign required passes sections marks remedy reason",
}
Line = dict[str, Any]


def lacking(what: str, node: Line) -> Iterator[str]:
    """The fields of the public format that a sheet, line or check hasn't."""
    for field in FIELDS[what].split():
        if field not in node:
            yield f"{what} {node.get('key', '')!r} lacks {field!r}"


def check_line(line: Line, earlier: dict[str, Line], givens: list[Line], tables: Path | None) -> Iterator[str]:
    """Faults of one line, given the lines before it."""
    if line["kind"] not in KINDS:
        yield f"unknown kind {line['kind']!r}"
    for key in line["uses"]:
        if key not in earlier:
            yield f"uses {key!r}, which is no earlier line"
    used = [earlier[key] for key in line["uses"] if key in earlier and is_number(earlier[key]["value"])]
    if is_number(line["value"]):
        check_unit(line["key"].partition("[")[0], line["unit"])  # 'required_in3[sink box]'
        printed, word = printed_quantity(line["result"])
        if unit(word) != unit(line["unit"]) or not rounds_to(exact(line["value"]), printed):
            yield f"{line['value']} {line['unit']} doesn't print as {line['result']!r}"
    elif line["kind"] == "worked":
        raise Fault("a worked line needs a number")
    elif line["value"] not in (None, line["result"]):
        yield f"{line['value']!r} doesn't print as {line['result']!r}"
    if line["kind"] == "worked":
        yield from check_worked(line, used, givens)
    elif line["kind"] == "found" and line["numbers"]:
        holds, shown = read(line["numbers"], "comparisons")
        if not holds:
            yield f"{line['numbers']!r} doesn't hold"
        yield from check_operands(used, shown)
    elif line["kind"] == "looked up":
        yield from check_looked_up(line, used, tables)


def check_worked(line: Line, used: list[Line], givens: list[Line]) -> Iterator[str]:
    """The printed numbers come to the printed result; a line without numbers is a given."""
    if not line["numbers"]:
        if all(given["value"] != line["value"] for given in givens):
            yield "shows no numbers and is no given"
        return
    worked, shown = read(line["numbers"], "phrase")
    value = in_unit(worked, line["unit"])
    if not rounds_to(value, printed_quantity(line["result"])[0]):
        yield f"{line['numbers']!r} comes to {float(value)}, not {line['result']!r}"
    yield from check_operands(used, shown)


def check_operands(used: list[Line], shown: tuple[tuple[str, str], ...]) -> Iterator[str]:
    """Each line used stands in the numbers: its own value, rounded, in its own unit."""
    for line in used:
        if not any(
            unit(word) == unit(line["unit"]) and rounds_to(exact(line["value"]), digits) for digits, word in shown
        ):
            yield f"uses {line['key']!r} but doesn't print its {line['value']} {line['unit']}"


def check_looked_up(line: Line, used: list[Line], tables: Path | None) -> Iterator[str]:
    """The table's cell is the value and prints in full, and the row was chosen by the lines used."""
    lookup = line["lookup"]
    if not lookup:
        raise Fault("names no table, row and column")
    if is_number(line["value"]):
        check_unit(lookup["column"], line["unit"])
    for other in used:
        if other["value"] not in lookup["row"].values():
            yield f"uses {other['key']!r} but its {other['value']} chose no row"
    if tables:
        found = cell(lookup, tables)
        said = (line["value"], printed_quantity(line["result"])[0]) if is_number(line["value"]) else (line["result"],)
        if not all(same(found, text) for text in said):
            yield f"the table says {found}, not {line['result']!r}"


def check_check(check: Line) -> Iterator[str]:
    """The verdict is what its words say, and what its two sides say; the words are of these sides."""
    holds, shown = read(check["text"], "required")
    if check["passes"] is not holds:
        yield f"{check['text']!r} is {holds}, the sheet says {check['passes']}"
    said = []
    for side in (check["provided"], check["required"]):
        worked, digits = read(side["numbers"], "phrase")
        said.append(worked)
        in_unit(worked, side["unit"])
        if len(digits) == 1 and not rounds_to(exact(side["value"]), digits[0][0]):
            yield f"{side['value']} {side['unit']} doesn't print as {side['numbers']!r}"
        if shown and not {each for each in digits if each[0] != "0"} <= set(shown):
            yield f"{check['text']!r} doesn't say {side['numbers']!r}"
    if compared(*said, check["sign"]) is not check["passes"]:
        yield f"{check['provided']['numbers']} {check['sign']} {check['required']['numbers']} is not {check['passes']}"


def check_results(sheet: Line, lines: dict[str, Line]) -> Iterator[str]:
    """A result is its line's value, or its text where it has none; the rest is about the whole sheet."""
    refused = sheet["refused"] and sheet["refused"]["reason"]
    said = {key: line["result"] if line["value"] is None else line["value"] for key, line in lines.items()}
    said |= {"refused": refused, "passes": sheet["status"] == "passes"}
    for key, value in sheet["results"].items():
        if key in MARKED_LINES:
            if unknown := set(value) - lines.keys():
                yield f"{key!r} names {', '.join(unknown)}, which is no line"
        elif key not in said:
            yield f"{key!r} is no line"
        elif value != said[key] or isinstance(value, bool) is not isinstance(said[key], bool):
            yield f"{key!r} is {value}, the sheet says {said[key]}"


def check_status(sheet: Line) -> Iterator[str]:
    """A known shortfall decides, then what isn't worked, then what isn't shown; only the rest passes."""
    refused = sheet["refused"]
    if not all(check["passes"] for check in sheet["checks"]):
        status = "falls short"
    elif refused and refused["missing"] is None:
        status = "not worked"
    else:
        status = "not shown" if refused or sheet["not_shown"] else "passes"
    if sheet["status"] != status:
        yield f"is {sheet['status']!r}, by what stands on it {status!r}"


def not_finite(node: Any) -> bool:
    """Whether an infinity or a 'not a number' hides anywhere."""
    try:
        json.dumps(node, allow_nan=False)
    except ValueError:
        return True
    return False


def replay_sheet(sheet: Line, tables: Path | None = None) -> list[str]:
    """Every fault of one sheet (the public JSON format), in plain words; none means that it replays.

    `tables` is the folder of the code's tables; without it the cells of looked-up lines aren't compared.
    """
    if not_finite(sheet):
        return ["holds a number that isn't finite"]
    faults = list(lacking("sheet", sheet))
    for what in () if faults else ("line", "check"):
        faults += [fault for node in sheet[f"{what}s"] for fault in lacking(what, node)]
    if faults:
        return faults

    def gather(place: str, found: Iterator[str]) -> None:
        try:
            for fault in found:
                faults.append(f"{place}: {fault}")
        except Fault as error:
            faults.append(f"{place}: {error}")

    lines: dict[str, Line] = {}
    for count, line in enumerate(sheet["lines"], start=1):
        if line["number"] != count:
            faults.append(f"line {count} is numbered {line['number']}")
        if line["key"] in lines:
            faults.append(f"line {count}: key {line['key']!r} stands twice")
        gather(f"line {count} ({line['key']})", check_line(line, lines, sheet["givens"], tables))
        lines[line["key"]] = line
    for check in sheet["checks"]:
        gather(f"check {check['key']}", check_check(check))
    gather("status", check_status(sheet))
    gather("results", check_results(sheet, lines))
    marks = {note["mark"] for note in sheet["notes"]}
    for marked in (*sheet["lines"], *sheet["checks"], *sheet["rules"]):
        if not marks.issuperset(marked["marks"]):
            faults.append(f"{marked.get('key', marked.get('rule'))}: a mark without a note")
    if any(note["kind"] not in NOTE_KINDS for note in sheet["notes"]):
        faults.append("a note of unknown kind")
    return faults


def assert_replays(sheet: Line, tables: Path | None = None) -> None:
    """Fail with every fault of the sheet."""
    faults = replay_sheet(sheet, tables)
    assert not faults, f"{sheet.get('family')}, {sheet.get('subject')}:\n  " + "\n  ".join(faults)


def replaying(make: Callable[..., Line], tables: Path | None = None) -> Callable[..., Line]:
    """`make`, which returns a sheet's JSON, with each sheet it returns replayed: a hook for all tests.

    A sheet that says to the letter what one before said is not replayed once more.
    """
    right: set[bytes] = set()

    @functools.wraps(make)
    def made(*args: Any, **kwargs: Any) -> Line:
        sheet = make(*args, **kwargs)
        said = hashlib.sha256(json.dumps(sheet).encode()).digest()
        if said not in right:
            assert_replays(sheet, tables)
            right.add(said)
        return sheet

    return made
