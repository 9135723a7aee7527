"""The dwelling load by every method and under several editions, side by side."""

from __future__ import annotations

from collections.abc import Mapping

from calc.families.dwelling_load.case import NotAllowed
from calc.families.dwelling_load.methods import NAMES, SIZES, TITLES, Worked
from calc.families.dwelling_load.summary import READINGS
from calc.job import Job
from calc.work import Sheet
from calc.work.forms import LineForm
from calc.work.table import Table, figures

ByMethod = Mapping[str, Worked]
LAST_ROWS = ("neutral_a", "general_circuits_15a", "general_circuits_20a")


def by_method(job: Job, editions: Mapping[str, ByMethod]) -> Table:
    """A row a method, a column an edition: its current and what it says of the service, or why there is none."""
    notes: list[str] = []
    rows = []
    for method in TITLES:
        name = NAMES[method].capitalize()
        decides = any(found[method].decides for found in editions.values())
        cells = [_verdict(found[method], notes) for found in editions.values()]
        rows.append([f"{name} (decides)" if decides else name, *cells])
    if any("*" in cell for row in rows for cell in row[1:]):
        notes.append("* rests on values that are not confirmed for that edition; the sheet says which")
    return Table(
        title="The methods side by side",
        intro="Calculated current by each method. The standard and the optional method size a service, given after the "
        f"current; the other two test one that is there. The job, under the {job.code.edition} edition, goes by the one "
        "marked.",
        columns=figures("Method", *editions),
        rows=rows,
        notes=[f"({number}) {note}" if not note.startswith("*") else note for number, note in enumerate(notes, 1)],
    )


def by_edition(editions: Mapping[str, ByMethod]) -> Table:
    """A row a result of the deciding method, a column an edition; a result that isn't worked or shown says so."""
    method = next(method for found in editions.values() for method, each in found.items() if each.decides)
    sheets = {name: found[method] for name, found in editions.items()}
    shown = {name: found.sheet.as_json() for name, found in sheets.items()}
    lines = {name: {line["key"]: line for line in sheet["lines"]} for name, sheet in shown.items()}
    keys = [group.value.at for found in sheets.values() for group in found.demand.groups]
    keys += [f"{method}{end}_{unit}" for unit in ("va", "a", "service_a") for end in READINGS]
    rows = []
    for key in dict.fromkeys([*keys, *LAST_ROWS]):
        have = [by_key[key] for by_key in lines.values() if key in by_key]
        if have:
            rows.append(
                [have[0]["name"], *(_cell(found.sheet, lines[name].get(key)) for name, found in sheets.items())]
            )
    return Table(
        title="Dwelling load by edition",
        intro=f"{NAMES[method].capitalize()}. The adopted edition decides; the others show what changes.",
        columns=figures("Result", *editions),
        rows=rows,
        notes=[
            *(f"{name}: {sheet['refused']['reason']}" for name, sheet in shown.items() if sheet["refused"]),
            *(f"{name}, ({note['mark']}) {note['kind']}: {note['text']}"
              for name, sheet in shown.items() for note in sheet["notes"] if note["kind"] != "choice"),
        ],
    )  # fmt: skip


def _verdict(found: Worked, notes: list[str]) -> str:
    """'175.9 A: 200 A', '123.7 A: falls short', 'not allowed (2)'."""
    s = found.sheet
    if s.refused:
        unconfirmed = any(cite.confidence == "U" for cite in s.refused.cites)
        what = (
            "not allowed" if isinstance(s.refused, NotAllowed) else "not confirmed" if unconfirmed else s.refused.status
        )
        said = f"{NAMES[found.method]}: {s.refused.reason}"
        if said not in notes:
            notes.append(said)
        return f"{what} ({notes.index(said) + 1})"
    results = s.results
    currents = [f"{results[key]:,.1f} A" for end in READINGS if (key := f"{found.method}{end}_a") in results]
    mark = " *" if "unconfirmed" in results else ""
    if len(currents) > 1:
        return f"{' or '.join(currents)}, not settled{mark}"
    if found.method in SIZES:
        size = results.get(f"{found.method}_service_a", results[f"{found.method}_standard_rating_a"])
        return f"{currents[0]}: {size:,.0f} A{mark}"
    short = [check.name for check in s.checks if not check.holds.holds]
    return f"{currents[0]}: {'falls short' if short else 'passes'}{mark}"


def _cell(sheet: Sheet, line: LineForm | None) -> str:
    if line is None:
        return sheet.refused.status if sheet.refused else "-"
    return str(line["result"]) + "".join(f" ({mark})" for mark in line["marks"])
