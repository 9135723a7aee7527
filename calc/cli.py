"""The command ``studbay``. Exit codes: 0 everything in scope is worked and passes; 1 something in it falls short, isn't
shown or isn't worked; 2 bad input or usage; 3 a fault of ours."""

from __future__ import annotations

import json
import os
import sys
import traceback
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

import click

from calc.letters import visible

if TYPE_CHECKING:
    from calc.codebook import Codebook
    from calc.job import Job

P = ParamSpec("P")
R = TypeVar("R")
STOPPED = 130
JOB = click.argument("job_path", metavar="JOB", type=click.Path(path_type=Path))


def say(text: str, err: bool = False, nl: bool = True) -> None:
    """Print a text, whoever wrote it: only letters and signs reach the terminal."""
    click.echo(visible(text), err=err, nl=nl)


class BadInput(click.ClickException):
    """A message about what was read, printed without a traceback."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        """Print the message alone."""
        say(self.message, err=True)


class Fault(BadInput):
    """A fault of ours, said on one line."""

    exit_code = 3


def explained(command: Callable[P, R]) -> Callable[P, R]:
    """Turn what the layers below say about bad input into one message and exit code 2, all else into exit code 3."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        from calc.codebook import CodebookError
        from calc.job import JobError
        from calc.packet.lots import LotsError
        from calc.packet.restore import RestoreError

        try:
            return command(*args, **kwargs)
        except (JobError, CodebookError, RestoreError, LotsError) as error:
            raise BadInput(str(error)) from None
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except OSError as error:  # a folder that can't be written, a disk that is full
            raise BadInput(f"{error.filename or 'a file'}: {error.strerror or error}") from None
        except Exception as error:
            at = traceback.extract_tb(error.__traceback__)[-1]
            raise Fault(
                f"A fault of Studbay's own, not of the job: {type(error).__name__}: {error} ({Path(at.filename).name}, "
                f"line {at.lineno}). Please report it, with the job file."
            ) from error

    return run


class Commands(click.Group):
    """The commands; whoever stops one with Ctrl-C gets exit code 130, as from other programs."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was asked for."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            say("Stopped.", err=True)
            ctx.exit(STOPPED)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="studbay")
def main() -> None:
    """Worked, cited calculations for house wiring.

    A house is described once, in a job file. From it Studbay works out each number with every step shown, and makes
    the packet for the permit office.

    \b
      studbay new sorrel-bend-12          make a job file and fill it in
      studbay check JOB                   read it: every problem at once, with line numbers
      studbay work JOB                    the sheets, in the terminal
      studbay packet JOB                  the packet, as PDF
      studbay fixes JOB                   what to mend, worst first
      studbay packet --walk JOB           the crew's packet: fix list and walk sheets
      studbay open                        the workbook, in the browser

    The adopted code with its local amendments decides, and the authority having jurisdiction interprets it.
    """
    os.environ["PYTHONSAFEPATH"] = "1"  # no Python that is started from here imports what lies in the folder it is in


@main.command()
@click.argument("name")
@click.option("--starter", default="one-family", show_default=True, help="Which starter to begin from.")
@click.option("--from", "packet", type=click.Path(path_type=Path), help="Restore the job that a packet carries.")
@click.option(
    "--folder", type=click.Path(path_type=Path), default=Path(), help="Working folder; this one if not given."
)
@explained
def new(name: str, starter: str, packet: Path | None, folder: Path) -> None:
    """Make a job file NAME.toml, with the notebooks beside it where there are none yet."""
    from calc.workplace import lay_out

    made = lay_out(folder, name, starter, packet)
    if packet is None:
        say(f"{made}\nFill it in, then: studbay check {made}")
        return
    from calc.job import read_job

    say(f"{made}\nThe job in it is called '{read_job(made).job.name}', as in the packet, and reports are kept by that name: "
        "for another job, change the name under [job].")  # fmt: skip


@main.command()
@JOB
@explained
def check(job_path: Path) -> None:
    """Read and validate a job file, and say for each calculation in its scope whether it can be worked.

    Every problem of the file comes at once, with line numbers. What can't be worked yet names the entry that is missing.
    """
    from calc.verdict.standing import standing, standing_text

    stands = standing(*_opened(job_path))
    say(standing_text(stands), nl=False)
    sys.exit(0 if stands.passes else 1)


@main.command()
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
    from calc.verdict.standing import standing
    from calc.work import PASSES, as_text, table_text, worst

    job, code = _opened(job_path, edition)
    known = families()
    if only is not None and only not in known:
        raise BadInput(f"no family '{only}'; there are {', '.join(known)}")
    if only is None:
        stands = standing(job, code)
        worked, status = stands.sheets, stands.status
    elif missing := known[only].needs(job):
        raise BadInput(f"{job_path}: {known[only].TITLE} needs {'; '.join(missing)}")
    else:
        worked = {only: known[only].work(job, code)}
        status = worst(sheet.status for sheet in worked[only])
    if tables:
        shown = [each for name, sheets in worked.items() if sheets and not known[name].needs(job)
                 for each in known[name].tables(job, code)]  # fmt: skip
    else:
        shown = [sheet.as_json() for sheets in worked.values() for sheet in sheets]
    texts = (table_text(each) if tables else as_text(each, reasons) for each in shown)
    say(json.dumps(shown, indent=1) if as_json else "\n".join(texts), nl=as_json)
    if only is None:
        outside = f" Nothing is claimed of {', '.join(stands.outside)}." if stands.outside else ""
        say(f"{stands.verdict}.{outside}", err=True)
    sys.exit(0 if status == PASSES else 1)


@main.command()
@JOB
@click.option("--editions", default="", help="Editions, with commas between; all of them if not given.")
@explained
def compare(job_path: Path, editions: str) -> None:
    """The dwelling load by every method and under each edition, side by side."""
    from calc.codebook import editions as known
    from calc.families import dwelling_load
    from calc.work import table_text

    job, _ = _opened(job_path)
    if missing := dwelling_load.needs(job):
        raise BadInput(f"{job_path}: the job needs {'; '.join(missing)}")
    names = [name.strip() for name in editions.split(",") if name.strip()] or known()
    say("\n".join(table_text(table) for table in dwelling_load.compared(job, names)))


@main.command()
@click.argument("jobs", metavar="JOB...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), default=Path("reports"), show_default=True, help="Folder.")
@click.option("--walk", is_flag=True, help="The crew's packet instead: fix list and walk sheets of one job.")
@click.option("--no-attachments", is_flag=True, help="Leave the job file and sheets out of the PDF.")
@click.option("--all-sheets", is_flag=True, help="Print also the sheets that pass of a family that has many.")
@click.option(
    "--engine",
    type=click.Choice(["warm", "stock"]),
    default="warm",
    show_default=True,
    help="How notebooks run: in forked processes where the system can, or papermill's own way.",
)
@click.option(
    "--lots",
    "table",
    type=click.Path(path_type=Path),
    help="A CSV or XLSX table of variations of one job: a row a lot, a column a place in the job file.",
)
@click.option("--options", type=click.Path(path_type=Path), help="A TOML file of named options for the lots.")
@click.option(
    "--jobs", "workers", type=click.IntRange(1, 256), help="How many at a time; as many as processors if not given."
)
@click.option("--scheduler", metavar="ADDRESS", help="Hand the work to a Dask cluster (needs studbay[cluster]), whose "
              "scheduler is trusted: what it sends back is run. tls://HOST:PORT with --tls says who it is.")  # fmt: skip
@click.option("--tls", nargs=3, type=click.Path(path_type=Path, exists=True, dir_okay=False), metavar="CA CERT KEY",
              help="Files for a scheduler at tls://: the authority's certificate, one's own, and its key.")  # fmt: skip
@explained
def packet(
    jobs: tuple[Path, ...],
    out: Path,
    walk: bool,
    no_attachments: bool,
    all_sheets: bool,
    engine: str,
    table: Path | None,
    options: Path | None,
    workers: int | None,
    scheduler: str | None,
    tls: tuple[Path, Path, Path] | None,
) -> None:
    """Run the notebooks for a job and make its permit packet; many jobs are a batch.

    A batch leaves packets whose job, notebooks and program have not changed, makes the rest, and says what became of
    each, with a summary as packets.csv, packets.xlsx and packets.pdf.
    """
    if walk and (len(jobs) > 1 or table is not None):
        raise BadInput("--walk makes the crew's packet of one job; give one, and no --lots")
    if tls and not (scheduler or "").startswith("tls://"):
        raise BadInput("--tls goes with --scheduler tls://HOST:PORT")
    if table is not None and len(jobs) > 1:
        raise BadInput("--lots varies one job; give one")
    if len(jobs) > 1 or table is not None:
        from calc.batches import make_batch

        code = make_batch(jobs, out, table=table, options=options, workers=workers or os.cpu_count() or 1,
                          scheduler=scheduler, tls=tls, attachments=not no_attachments, engine=engine)  # fmt: skip
        sys.exit(code)
    from calc.packet import pool, warm
    from calc.packet.run import PacketError, make_packet, packet_notebooks
    from calc.packet.walk import make_walk
    from calc.verdict.scope import scope_of
    from calc.workplace import notebooks_folder

    (job_path,) = jobs
    scope_of(_opened(job_path)[0])  # bad input is told before any notebook runs
    name = None
    if engine == "warm" and warm.available():
        warm.warm_up(pool.PRELOADED)
        name = warm.register()

    def told(text: str) -> None:
        say(text, err=True)

    folder = notebooks_folder(job_path, told)

    try:
        if walk:
            done = make_walk(
                job_path, notebooks=packet_notebooks(folder, "walk"), out_dir=out, engine=name, progress=told
            )
            say(str(done.pdf))
            sys.exit(1 if done.to_fix else 0)
        made = make_packet(job_path, notebooks=packet_notebooks(folder), out_dir=out, attachments=not no_attachments, every_sheet=all_sheets,
                           engine=name, progress=told)  # fmt: skip
    except PacketError as error:
        say(str(error), err=True)
        sys.exit(3)
    say(str(made.pdf))
    sys.exit(0 if made.passes else 1)


@main.command(name="fixes")
@JOB
@click.option("--edition", help="Under another edition than the job's, such as 2020.")
@click.option("--json", "as_json", is_flag=True, help="The list as JSON on standard output, and nothing else there.")
@explained
def fix_list(job_path: Path, edition: str | None, as_json: bool) -> None:
    """What in the job's scope does not pass, worst first, each with the smallest safe change that mends it.

    Each mend is proved by working the whole job again with it; that takes some seconds.
    """
    from calc import remedies

    job, code = _opened(job_path, edition)
    sheet = remedies.fixes_sheet(job, code)
    say(json.dumps(sheet, indent=1) if as_json else remedies.fixes_text(sheet), nl=as_json)
    sys.exit(0 if sheet["status"] == "passes" else 1)


@main.command()
@click.argument("family")
@click.option(
    "--seed", type=int, default=1, show_default=True, help="The same seed gives the same sheet on any machine."
)
@click.option("--level", type=click.IntRange(1, 3), default=2, show_default=True, help="1 few loads, 3 every rule.")
@click.option("--key", "with_key", is_flag=True, help="The worked sheet with its reasons, after the question.")
@click.option("--from", "job_path", type=click.Path(path_type=Path), help="Practise the sheet of a real job.")
@click.option("--subject", default="", help="With --from: which sheet, where the job has several.")
@click.option(
    "--answers", type=click.Path(path_type=Path), help="Mark a CSV of answers: learner, then the lines' keys."
)
@click.option("--class", "learners", help="A set for a class, a sheet for each name: 'Ann, Bo, Cy'.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("reports/practice"),
    show_default=True,
    help="With --class: where questions, key and the table for answers go.",
)
@explained
def practice(
    family: str,
    seed: int,
    level: int,
    with_key: bool,
    job_path: Path | None,
    subject: str,
    answers: Path | None,
    learners: str | None,
    out: Path,
) -> None:
    """A practice sheet, its key, or the answers of a class marked line by line."""
    from calc.practice import classes, printed
    from calc.practice.lesson import question, question_from_job
    from calc.practice.marking import mark

    try:
        if learners:
            names = list(dict.fromkeys(name.strip() for name in learners.split(",") if name.strip()))
            whole = classes.ClassSet(family, seed, level, names)
            if answers is None:
                say("\n".join(str(path) for path in whole.write(out)))
                return
            marked = whole.mark(answers)
            for name, lines in marked.items():
                say(f"{name}\n{printed.marks_text(lines)}")
            say(classes.wrong_lines(marked).alt)
            return
        asked = question_from_job(family, _opened(job_path)[0], subject) if job_path else question(family, seed, level)
        if answers is not None:
            for name, given in classes.read_answers(answers).items():
                say(f"{name}\n{printed.marks_text(mark(asked, given))}")
            return
    except (ValueError, KeyError, classes.AnswersError) as error:
        raise BadInput(str(error.args[0])) from None
    say(printed.question_text(asked))
    if with_key:
        say(printed.key_text(asked))


@main.command()
@JOB
@click.argument("part")
@click.argument("table", type=click.Path(path_type=Path))
@click.option("--read", "direction", flag_value="read", help="Put the table's rows into the job, in place of its own.")
@click.option("--add", "direction", flag_value="add", help="Add the table's rows to those of the job.")
@explained
def table(job_path: Path, part: str, table: Path, direction: str | None) -> None:
    """A list of the job (boxes, loads, circuits, rooms, runs...) as a spreadsheet, out or in.

    Writes PART of the job to TABLE (.csv or .xlsx), or with --read or --add takes it back into the job file. A table
    with anything wrong in it changes nothing; each problem is told by sheet, row and column.
    """
    from calc.job import export_parts, import_parts, save_job

    job, _ = _opened(job_path)
    try:
        if direction is None:
            say(str(export_parts(job, part, table)))
            return
        save_job(import_parts(job, part, table, add=direction == "add"))
    except KeyError as error:
        raise BadInput(str(error.args[0])) from None
    say(f"{job_path}: {part} taken from {table}; the version before is kept beside it")


@main.command(name="copy")
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

    job, _ = _opened(job_path)
    try:
        save_job(copied(job, part, name, names))
    except KeyError as error:
        raise BadInput(str(error.args[0])) from None
    say(f"{job_path}: {name} copied {len(names)} time{'s' * (len(names) > 1)}; the version before is kept beside it")


@main.command()
@click.argument("asked", metavar="RULE")
@click.option("--edition", help="One edition, such as 2020; all of them side by side if not given.")
@click.option("--job", "job_path", type=click.Path(path_type=Path), help="As a job adopts it, with its amendments.")
@click.option("--json", "as_json", is_flag=True, help="The rules as JSON on standard output, and nothing else there.")
@explained
def rule(asked: str, edition: str | None, job_path: Path | None, as_json: bool) -> None:
    """What a rule says, its value in each edition, how sure it is, and where it came from.

    RULE is a section (220.55, with the rows of its tables), a rule's own name (unit_load), or words of its name
    ("largest motor").
    """
    from calc.codebook import editions as known
    from calc.codebook import explain, open_codebook

    shown = {name: open_codebook(name).in_full for name in ([edition] if edition else known())}
    if job_path is not None:
        job, code = _opened(job_path, edition)
        shown = {f"{code.edition} as {job.job.name} adopts it": code.in_full}
    told = explain.explained(asked, shown)
    say(json.dumps(told.as_json(), indent=1) if as_json else explain.as_text(told), nl=as_json)


@main.command()
@click.option("--of", default="job", show_default=True, metavar="FORM", help="Which public form.")
@explained
def schema(of: str) -> None:
    """The JSON Schema of the job file, for editors; with --of that of what the commands give as JSON.

    FORM is job, sheet (work --json), or rule (rule --json).
    """
    from calc.schemas import FORMS

    if of not in FORMS:
        raise BadInput(f"no form '{of}'; there are {', '.join(FORMS)}")
    say(json.dumps(FORMS[of](), indent=2))


@main.command(name="open")
@click.option(
    "--folder", type=click.Path(path_type=Path), default=Path(), help="Working folder; this one if not given."
)
@click.option("--pages", is_flag=True, help="The notebooks as plain pages: no code, nothing to run first.")
@click.option("--no-browser", is_flag=True, help="Start the server and print its address only.")
@click.option("--allow-root", is_flag=True, help="Run as root all the same, as in a container that has no other user.")
def open_lab(folder: Path, pages: bool, no_browser: bool, allow_root: bool) -> None:
    """Open the workbook at its start page, on this machine only, with its token: in JupyterLab, or as pages."""
    from calc.workplace import open_workbook

    sys.exit(open_workbook(folder, browser=not no_browser, pages=pages, allow_root=allow_root))


def _opened(job_path: Path, edition: str | None = None) -> tuple[Job, Codebook]:
    from calc.job import read_job
    from calc.wiring.reading import codebook_for

    job = read_job(job_path)
    return job, codebook_for(job, edition)
