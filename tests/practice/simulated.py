"""A simulated learner who forgets: ``python -m tests.practice.simulated`` prints the tutor beside random questions.

A skill is known with a chance that falls with time, slower after each success (common practice of such models, no source).
He answers 300 single lines, 30 a day; what he misses he is told, and has it for a day.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from math import exp
from random import Random

from calc.practice.record import Answered
from calc.practice.tutor import cards, choose

SKILLS = tuple(f"family-{number % 6}/line-{number:02}" for number in range(60))
QUESTIONS, A_DAY, AT_ONCE, GROWS = 300, 30, 1.0, 2.5  # AT_ONCE: days that a skill is held after it was told
DAY = timedelta(days=1)
START = datetime(2026, 1, 1, 9, tzinfo=UTC)
Choice = Callable[[Sequence[Answered], datetime, Random], str]


def by_tutor(record: Sequence[Answered], now: datetime, random: Random) -> str:
    return choose(cards(record), SKILLS, now)


def at_random(record: Sequence[Answered], now: datetime, random: Random) -> str:
    return random.choice(SKILLS)


class Forgetful:
    """What he holds: for how many days each skill lasts, and when he last had it."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.lasts: dict[str, float] = {}
        self.had: dict[str, datetime] = {}

    def chance(self, skill: str, now: datetime) -> float:
        if skill not in self.had:
            return 0.1  # by luck
        return exp(-((now - self.had[skill]) / DAY) / self.lasts[skill] / 3)

    def answer(self, skill: str, now: datetime) -> bool:
        right = self.random.random() < self.chance(skill, now)
        gap = (now - self.had.get(skill, now)) / DAY
        before = self.lasts.get(skill, AT_ONCE)
        self.lasts[skill] = max(before, before + GROWS * gap) if right else max(AT_ONCE, before / 2)
        self.had[skill] = now
        return right


def practise(chosen: Choice, seed: int) -> tuple[float, int, int]:
    """The mean chance of recall a week after, how many skills are held then, and the questions until half would be held
    three days on."""
    learner, record, random, half = Forgetful(seed), [], Random(seed), QUESTIONS
    for number in range(QUESTIONS):
        now = START + timedelta(days=number // A_DAY, minutes=2 * (number % A_DAY))
        skill = chosen(record, now, random)
        record.append(
            Answered(f"x/{number}/1", skill, learner.answer(skill, now), when=now.isoformat(), id=str(number))
        )
        if (
            half == QUESTIONS
            and sum(learner.chance(each, now + 3 * DAY) > 0.5 for each in learner.had) >= len(SKILLS) / 2
        ):
            half = number + 1
    later = now + timedelta(days=7)
    chances = [learner.chance(each, later) for each in SKILLS]
    return sum(chances) / len(chances), sum(chance >= 0.5 for chance in chances), half


def mean(chosen: Choice, learners: int) -> tuple[float, ...]:
    results = [practise(chosen, seed) for seed in range(learners)]
    return tuple(sum(each) / learners for each in zip(*results, strict=True))


if __name__ == "__main__":
    for name, chosen in (("tutor", by_tutor), ("random", at_random)):
        recall, held, half = mean(chosen, 10)
        print(
            f"{name:7} after 300 questions, a week later: recall {recall:.0%}, {held:.0f} of 60 held; half would be held three days on after {half:.0f}"
        )
