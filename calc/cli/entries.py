"""Commands that change the lists of a job: table, copy, findings."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from calc.cli.telling import JOB, BadInput, explained, opened, say


@click.command()
@JOB
@click.argument("part", required=False)
@click.argument("table", required=False, type=click.Path(path_type=Path))
@click.option(
    "--workbook", type=click.Path(path_type=Path), help="The whole job as one workbook (.xlsx), a sheet a list."
)
@click.option("--read", "direction", flag_value="read", help="Put the table's rows into the job, in place of its own.")
@click.option("--add", "direction", flag_value="add", help="Add the table's rows to those of the job.")
@explained
def table(job_path: Path, part: str | None, table: Path | None, workbook: Path | None, direction: str | None) -> None:
    """A list of the job (boxes, loads, circuits, rooms, runs...) as a spreadsheet, out or in.

    Writes PART of the job to TABLE (.csv or .xlsx), or with --read or --add takes it back into the job file. A table
    with anything wrong in it changes nothing; each problem is told by sheet, row and column. With --workbook instead of
    PART and TABLE it is the whole job, whose sheets can be filled in in any order.
    """
    from calc.job import export_parts, export_workbook, import_parts, import_workbook, save_job

    if (workbook is None) == (part is None or table is None):
        raise BadInput("give a list and its table, such as boxes boxes.xlsx; or --workbook house.xlsx")
    job = opened(job_path).whole_job
    if workbook is not None:
        if direction == "add":
            raise BadInput("a workbook is the whole job: it is read in its place, with --read")
        if direction is None:
            say(str(export_workbook(job, workbook)))
            return
        save_job(import_workbook(job, workbook))
        say(f"{job_path}: taken from {workbook}; the version before is kept beside it")
        return
    assert part is not None
    assert table is not None
    try:
        if direction is None:
            say(str(export_parts(job, part, table)))
            return
        save_job(import_parts(job, part, table, add=direction == "add"))
    except KeyError as error:
        raise BadInput(str(error.args[0])) from None
    say(f"{job_path}: {part} taken from {table}; the version before is kept beside it")


@click.command(name="copy")
@JOB
@click.argument("part")
@click.argument("name")
@click.argument("names", metavar="NEW...", nargs=-1, required=True)
@explained
def copy_entry(job_path: Path, part: str, name: str, names: tuple[str, ...]) -> None:
    """An entry of a list copied to new names, such as one box to every box that is wired like it.

    The copies stand after the entry NAME of PART (boxes, loads, circuits, rooms, runs...) and are like it in all else.
    """
    from calc.job import copied, save_job

    job = opened(job_path).whole_job
    try:
        save_job(copied(job, part, name, names))
    except KeyError as error:
        raise BadInput(str(error.args[0])) from None
    say(f"{job_path}: {name} copied {len(names)} time{'s' * (len(names) > 1)}; the version before is kept beside it")


@click.command(name="findings")
@JOB
@click.argument("files", metavar="BACK...", nargs=-1, required=True, type=click.Path(path_type=Path))
@explained
def take_back(job_path: Path, files: tuple[Path, ...]) -> None:
    """What the crew's phones sent back, taken into the findings of the job, each with who, when and which file.

    A file with anything wrong in it changes nothing, and each wrong entry is named. The same file twice adds nothing. Where
    a file and the job say different things of one question, both are kept, it stays open, and the conflict is named.
    """
    from calc.job import save_job, taken_back
    from calc.job.taken_back import summed_up

    job = opened(job_path).whole_job
    taken = []
    for file in files:
        taken.append(taken_back(job, file))
        job = taken[-1].job
    if any(back.added or back.closed for back in taken):
        save_job(job)
    for file, back in zip(files, taken, strict=True):
        say("\n".join(f"{file}: {line}" for line in summed_up(back)))
    sys.exit(1 if any(back.conflicts for back in taken) else 0)
