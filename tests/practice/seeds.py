"""Every lesson over many seeds: ``make practice`` prints the counts of a thousand and fails for any fault; the tests work a few.

Each question can be solved from its print; honest rounding is never wrong; a slip is never right, and each one comes up;
no line has one answer in all; all four editions come up.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from random import Random

from calc.codebook.files import editions
from calc.practice import mark, question, taught
from calc.practice.fair import Fair
from calc.practice.lesson import Again
from calc.practice.marking import every_slip, fits, is_larger, usable_slips
from calc.work.keys import stem_of
from tests.practice import honest
from tests.practice.solving import unsolved

OFTEN = 20  # times that a line must be asked before one answer is too few


@dataclass
class Counts:
    """What came of the questions of one lesson."""

    family: str
    questions: int = 0
    lines: int = 0
    slips: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    editions: Counter[str] = field(default_factory=Counter)
    answers: dict[str, Counter[float | str]] = field(default_factory=lambda: defaultdict(Counter))

    def ask(self, seed: int) -> None:
        """Work the question of a seed in every way."""
        asked = question(self.family, seed, 1 + seed % 3)
        fair = Fair(Again(asked))
        again = fair.again
        self.questions += 1
        self.lines += len(asked.asked)
        self.editions[asked.code.edition] += 1
        self.faults += unsolved(asked)
        for one in mark(asked, honest.answers(asked, Random(seed))):
            if one.verdict != "right":
                self.faults.append(f"{asked.title}, {one.key}: honest {one.given} is {one.verdict}, key {one.expected}")
        for key in asked.asked:
            self.answers[stem_of(key)][again.texts.get(key, again.numbers.get(key, ""))] += 1
            for name, wrong in usable_slips(fair, key).items():
                self.slips[name] += 1
                if not isinstance(wrong, str) and fits(fair, key, wrong):
                    self.faults.append(f"{asked.title}, {key}: slip {name} is right")
            if key in again.texts:
                self.slips.update(
                    name for name, size in every_slip(again, key).items() if is_larger(again, key, str(size))
                )

    @property
    def unreached(self) -> set[str]:
        """Slips that no question brought up."""
        return {slip.name for slip in taught()[self.family].slips} - set(self.slips)

    @property
    def always_alike(self) -> set[str]:
        """Lines asked several times that had one answer each time."""
        return {key for key, found in self.answers.items() if len(found) == 1 and found.total() > OFTEN}

    @property
    def whole(self) -> bool:
        """Whether a thousand questions are as they must be."""
        return not (self.faults or self.unreached or self.always_alike) and set(self.editions) == set(editions())


def counted(family: str, seeds: range) -> Counts:
    """The questions of so many seeds."""
    counts = Counts(family)
    for seed in seeds:
        counts.ask(seed)
    return counts


if __name__ == "__main__":
    whole = True
    for name in sys.argv[2:] or taught():
        all_in_all = counted(name, range(int(sys.argv[1])))
        print(f"{name:16} {all_in_all.questions} questions, {all_in_all.lines} lines, {all_in_all.slips.total()} slips of "
              f"{len(taught()[name].slips)} kinds, {len(all_in_all.faults)} faults; unreached {sorted(all_in_all.unreached)}; "
              f"always alike {sorted(all_in_all.always_alike)}; {dict(sorted(all_in_all.editions.items()))}",
              *all_in_all.faults[:5], sep="\n  ", flush=True)  # fmt: skip
        whole &= all_in_all.whole
    sys.exit(0 if whole else "not as it must be: see above")
