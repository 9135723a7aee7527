"""The command for practice sheets, their keys and marks."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from calc.cli.telling import BadInput, explained, opened, say

if TYPE_CHECKING:
    from calc.practice.tutor import Next


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
    "--answers",
    type=click.Path(path_type=Path),
    help="Mark answers, CSV or XLSX: a row a learner, a column a line by its key or its number.",
)
@click.option(
    "--record",
    type=click.Path(path_type=Path),
    help="A learner's record: the next question is chosen from it; FAMILY or 'mixed'.",
)
@click.option("--mastery", is_flag=True, help="With --record: what is mastered, line by line.")
@click.option("--drill", "line", default="", help="One line by its key, such as grounds_in3, all before it told.")
@click.option("--hints", is_flag=True, help="Three hints for each line that is asked, under the question.")
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
    record: Path | None,
    mastery: bool,
    line: str,
    hints: bool,
    learners: str | None,
    out: Path,
) -> None:
    """A practice sheet, its key, or the answers of a class marked line by line."""
    from calc.practice import classes, printed, tutor
    from calc.practice.marking import mark
    from calc.practice.questions import question, question_from_job
    from calc.practice.record import RecordError

    try:
        if record is not None:
            _tutored(family, record, mastery, hints, answers)
            return
        if line:
            drilled = tutor.drill(family, line, seed)
            say(printed.question_text(drilled.question, drilled.asked) + _hinted(drilled) * hints)
            return
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
            for what, who in classes.to_teach(marked, family):
                say(f"Teach again: {what} ({', '.join(who)})")
            answers.with_name("marks.xlsx").write_bytes(classes.marks_xlsx(marked, family))
            say(str(answers.with_name("marks.xlsx")))
            return
        asked = (
            question_from_job(family, opened(job_path).whole_job, subject)
            if job_path
            else question(family, seed, level)
        )
        if answers is not None:
            for name, given in classes.read_answers(answers, [asked]).items():
                say(f"{name}\n{printed.marks_text(mark(asked, classes.by_key(asked, given)))}")
            return
    except (ValueError, KeyError, classes.AnswersError, RecordError) as error:
        raise BadInput(str(error.args[0])) from None
    say(printed.question_text(asked))
    if with_key:
        say(printed.key_text(asked))


def _tutored(family: str, path: Path, mastery: bool, hints: bool, answers: Path | None) -> None:
    """The next question of a learner, the answers to it marked and recorded, or what is mastered."""
    from calc.practice import classes, printed, taught, tutor
    from calc.practice.marking import mark
    from calc.practice.record import add_to_record, read_record

    if family not in (*taught(), "mixed"):
        raise ValueError(f"no lesson for '{family}'; there are {', '.join(taught())}, and mixed")
    record, now = read_record(path), datetime.now(UTC)
    if mastery:
        say(tutor.mastery_text(record, now))
        return
    chosen = tutor.next_question(record, now, "" if family == "mixed" else family)
    if answers is not None:
        row = next(iter(classes.read_answers(answers, [chosen.question]).values()))
        given = classes.by_key(chosen.question, row)
        marked = [one for one in mark(chosen.question, given) if one.key in chosen.asked]
        add_to_record(path, tutor.answered(chosen, marked))
        say(printed.marks_text(marked))
        return
    say(f"{chosen.name}: {chosen.why}\n")
    if chosen.asked:
        say(printed.question_text(chosen.question, chosen.asked) + _hinted(chosen) * hints)
    else:
        say(printed.question_text(chosen.question, ()) + printed.key_text(chosen.question))
        add_to_record(path, tutor.read_example(chosen))


def _hinted(chosen: Next) -> str:
    """The hints of each line that is asked, and what they cost."""
    from calc.practice import tutor
    from calc.practice.asking import asked_lines

    shown = {each.key: each for each in asked_lines(chosen.question)}
    costs = ", ".join(f"{cost:.0%}" for cost in tutor.COSTS)
    out = [f"\nHints, each costing of the line's mark {costs}:"]
    for key in chosen.asked:
        out += [
            f"{shown[key].number:>3}  {shown[key].name}",
            *(f"       {each}" for each in tutor.hints(chosen.question, key)),
        ]
    return "\n".join(out) + "\n"
