"""The command that answers one question without a house: quick."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from calc.cli.telling import BadInput, explained, say

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
@click.option("--into", nargs=2, metavar="JOB NAME", help="Put what was worked into a job, as an entry of that name.")
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

    try:
        answers = asking.ask(question, " ".join(entries), edition or asking.LATEST)
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
    if into is not None:
        _put(answers[0], *into)
    sys.exit(0 if worst(answer.status for answer in answers) == PASSES else 1)


def _put(answer: object, path: str, name: str) -> None:
    from calc.job import read_job
    from calc.quick import Answer, put_into

    assert isinstance(answer, Answer)
    put_into(read_job(Path(path)), name, answer)
    say(
        f"{path}: '{name}' is among its {answer.reading.question.into} now; the version before is kept beside it",
        err=True,
    )
