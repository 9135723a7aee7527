"""Marking: each line on its own, with the learner's earlier numbers carried forward."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, Literal

from calc.job import SIZES as CONDUCTORS
from calc.practice.answers import Written, read_answer, read_outcome, read_size
from calc.practice.fair import ALIKE, Fair, near, printed_number, turned
from calc.practice.lesson import SIZE, Again, Question, missed, taught
from calc.practice.slips import NOWHERE, Answer
from calc.work.keys import stem_of

Verdict = Literal["right", "slip", "wrong", "unreadable", "left out"]
AND = " and "  # between two slips at once
OR = " or "  # between slips that give the same answer
CONSEQUENCES = 2  # lines told of what a wrong size leads to


@dataclass(frozen=True)
class Marked:
    """One line marked: what the learner gave, what follows from the numbers before it, and what to tell."""

    key: str
    name: str
    given: str
    expected: str
    verdict: Verdict
    told: str
    number: int = 0  # of the line on the sheet
    slip: str = ""
    read: Answer | None = None  # the answer, in the unit of the line
    full: float | None = None  # what the learner may go on with beside it: a slip's number before it was rounded


def mark(question: Question, answers: Mapping[str, str]) -> list[Marked]:
    """Every asked line marked. A wrong number or size is carried on, so that one slip isn't punished twice; a right one
    is carried as it was rounded.
    """
    carried: dict[str, Answer] = {}
    own: dict[str, float] = {}
    marked: list[Marked] = []
    plain = Fair(_worked(question, carried))
    for key in question.asked:
        one = _mark_line(plain, own, key, answers.get(key, ""))
        marked.append(one)
        if one.full is not None:
            own[key] = one.full
        if one.read is None:
            continue
        if one.verdict != "right" or (isinstance(one.read, str) and not same_size(one.read, one.expected)):
            carried[key] = _size(one.read) if isinstance(one.read, str) else one.read
            plain = Fair(_worked(question, carried))
        elif isinstance(one.read, float):
            own[key] = one.read
    return marked


def _mark_line(plain: Fair, own: Mapping[str, float], key: str, answer: str) -> Marked:
    again = plain.again
    line = again.shown.get(key)
    if line is None:  # the learner's own numbers led down a road that has no such line
        return Marked(key, key, answer, "", "left out", "With your numbers this line doesn't come up.")
    blank = Marked(key, line["name"], answer, line["result"], "unreadable", "", line["number"])
    if not answer.strip():
        return replace(blank, given="", verdict="left out", told=f"Left out. It is {_how(line)}.")
    if key in again.texts:
        text, trouble = (read_outcome if key in again.outcomes else read_size)(answer)
        return replace(blank, told=trouble) if text is None else _mark_text(plain, replace(blank, read=text), text)
    written, trouble = read_answer(answer, line["unit"])
    if written is None:
        return replace(blank, told=trouble)
    fair, slips = Fair(again, own) if own else plain, usable_slips(plain, key)
    first = _mark_number(fair, slips, blank, written)
    if first.verdict != "wrong":
        return first
    others = (_mark_number(fair, slips, blank, each) for each in written.otherwise(line["unit"]))
    return next((each for each in others if each.verdict != "wrong"), first)


def _mark_number(fair: Fair, slips: Mapping[str, Answer], blank: Marked, written: Written) -> Marked:
    """A number as it was read: right within honest rounding, a slip, right though rounded further, or wrong."""
    again, key, number = fair.again, blank.key, written.number
    one, unit = replace(blank, read=number), ""
    if written.meant:
        line_unit = again.shown[key]["unit"] or "a plain number"
        unit = f" It was read as {written.meant}: write the unit, for without one the line is {line_unit}."
    close, past = fits(fair, key, number), ""
    told = [] if close else [
        name for name, wrong in slips.items() if isinstance(wrong, float) and _is_slip(fair, key, written, wrong)
    ]  # fmt: skip
    if told:
        full = slips[told[0]]
        return replace(one, verdict="slip", told=_told(again, key, told) + unit, slip=OR.join(told), full=float(full))
    both = None if close or told else _both(fair, key, written)
    if both:
        return replace(
            one,
            verdict="slip",
            told=f"Two slips at once. {_told(again, key, both, ' And: ')}{unit}",
            slip=AND.join(both),
        )
    if close or is_near(fair, key, written):
        value = again.numbers[key]
        as_printed = fair.within(key, number, (value, value)) or number == printed_number(one.expected)
        past = "" if as_printed else _past_a_limit(again, key, number)
        if not past:
            return replace(one, verdict="right", told=f"Right.{unit}")
    return replace(one, verdict="wrong", told=past or _why(fair, key, number))


def _mark_text(plain: Fair, one: Marked, text: str) -> Marked:
    """A size or an outcome: right, larger than asked where the rule says 'at least', a slip, or wrong."""
    again, key = plain.again, one.key
    if same_size(text, again.texts[key]):
        return replace(one, verdict="right", told="Right.")
    larger = is_larger(again, key, text)
    slips = every_slip(again, key) if larger else usable_slips(plain, key)
    told = [name for name, wrong in slips.items() if same_size(str(wrong), text)]
    explained = _told(again, key, told) if told else ""
    if larger:
        return replace(
            one, verdict="right", told=f"Right, and larger than asked: {one.expected} is enough. {explained}".strip()
        )
    if explained:
        return replace(one, verdict="slip", told=explained, slip=OR.join(told))
    follows = "" if key in again.outcomes else _consequences(again, key, text)
    return replace(one, verdict="wrong", told=f"{_doesnt_follow(again, key)}{follows}")


def _worked(question: Question, carried: Mapping[str, Answer]) -> Again:
    """The sheet with the learner's numbers; without them where they lead nowhere."""
    try:
        again = Again(question, dict(carried))
        return again if again.sheet.refused is None else Again(question)
    except NOWHERE:
        return Again(question)


def right(again: Again, key: str) -> Answer:
    """The right answer of a line: its number at full precision, or its size."""
    return again.texts[key] if key in again.texts else again.numbers[key]


def fits(fair: Fair, key: str, number: float) -> bool:
    """Whether a number is within what honest rounding gives at a line."""
    return fair.within(key, number, fair.spans[key])


def is_near(fair: Fair, key: str, written: Written) -> bool:
    """Whether a number is the line's rounded further than the span has it, but to the nearest and hardly moved."""
    if fair.exact(key):
        return False
    low, high = fair.spans[key]
    most = high if fair.rounds_down(key) else written.number
    return written.number <= most and any(
        near(written.number, written.decimals, value) for value in (fair.again.numbers[key], low, high)
    )


def _is_slip(fair: Fair, key: str, written: Written, wrong: float) -> bool:
    within = fair.within(key, written.number, fair.around(key, wrong))
    return within or (not fair.exact(key) and near(written.number, written.decimals, wrong))


def usable_slips(fair: Fair, key: str) -> dict[str, Answer]:
    """Slips of a line with the wrong answer of each, but those that could be right."""
    again = fair.again
    found = every_slip(again, key)
    if key in again.texts:
        return {name: answer for name, answer in found.items() if not is_larger(again, key, str(answer))}
    right_span = fair.spans[key]
    return {name: wrong for name, wrong in found.items() if not _overlap(fair.around(key, float(wrong)), right_span)}


def every_slip(again: Again, key: str) -> dict[str, Answer]:
    """Every slip of a line that gives another answer than the right one."""
    found: dict[str, Answer] = {}
    for slip in again.question.slips:
        if stem_of(key) not in slip.lines:
            continue
        try:
            wrong = slip.wrong(again, key)
        except NOWHERE:
            continue  # it needs a line, a row or a job that isn't there
        if wrong is None or isinstance(wrong, str) != (key in again.texts):
            continue
        value = right(again, key)
        if not (same_size(str(wrong), str(value)) if isinstance(wrong, str) else wrong == value):
            found[slip.name] = wrong if isinstance(wrong, str) else float(wrong)
    return found


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    near_by = ALIKE * max(1, abs(one[0]))
    return one[0] <= other[1] + near_by and other[0] <= one[1] + near_by


def same_size(one: str, other: str) -> bool:
    """Whether two sizes, or two outcomes, are the same, however written."""
    return _size(one) == _size(other)


def is_larger(again: Again, key: str, size: str) -> bool:
    """Whether a conductor is larger than asked, where the rule asks for that size at least."""
    lesson, asked = taught().get(again.question.family), again.texts.get(key, "")
    if lesson is None or stem_of(key) not in lesson.or_larger or not {_size(size), _size(asked)} <= set(CONDUCTORS):
        return False
    return CONDUCTORS.index(_size(size)) > CONDUCTORS.index(_size(asked))


def _size(text: str) -> str:
    found = SIZE.fullmatch(text)
    return found[1] if found else text


def _both(fair: Fair, key: str, written: Written) -> tuple[str, str] | None:
    """The two slips that give a number together, where the arithmetic says what two give: factors or parts of one line."""
    if fair.exact(key):
        return None
    again, own = fair.again, fair.again.numbers[key]
    kinds = {slip.name: slip.changes for slip in again.question.slips if stem_of(key) in slip.lines}
    single = {name: float(wrong) for name, wrong in every_slip(again, key).items() if kinds[name]}
    found = []
    for a, b in combinations(single, 2):
        if own and kinds[a] == kinds[b]:
            wrong = single[a] * single[b] / own if kinds[a] == "factor" else single[a] + single[b] - own
            undone = _overlap(fair.around(key, wrong), fair.spans[key])
            if not undone and _is_slip(fair, key, written, wrong):
                found.append((a, b))
    return found[0] if len(found) == 1 else None


def _told(again: Again, key: str, names: Sequence[str], between: str = " Or: ") -> str:
    """What a slip missed, with the section of its rule; where several give this answer, each of them."""
    words = missed(again.question.family)
    told = list(dict.fromkeys(f"{words[name]} {_cite(again.question, name)}".strip() for name in names))
    alike = "One of these, for they give the same here. " if len(told) > 1 and between == " Or: " else ""
    return alike + between.join(told)


def _doesnt_follow(again: Again, key: str) -> str:
    line = again.shown[key]
    return f"This doesn't follow from the lines before it. It is {_how(line)}. {line['reason']}"


def _why(fair: Fair, key: str, number: float) -> str:
    """What to say of a number that follows from nothing known; or that the learner's own rounding led to it."""
    again = fair.again
    by_own = _worked(again.question, {**again.overrides, **fair.own})
    if key in by_own.numbers and fits(Fair(by_own), key, number):
        return (f"It follows from your rounded numbers, but the rounding decided it: with the digits kept it is "
                f"{again.shown[key]['result']}. Where a limit is near, keep a digit more.")  # fmt: skip
    return _doesnt_follow(again, key)


def _past_a_limit(again: Again, key: str, number: float) -> str:
    """What a rounded number would decide otherwise further down; '' where nothing turns."""
    later = list(again.shown)
    after = _worked(again.question, {**again.overrides, key: number})
    line = turned(again, after, later[later.index(key) + 1 :])
    if not line:
        return ""
    now, then = again.shown[line], after.shown.get(line, {"result": "left out"})
    return (f"Rounded too far: a limit lies between. With {number:g} {again.shown[key]['unit']}, {now['name']} would come to "
            f"{then['result']}, not {now['result']}. It is {again.shown[key]['result']}.")  # fmt: skip


def _consequences(again: Again, key: str, size: str) -> str:
    """What a wrong size leads to: the checks that it makes fall short, else the first lines that come out otherwise."""
    after = _worked(again.question, {**again.overrides, key: _size(size)})
    if after.texts.get(key) != _size(size):
        return ""
    failing = [
        f"{each['name']}: {each['text']}" for each in after.public["checks"]
        if not each["passes"] and again.outcomes.get(each["key"]) != after.outcomes[each["key"]]
    ]  # fmt: skip
    changed = [f"{each['name']} {each['result']} where {again.shown[each['key']]['result']} is needed"
               for each in after.public["lines"] if each["unit"] and each["key"] in again.shown and each["key"] != key
               and each["result"] != again.shown[each["key"]]["result"]]  # fmt: skip
    told = (failing or changed)[:CONSEQUENCES]
    return f" With {_size(size)}: {'; '.join(told)}." if told else ""


def _how(line: Mapping[str, Any]) -> str:
    cited = f" [{', '.join(line['sections'])}]" if line["sections"] else ""
    found = f"{line['result']} ({line['numbers']})" if line.get("numbers") else line["result"]
    return f"{line['formula'] or found}{cited}"


def _cite(question: Question, name: str) -> str:
    rule = next(slip.rule for slip in question.slips if slip.name == name)
    section = question.code.cite(rule).section if rule and question.code.has(rule) else ""
    return f"[{section}]" if section else ""
