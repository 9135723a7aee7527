"""The commands for practice: a sheet, the tutor, a class's papers, an exam, and marking what was handed in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from secrets import randbelow
from typing import TYPE_CHECKING, ParamSpec, TypeVar

import click

from calc.cli.telling import BadInput, explained, opened, say

if TYPE_CHECKING:
    from calc.practice.papers import Handed
    from calc.practice.tutor import Next

P = ParamSpec("P")
R = TypeVar("R")
FOLDER = Path("reports/practice")
MARKS, PICTURE, RECORDS = "marks.xlsx", "class.pdf", "records"

_seed = click.option("--seed", type=int, default=1, show_default=True, help="The same seed gives the same questions on any machine.")  # fmt: skip
_level = click.option("--level", type=click.IntRange(1, 3), default=2, show_default=True, help="1 few loads, 3 every rule.")  # fmt: skip
_edition = click.option("--edition", default="", help="Of the code; without it one is drawn for each question.")
_hint = click.option("--hint", "hinted", multiple=True, metavar="LINE", help="The next of a line's three hints, by its number or key; it costs a part of its mark.")  # fmt: skip
_out = click.option("--out", type=click.Path(path_type=Path), default=FOLDER, show_default=True, help="Where the files go.")  # fmt: skip


class Practice(click.Group):
    """The commands of practice; a family alone is told how its sheet is asked for."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was asked for."""
        if args and self.get_command(ctx, args[0]) is None:
            from calc.families import families

            if args[0] in families():
                raise click.UsageError(f"'{args[0]}' is a calculation: studbay practice sheet {args[0]}", ctx)
        return super().resolve_command(ctx, args)


@click.group(cls=Practice)
def practice() -> None:
    """Practice with invented houses, marked line by line.

    \b
      studbay practice sheet box-fill --key         a sheet and its worked key
      studbay practice tutor --record ann.jsonl     what Ann should do next, by what she did so far
      studbay practice class box-fill "Ann, Bo"     a paper and a phone's page for each, with the key
      studbay practice exam "Ann, Bo"               mixed papers of the same work, with time, points and key
      studbay practice mark FOLDER answers.xlsx     marks, and which rule to teach again, with who
    """


def _told(command: Callable[P, R]) -> Callable[P, R]:
    """Tell what is wrong with what was asked for."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        from calc.practice.papers import AnswersError
        from calc.practice.record import RecordError

        try:
            return command(*args, **kwargs)
        except (ValueError, KeyError, AnswersError, RecordError) as error:
            raise BadInput(str(error.args[0])) from None

    return explained(run)


@practice.command()
@click.argument("family")
@_seed
@_level
@_edition
@click.option("--key", "with_key", is_flag=True, help="The worked sheet with its reasons, after the question.")
@_hint
@click.option(
    "--only", "line", default="", help="A drill: one line by its key, such as grounds_in3, all before it told."
)
@click.option("--from", "job_path", type=click.Path(path_type=Path), help="Practise the sheet of a real job.")
@click.option("--subject", default="", help="With --from: which sheet, where the job has several.")
@click.option("--answers", type=click.Path(path_type=Path), help="Mark answers to it, CSV or XLSX: a row a learner, a column a line.")  # fmt: skip
@_told
def sheet(
    family: str, seed: int, level: int, edition: str, with_key: bool, hinted: tuple[str, ...], line: str, job_path: Path | None,
    subject: str, answers: Path | None,
) -> None:  # fmt: skip
    """One sheet in the terminal, its key, or answers to it marked."""
    from calc.practice import printed, tutor
    from calc.practice.classes import marked_paper
    from calc.practice.handed_in import of_paper
    from calc.practice.papers import Paper
    from calc.practice.questions import question, question_from_job

    if line:
        chosen = tutor.drill(family, line, seed)
    else:
        asked = question_from_job(family, opened(job_path).whole_job, subject) if job_path else question(family, seed, level, edition)  # fmt: skip
        chosen = tutor.whole(asked)
    used: dict[str, int] = {}
    for each in hinted:
        say(_next_hint(chosen, each, used))
    if answers is not None:
        paper = Paper("", (chosen.question,))
        for name, given in of_paper(paper, answers).items():
            marked = [one for one in marked_paper(paper, given).lines if one.key in chosen.asked]
            say(f"{name}\n{printed.marks_text(marked, used)}")
        return
    if not hinted:
        say(f"{printed.question_text(chosen.question, chosen.asked if line else None)}\n{_how_hinted()}")
    if with_key:
        say(printed.key_text(chosen.question))


@practice.command()
@click.argument("family", default="mixed")
@click.option("--record", type=click.Path(path_type=Path), required=True, help="The learner's record: a file that is theirs, made if there is none.")  # fmt: skip
@click.option("--drill", is_flag=True, help="One line of what is weakest, all before it told: two minutes.")
@_hint
@click.option("--answers", type=click.Path(path_type=Path), help="Mark answers to what was chosen, and keep them in the record.")  # fmt: skip
@click.option("--mastery", is_flag=True, help="What is held, rule by rule.")
@_told
def tutor(family: str, record: Path, drill: bool, hinted: tuple[str, ...], answers: Path | None, mastery: bool) -> None:
    """The next question by what a learner's record says, of a FAMILY or mixed; answers to it marked; what is mastered."""
    from calc.practice import printed, taught
    from calc.practice import tutor as by_record
    from calc.practice.classes import marked_paper
    from calc.practice.handed_in import of_paper
    from calc.practice.mastery import mastery_text
    from calc.practice.papers import Paper
    from calc.practice.record import add_to_record, read_record

    if family not in (*taught(), "mixed"):
        raise ValueError(f"no lesson for '{family}'; there are {', '.join(taught())}, and mixed")
    so_far, now = read_record(record), datetime.now(UTC)
    if mastery:
        say(mastery_text(so_far, now))
        return
    next_one = by_record.next_drill if drill else by_record.next_question
    chosen = next_one(so_far, now, "" if family == "mixed" else family)
    used = by_record.hints_read(so_far, chosen)
    said = [_next_hint(chosen, each, used) for each in hinted]
    add_to_record(record, [by_record.hint_read(chosen, key, many) for key, many in used.items()])
    say("\n".join(said), nl=False)
    if answers is not None:
        paper = Paper("", (chosen.question,))
        given = next(iter(of_paper(paper, answers).values()))
        marked = [one for one in marked_paper(paper, given).lines if one.key in chosen.asked]
        add_to_record(record, by_record.answered(chosen, marked, used))
        say(printed.marks_text(marked, used))
    if answers is not None or hinted:
        return
    say(f"{chosen.name}: {chosen.why}\n")
    if chosen.asked:
        say(f"{printed.question_text(chosen.question, chosen.asked)}\n{_how_hinted()}")
    else:
        say(printed.question_text(chosen.question, ()) + printed.key_text(chosen.question))
        add_to_record(record, by_record.read_example(chosen))


@practice.command("class")
@click.argument("family")
@click.argument("names")
@_seed
@_level
@_edition
@click.option("--hints", is_flag=True, help="With three hints for each line on the phone's page, each costing a part of its mark.")  # fmt: skip
@click.option("--after", type=click.Path(path_type=Path), help="Folder of a set that was marked: what it missed is asked the most.")  # fmt: skip
@_out
@_told
def class_set(
    family: str, names: str, seed: int, level: int, edition: str, hints: bool, after: Path | None, out: Path
) -> None:
    """Papers for a class, a question each with other numbers. NAMES: "Ann, Bo, Cy", or a .txt file with one a line."""
    from calc.practice import classes
    from calc.practice.papers import names_of
    from calc.practice.record import read_record

    records = sorted((after / RECORDS).glob("*.jsonl")) if after is not None else []
    if after is not None and not records:
        raise ValueError(f"{after}: holds no marks; mark that set first")
    missed = [one for path in records for one in read_record(path)]
    _write(classes.class_set(family, names_of(names), seed=seed, level=level, edition=edition, hints=hints, missed=missed), out)  # fmt: skip


@practice.command()
@click.argument("names")
@click.option("--of", "wanted", default="", help="Calculations, 'box-fill, voltage-drop'; without it four that the seed chooses.")  # fmt: skip
@click.option("--seed", type=int, help="Whoever knows it can draw the same papers; without it one that nobody knows.")
@_level
@click.option("--edition", default="2023", show_default=True, help="Of the code.")
@_out
@_told
def exam(names: str, wanted: str, seed: int | None, level: int, edition: str, out: Path) -> None:
    """Mixed papers with time and points, the same work for each learner, and their key. NAMES as for class."""
    from calc.practice.exam import exam as drawn
    from calc.practice.papers import names_of

    unknown = randbelow(10**8)
    handed = drawn(
        names_of(names), seed=unknown if seed is None else seed, level=level, edition=edition, of=names_of(wanted)
    )
    say(handed.note)
    _write(handed, out)


def _write(handed: Handed, out: Path) -> None:
    from calc.practice import classes

    say("\n".join(map(str, classes.write(handed, out))))
    _tell_respelled(handed)


def _tell_respelled(handed: Handed) -> None:
    """Which names stand on paper in other letters than their own."""
    from calc.practice.names import respelled

    for name, printed in respelled(handed.learners).items():
        say(
            f"{name} is printed as {printed}: no font on this machine has its letters; with one installed, it is printed as it is"
        )


@practice.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("answers", type=click.Path(path_type=Path), nargs=-1, required=True)
@_told
def mark(folder: Path, answers: tuple[Path, ...]) -> None:
    """Mark what a class handed in: tables, CSV or XLSX, and the files that phones sent. FOLDER is that of the set or exam.

    Into it go marks.xlsx, class.pdf (which rule to teach again, with who) and a record a learner. A cell, heading or file that
    fits nobody is named, and then nothing is marked.
    """
    from calc.practice import classes, picture, printed
    from calc.practice.handed_in import handed_in
    from calc.practice.papers import read_handed
    from calc.practice.record import add_to_record

    handed = read_handed(folder)
    marked = classes.mark_all(handed, handed_in(handed, answers))
    for name, done in marked.items():
        say(f"{name}: {done.earned:g} of {done.most} points\n{printed.marks_text(done.lines)}")
    for weak in picture.to_teach(marked):
        say(f"Teach again: {weak.rule} ({', '.join(weak.who)})")
    folder = folder if folder.is_dir() else folder.parent
    made = {MARKS: picture.marks_xlsx(handed, marked), PICTURE: picture.picture_pdf(handed, marked)}
    for paper, name in handed.file_names():
        if paper.learner in marked:
            add_to_record(folder / RECORDS / f"{name}.jsonl", marked[paper.learner].answered())
    for path in classes.put(folder, made):
        say(str(path))
    _tell_respelled(handed)


def _how_hinted() -> str:
    from calc.practice import tutor as by_record

    told = ", ".join(f"{what} {cost:.0%}" for what, cost in zip(by_record.HINTS, by_record.COSTS, strict=True))
    return f"--hint LINE gives a line's next hint, which costs a part of its mark: {told} in all."


def _next_hint(chosen: Next, line: str, used: dict[str, int]) -> str:
    """The next hint of a line, and what the one after it costs; ``used`` counts it. ValueError where the line isn't asked."""
    from calc.practice import tutor as by_record
    from calc.practice.papers import Paper

    paper = Paper("", (chosen.question,))
    asked = {paper.heads[0, key]: key for key in chosen.asked}
    found = paper.place(line)
    if found is None or found[1] not in chosen.asked:
        raise ValueError(f"no line '{line}' is left to you; there are {', '.join(asked)}")
    key, all_of_them = found[1], len(by_record.HINTS)
    before = used.get(key, 0)
    used[key] = min(before + 1, all_of_them)
    texts = by_record.hints(chosen.question, key)[: used[key]]
    head = f"Hints for {paper.heads[found]}, {by_record.cost(used[key]):.0%} off its mark."
    after = "No more hints." if used[key] == all_of_them else f"The next: {by_record.hint_label(used[key])}."
    return "\n".join([head, *(f"  {text}" for text in texts), after]) + "\n"
