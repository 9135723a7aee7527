"""The command that answers one question without a house: quick."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from calc.cli.telling import BadInput, explained, say

if TYPE_CHECKING:
    from calc.job import Job

EXAMPLES = "  studbay quick {}"


class Asking(click.Command):
    """The command, whose help shows each question by its examples and whose completion knows their names."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Each question by example."""
        from calc.quick.question import one_line, questions

        for name in questions():
            title, examples = one_line(name)
            formatter.write_text(f"{title}:")
            formatter.write("".join(f"  studbay quick {name} {example}\n" for example in examples))


def _completed(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    from calc.quick.question import questions

    return [name for name in questions() if name.startswith(begun)]


@click.command(cls=Asking)
@click.argument("question", shell_complete=_completed)
@click.argument("entries", nargs=-1)
@click.option("--edition", help="Edition of the code; 2023 if not given.")
@click.option("--work", "with_work", is_flag=True, help="With the sheet that the answer is read off.")
@click.option("--reasons", is_flag=True, help="With the sheet, each line with its reason.")
@click.option("--json", "as_json", is_flag=True, help="The answer as JSON on standard output, and nothing else there.")
@click.option(
    "--into",
    nargs=2,
    metavar="JOB NAME",
    help="Put what was worked into a job, under that name; the code that it adopts is used.",
)
@explained
def quick(
    question: str,
    entries: tuple[str, ...],
    edition: str | None,
    with_work: bool,
    reasons: bool,
    as_json: bool,
    into: tuple[str, str] | None,
) -> None:
    """One answer in a line, without a job file: QUESTION and what it is about, in trade notation and any order.

    Units may be left out where only one is possible. What can be read in two ways is answered in both.
    """
    from calc import quick as asking
    from calc.work import PASSES, worst
    from calc.work import as_text as sheet_text

    job = _job(into[0], edition) if into is not None else None
    try:
        answers = asking.ask(question, " ".join(entries), edition or asking.LATEST, job)
    except asking.NotUnderstood as error:
        raise BadInput(str(error)) from None
    if into is not None and len(answers) > 1:
        raise BadInput(f"This can be read in {len(answers)} ways, so nothing was put into {into[0]}: write the units.")
    if as_json:
        say(json.dumps([answer.as_json() for answer in answers], indent=1))
    else:
        for answer in answers:
            say(asking.as_text(answer))
            if with_work or reasons:
                say("\n" + sheet_text(answer.sheet.as_json(), reasons), nl=False)
    if job is not None and into is not None:
        from calc.quick.into import put_into

        put_into(job, into[1], answers[0])
        say(f"{into[0]}: '{into[1]}' is in it now; the version before is kept beside it", err=True)
    sys.exit(0 if worst(answer.status for answer in answers) == PASSES else 1)


def _job(path: str, edition: str | None) -> Job:
    """The job that an answer is to go into, whose code the question is answered under."""
    from calc.job import read_job

    job = read_job(Path(path))
    if edition is not None and edition != job.code.edition:
        raise BadInput(f"{path} adopts edition {job.code.edition}: ask without --edition, and its own is used.")
    return job
