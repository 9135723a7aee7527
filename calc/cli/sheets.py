"""Commands that work a job and say how it stands: check, work, compare, fixes."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from calc.cli.telling import JOB, BadInput, explained, opened, say

if TYPE_CHECKING:
    from calc.wiring.house import House


@click.command()
@JOB
@explained
def check(job_path: Path) -> None:
    """Read and validate a job file, and say for each calculation in its scope whether it can be worked.

    Every problem of the file comes at once, with line numbers. What can't be worked yet names the entry that is missing.
    """
    from calc.verdict.standing import standing, standing_text

    stands = standing(opened(job_path))
    say(standing_text(stands), nl=False)
    sys.exit(0 if stands.passes else 1)


@click.command()
@JOB
@click.option("--family", "only", help="One family, such as dwelling-load.")
@click.option("--edition", help="Work under another edition than the job's, such as 2020.")
@click.option("--json", "as_json", is_flag=True, help="The sheets as JSON on standard output, and nothing else there.")
@click.option("--reasons", is_flag=True, help="Each line with its reason.")
@click.option(
    "--tables", is_flag=True, help="The tables instead: boxes, rooms and circuits at a glance, panel schedules."
)
@explained
def work(job_path: Path, only: str | None, edition: str | None, as_json: bool, reasons: bool, tables: bool) -> None:
    """Work the sheets of a job's scope and print them; with --family all of that one, in scope or not."""
    from calc.families import families
    from calc.verdict.proposed import sheets_of
    from calc.verdict.standing import standing
    from calc.work import PASSES, as_text, worst

    house = opened(job_path, edition)
    known = families()
    if only is not None and only not in known:
        raise BadInput(f"no family '{only}'; there are {', '.join(known)}")
    if only is None:
        stands = standing(house)
        worked, status = stands.sheets, stands.status
    elif missing := known[only].needs(house.job):
        raise BadInput(f"{job_path}: {known[only].TITLE} needs {'; '.join(missing)}")
    else:
        worked = {only: sheets_of(house, only)}
        status = worst(sheet.status for sheet in worked[only])
    if tables:
        say(_tables(house, [name for name, sheets in worked.items() if sheets], as_json), nl=as_json)
    else:
        made = [sheet.as_json() for sheets in worked.values() for sheet in sheets]
        say(json.dumps(made, indent=1) if as_json else "\n".join(as_text(each, reasons) for each in made), nl=as_json)
    if only is None:
        outside = f" Nothing is claimed of {', '.join(stands.outside)}." if stands.outside else ""
        say(f"{stands.verdict}.{outside}", err=True)
    sys.exit(0 if status == PASSES else 1)


def _tables(house: House, names: Sequence[str], as_json: bool) -> str:
    """The tables of these calculations and of the house beside them, as text or as JSON."""
    from calc.documents.house import tables_beside
    from calc.families import families
    from calc.work import table_text

    known = families()
    found = [table for name in names if not known[name].needs(house.job) for table in tables_beside(house, name)]
    return json.dumps([t.as_json() for t in found], indent=1) if as_json else "\n".join(map(table_text, found))


@click.command()
@JOB
@click.option("--editions", default="", help="Editions, with commas between; all of them if not given.")
@explained
def compare(job_path: Path, editions: str) -> None:
    """The dwelling load by every method and under each edition, side by side."""
    from calc.codebook import editions as known
    from calc.families import dwelling_load
    from calc.work import table_text

    job = opened(job_path).whole_job
    if missing := dwelling_load.needs(job):
        raise BadInput(f"{job_path}: the job needs {'; '.join(missing)}")
    names = [name.strip() for name in editions.split(",") if name.strip()] or known()
    say("\n".join(table_text(table) for table in dwelling_load.compared(job, names)))


@click.command(name="fixes")
@JOB
@click.option("--edition", help="Under another edition than the job's, such as 2020.")
@click.option("--json", "as_json", is_flag=True, help="The list as JSON on standard output, and nothing else there.")
@explained
def fix_list(job_path: Path, edition: str | None, as_json: bool) -> None:
    """What in the job's scope does not pass, worst first, each with the smallest safe change that mends it.

    Each correction is proved by working the whole job again with it; that takes some seconds.
    """
    from calc import remedies

    sheet = remedies.fixes_sheet(opened(job_path, edition))
    say(json.dumps(sheet.as_json(), indent=1) if as_json else remedies.fixes_text(sheet), nl=as_json)
    sys.exit(0 if sheet.status == "passes" else 1)
