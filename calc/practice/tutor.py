"""The tutor: what to practise next, by what a learner's record says, and hints before an answer.

A skill is one line of a family, such as the grounds of a box. When a skill is due again is left to FSRS, a published
algorithm of spaced repetition (package ``fsrs``): the time grows with each success, and a missed one comes back soon. A family
begins with a worked example, then questions with more and more lines left to do, then whole; then the families are mixed. A
new one is begun when nothing is due, and after a few questions of what is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from math import ceil
from random import Random

from fsrs import Card, Rating, Scheduler

from calc.families import families
from calc.practice.lesson import Again, Question, taught
from calc.practice.marking import AND, OR, Marked
from calc.practice.questions import LEVELS, question
from calc.practice.record import Answered
from calc.work.keys import stem_of

READ, LOOKED_UP = "example", "hint"  # stand in the record where a worked example was read, or a hint for a line
COSTS = (0.25, 0.5, 0.75)  # of a line's mark, after so many hints
HINTS = ("which rule", "what goes in", "half worked")
FADED = (0, 1 / 3, 2 / 3)  # of a family's first questions, the part that is left to the learner
REVIEWS = 4  # questions of what is due, one after the other, before a family is begun all the same
LOOKED_AT = 12  # questions for one that asks the skill that is due
KEPT = 0.9  # chance of recall under which a skill is due
RECENT, UP, DOWN = 12, 0.8, 0.5  # lines that decide the level; the share right at which it rises or falls
_SCHEDULER = Scheduler(desired_retention=KEPT, learning_steps=(), relearning_steps=(), enable_fuzzing=False)


@dataclass(frozen=True)
class Next:
    """What to practise next: a question, the lines of it that are left to the learner, and why this one."""

    question: Question
    name: str  # 'box-fill/7/2'
    asked: tuple[str, ...]
    why: str


def skill(family: str, key: str) -> str:
    """What a line of a family practises."""
    return f"{family}/{stem_of(key)}"


def cards(record: Iterable[Answered], what: Callable[[Answered], str] = lambda one: one.skill) -> dict[str, Card]:
    """The state of each skill, or of what else answers are about, by going through the record: right is good, right with a
    hint is hard, anything else again.
    """
    found: dict[str, Card] = {}
    for one in lines_of(record):
        rating = Rating.Again if not one.right else Rating.Hard if one.hints else Rating.Good
        found[what(one)], _ = _SCHEDULER.review_card(found.get(what(one), Card(card_id=1)), rating, one.at)
    return found


def lines_of(record: Iterable[Answered]) -> list[Answered]:
    """The lines that were answered, without the worked examples and the hints that were read."""
    return [one for one in record if _step(one) not in (READ, LOOKED_UP)]


def _taken(record: Iterable[Answered]) -> list[Answered]:
    """What was answered or read, without the hints: they do not change which question is the next."""
    return [one for one in record if _step(one) != LOOKED_UP]


def _step(one: Answered) -> str:
    return "".join(one.skill.split("/")[1:2])


def _random(record: Sequence[Answered]) -> Random:
    """The chance by which a record's next question is drawn: the same until something is answered."""
    return Random(f"{len(record)}/{record[-1].id if record else ''}")


def recall(card: Card, now: datetime) -> float:
    """The chance that a skill is still there."""
    return _SCHEDULER.get_card_retrievability(card, now)


def choose(known: Mapping[str, Card], skills: Sequence[str], now: datetime) -> str:
    """The skill to practise: the one most forgotten of those that are due, else the first that is new, else the weakest."""
    chances = {each: recall(known[each], now) for each in skills if each in known}
    due = [each for each, chance in chances.items() if chance < KEPT]
    new = [each for each in skills if each not in known]
    return min(due, key=chances.__getitem__) if due else new[0] if new else min(chances, key=chances.__getitem__)


def next_question(record: Sequence[Answered], now: datetime, family: str = "") -> Next:
    """The next question, of a family or of all that there are. The same record gives the same question."""
    names = [family] if family else list(taught())
    record = _taken(record)
    random = _random(record)
    known = cards(record)
    done = {name: len(dict.fromkeys(one.question for one in record if one.family == name)) for name in names}
    begun = [name for name in names if done[name] < len(FADED)]
    due = [each for each in known if each.partition("/")[0] in names and recall(known[each], now) < KEPT]
    started = [name for name in begun if done[name]] or begun
    if started and (not due or _reviews(record) >= REVIEWS):
        name = started[0]
        part = FADED[done[name]]
        made, seed, level = _drawn(name, level_of(record, name), random, "")
        left = made.asked[len(made.asked) - ceil(part * len(made.asked)) :] if part else []
        why = "a worked example, to read line by line" if not left else f"the last {len(left)} lines are left to you"
        return Next(made, f"{name}/{seed}/{level}", tuple(left), f"{families()[name].TITLE}: {why}")
    wanted = choose(known, due or [each for each in known if each.partition("/")[0] in names], now)
    name = wanted.partition("/")[0]
    made, seed, level = _drawn(name, level_of(record, name), random, wanted)
    return Next(
        made,
        f"{name}/{seed}/{level}",
        tuple(made.asked),
        f"{families()[name].TITLE}, whole: {named(made, wanted)} is due again",
    )


def _reviews(record: Iterable[Answered]) -> int:
    """How many of the last questions, one after the other, were whole ones of families that are begun."""
    of_family: Counter[str] = Counter()
    whole = 0
    for family, _ in dict.fromkeys((one.family, one.question) for one in record):
        of_family[family] += 1
        whole = whole + 1 if of_family[family] > len(FADED) else 0
    return whole


def named(asked: Question, wanted: str) -> str:
    """A skill as the lines of a question are called."""
    lines = Again(asked).shown.values()
    return next(
        (str(line["name"]) for line in lines if skill(asked.family, line["key"]) == wanted), wanted.partition("/")[2]
    )


def _drawn(family: str, level: int, random: Random, wanted: str) -> tuple[Question, int, int]:
    """A question that asks the wanted skill, at this level or the next one that does; the last one looked at if none does."""
    for each in (level, *(other for other in LEVELS if other != level)):
        for _ in range(LOOKED_AT):
            seed = random.randrange(10**6)
            made = question(family, seed, each)
            if not wanted or wanted in {skill(family, key) for key in made.asked}:
                return made, seed, each
    return made, seed, each


def level_of(record: Sequence[Answered], family: str) -> int:
    """The level that follows from the last lines: up where most were right, down where most weren't."""
    lines = [one for one in _taken(record) if one.family == family][-RECENT:]
    if not lines:
        return LEVELS[0]
    level = _level(lines[-1])
    alike = [one.right for one in lines if _level(one) == level]
    share = sum(alike) / len(alike)
    step = 0 if len(alike) < RECENT / 2 else 1 if share >= UP else -1 if share < DOWN else 0
    return min(max(level + step, LEVELS[0]), LEVELS[-1])


def _level(one: Answered) -> int:
    return int(one.question.split("/")[2])


def drill(family: str, key: str, seed: int) -> Next:
    """One line of a question, by its key, all before it told: a rule in two minutes. ValueError where no question has it."""
    return _drilled(family, key, Random(f"{family}/{key}/{seed}"), LEVELS[0])


def next_drill(record: Sequence[Answered], now: datetime, family: str = "") -> Next:
    """The same of the line that the record says to practise, of a family or of all; of the first one where it has none."""
    record = _taken(record)
    names = [family] if family else list(taught())
    known = {each: card for each, card in cards(record).items() if each.partition("/")[0] in names}
    random = _random(record)
    if not known:
        made, _, _ = _drawn(names[0], LEVELS[0], random, "")
        return _drilled(names[0], made.asked[0], random, LEVELS[0])
    name, _, line = choose(known, list(known), now).partition("/")
    return _drilled(name, line, random, level_of(record, name))


def _drilled(family: str, key: str, random: Random, level: int) -> Next:
    made, drawn, level = _drawn(family, level, random, skill(family, key))
    lines = [each for each in made.asked if stem_of(each) == stem_of(key)]
    if not lines:
        raise ValueError(f"no line '{key}' in the questions of {family}")
    return Next(made, f"{family}/{drawn}/{level}", (random.choice(lines),), "one line, two minutes")


def whole(asked: Question) -> Next:
    """A question with all of its lines left to the learner."""
    return Next(asked, asked.ref, tuple(asked.asked), "")


def hints(asked: Question, key: str) -> tuple[str, str, str]:
    """Three hints before an answer, each telling more: which rule; what goes in; the line half worked."""
    sheet = Again(asked)
    line = sheet.shown[key]
    words = [each["words"] for each in sheet.public["rules"] if each["section"] in line["sections"]][:1]
    rule = f"{', '.join(line['sections'])}: {' '.join(words)}" if line["sections"] else f"No section: {line['reason']}"
    goes_in = line["formula"] or line["reason"]
    worked = str(line.get("numbers") or line.get("text") or goes_in)
    return (
        rule,
        f"What goes in: {goes_in}",
        f"Half worked: {worked}" + ("" if key in sheet.texts else f" = ... {line['unit']}".rstrip()),
    )


def hint_label(at: int) -> str:
    """What a hint tells and what it costs, the first at 0: 'which rule (25% off)'."""
    return f"{HINTS[at]} ({COSTS[at]:.0%} off)"


def hint_read(chosen: Next, key: str, used: int) -> Answered:
    """What a hint leaves in the record: for which line, and how many there were by then. The same hint is there once."""
    step = f"{chosen.question.family}/{LOOKED_UP}/{key}"
    return Answered(chosen.name, step, False, hints=used, id=f"{chosen.name}/{key}/{used}")


def hints_read(record: Iterable[Answered], chosen: Next) -> dict[str, int]:
    """How many hints of each line of a question the record has."""
    start = f"{chosen.question.family}/{LOOKED_UP}/"
    read = [one for one in record if one.question == chosen.name and one.skill.startswith(start)]
    return {one.skill.removeprefix(start): one.hints for one in sorted(read, key=lambda one: one.hints)}


def cost(used: int) -> float:
    """What so many hints take off a line's mark."""
    return COSTS[min(used, len(COSTS)) - 1] if used else 0.0


def answers_of(asked: Question, marked: Iterable[Marked], used: Mapping[str, int], of: str = "") -> list[Answered]:
    """The answers to a question for the record; lines that were left out are not among them. With ``of``, whose they are,
    the same answers are the same however often they are marked.
    """
    again = Again(asked)
    found = []
    for one in marked:
        if one.verdict in ("right", "slip", "wrong"):
            first = one.slip.split(OR)[0].split(AND)[0]
            same = {"id": sha256(f"{of}/{asked.ref}/{one.key}/{one.given}".encode()).hexdigest()[:32]} if of else {}
            found.append(
                Answered(asked.ref, skill(asked.family, one.key), one.verdict == "right", one.slip, used.get(one.key, 0),
                         again.rule_of(one.key, first), **same)
            )  # fmt: skip
    return found


def answered(chosen: Next, marked: Sequence[Marked], used: Mapping[str, int] | None = None) -> list[Answered]:
    """The answers to what was chosen, for the record."""
    return answers_of(chosen.question, [one for one in marked if one.key in chosen.asked], used or {})


def read_example(chosen: Next) -> list[Answered]:
    """What a worked example leaves in the record: that it was read."""
    return [Answered(chosen.name, skill(chosen.question.family, READ), True)]
