"""The command that takes a utility's file of interval readings into a job: readings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from calc.cli.telling import JOB, BadInput, explained, opened, say

if TYPE_CHECKING:
    from calc.families.dwelling_load.meter_file import Order, Readings
    from calc.job import Job

A_YEAR = 365
SHOWN_ROWS = 3


@click.command()
@JOB
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--column", "columns", multiple=True, metavar="ROLE=HEADER",
              help="What a column is: time, date, kw, kwh, leg_1_a or leg_2_a, and how the header calls it.")  # fmt: skip
@click.option("--ask", is_flag=True, help="Ask which column is which.")
@click.option("--dates", type=click.Choice(["month-first", "day-first"]), help="How 3/4/2025 is meant.")
@explained
def readings(job_path: Path, file: Path, columns: tuple[str, ...], ask: bool, dates: Order | None) -> None:
    """A file of interval readings, as the utility delivers it, as the measured demand of the job.

    FILE is CSV. It is copied beside the job as it is, and the job says how it is to be read. What the record must have
    besides (was the house lived in, what season is missing) only you can say: check names each entry.
    """
    from calc.families.dwelling_load.meter_file import meter_file
    from calc.families.dwelling_load.readings import columns_of
    from calc.job import changed, save_job
    from calc.work import Missing

    job = opened(job_path).whole_job
    if wrong := next((each for each in columns if "=" not in each), None):
        raise BadInput(f"--column {wrong}: say what it is and how the header calls it, such as --column kwh=Use")
    told = _asked(file) if ask else columns_of(columns)
    try:
        found = meter_file(file, told, dates)
    except Missing as missing:
        raise BadInput(f"{missing.reason}{_head(file)}") from None
    _beside(job_path, file)
    entries = _entries(job, file.name, told, dates, found)
    save_job(changed(job, {"measured_demand": entries}))
    say(_summed_up(job_path, found, str(entries["method"])))


def _entries(job: Job, name: str, told: dict[str, str], dates: str | None, found: Readings) -> dict[str, Any]:
    """What the job then says of its measured demand: a record of a year where it is as long as one."""
    said = {k: v for k, v in job.data.get("measured_demand", {}).items()
            if k not in ("peak_kw", "peak_a", "interval_min", "readings_columns", "readings_dates", "from_date", "to_date")}  # fmt: skip
    days = (found.times[-1] - found.times[0] + found.interval).days
    said |= {"method": "1-year" if days >= A_YEAR else "30-day", "readings_file": name}
    said |= {"readings_columns": [f"{role} = {header}" for role, header in told.items()]} if told else {}
    return said | ({"readings_dates": dates} if dates else {})


def _beside(job_path: Path, file: Path) -> None:
    """Keep the file beside the job, as it is. BadInput where another of its name is there."""
    from calc.intake import MOST_RECORD_BYTES, taken
    from calc.job.write import write_new

    kept = job_path.parent / file.name
    raw = taken(file, MOST_RECORD_BYTES, "record")
    if not kept.exists():
        write_new(kept, raw)
    elif taken(kept, MOST_RECORD_BYTES, "record") != raw:
        raise BadInput(f"{kept} is there already and holds something else; give the file another name")


def _summed_up(job_path: Path, found: Readings, method: str) -> str:
    from calc.families.dwelling_load.readings import in_demand

    values, unit = in_demand(found)
    top = max(range(len(values)), key=values.__getitem__)
    length = found.times[-1] - found.times[0] + found.interval
    missing = round(length / found.interval) - len(found.times)
    minutes = found.interval.total_seconds() / 60
    lines = [
        f"{job_path}: {len(values):,} readings of {minutes:g} minutes, {found.written[0]:%Y-%m-%d} to "
        f"{found.written[-1]:%Y-%m-%d}; {missing or 'none'} missing",
        f"Highest demand {values[top]:,.4g} {unit}, in the interval that begins {found.written[top]:%Y-%m-%d %H:%M}",
        f"Taken as a record of {'a year' if method == '1-year' else '30 days'} ([measured_demand] method)",
    ]
    if method == "1-year" and minutes > 15:
        lines.append('Whether intervals so long will do for a year is a reading of 220.87: [code.readings] year_record = "as-recorded" '
                     "takes them where the office does")  # fmt: skip
    return "\n".join([*lines, f"What is still to be entered: studbay check {job_path}"])


def _rows(file: Path) -> list[list[str]]:
    from calc.intake import MOST_RECORD_BYTES, NotTaken, rows_of, taken, text_of

    try:
        return [cells for _, cells in rows_of(text_of(taken(file, MOST_RECORD_BYTES, "record"), "CSV"))]
    except NotTaken:
        return []


def _head(file: Path) -> str:
    """The first rows of the file, for a person to tell columns by."""
    rows = _rows(file)[:SHOWN_ROWS]
    return "\nIt begins:\n" + "\n".join(f"  {', '.join(cells)[:160]}" for cells in rows) if rows else ""


def _asked(file: Path) -> dict[str, str]:
    """Which column is which, as the person at the terminal says."""
    rows = _rows(file)
    if not rows:
        raise BadInput(f"{file}: no file of readings that can be read")
    say(_head(file).lstrip())
    told = {}
    for role, what in (("date", "date, where it stands apart from the time"), ("time", "time"), ("kwh", "energy of the interval, kWh"),
                       ("kw", "demand, kW, where there is no energy")):  # fmt: skip
        if role == "kw" and "kwh" in told:
            continue
        said = str(
            click.prompt(f"Header of the column of the {what} (nothing: none)", default="", show_default=False)
        ).strip()
        if said:
            told[role] = said
    return told
