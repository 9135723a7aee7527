"""The command for practice sheets, their keys and marks."""

from __future__ import annotations

from pathlib import Path

import click

from calc.cli.telling import BadInput, explained, opened, say


@click.command()
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
    from calc.practice.marking import mark
    from calc.practice.questions import question, question_from_job

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
        asked = (
            question_from_job(family, opened(job_path).whole_job, subject)
            if job_path
            else question(family, seed, level)
        )
        if answers is not None:
            for name, given in classes.read_answers(answers).items():
                say(f"{name}\n{printed.marks_text(mark(asked, given))}")
            return
    except (ValueError, KeyError, classes.AnswersError) as error:
        raise BadInput(str(error.args[0])) from None
    say(printed.question_text(asked))
    if with_key:
        say(printed.key_text(asked))
