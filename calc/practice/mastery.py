"""What a learner holds, rule by rule: out of the record, as a chart, a table and plain text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from calc.codebook import open_codebook
from calc.codebook.files import editions
from calc.families import families
from calc.practice.lesson import knows, missed, rule_label, taught
from calc.practice.marking import AND, OR
from calc.practice.questions import EDITIONS
from calc.practice.record import Answered
from calc.practice.tutor import KEPT, cards, lines_of, recall
from calc.work.chart import Chart, Levels
from calc.work.table import Table, columns

SHAKY = 0.7  # chance of recall under which a rule is to be practised
HELD, FADING, TO_PRACTISE = "held", "fading", "to practise"
TOMORROW = timedelta(days=1)
SHOWN = 12  # rules in the chart, the weakest


@dataclass(frozen=True)
class Rule:
    """A rule as it was practised: how often right and missed, when last, and how likely it is kept."""

    family: str
    name: str
    right: int
    missed: int
    last: datetime
    chance: float
    """That it would be right tomorrow: right after an answer nobody can tell."""
    failed: bool
    """Whether it was missed the last time."""
    slip: str = ""
    """What was missed the most often, in words."""

    @property
    def stands(self) -> str:
        """Held, fading or to practise."""
        if self.failed or self.chance < SHAKY:
            return TO_PRACTISE
        return HELD if self.chance >= KEPT else FADING


def rules(record: Iterable[Answered], now: datetime) -> list[Rule]:
    """Each rule that was practised, the weakest first. A slip counts for the rule that it missed."""
    lines = [one for one in lines_of(record) if one.family in taught()]
    found = []
    for which, card in cards(lines, _which).items():
        of_rule = [one for one in lines if _which(one) == which]
        family, _, rule = which.partition("/")
        words = missed(family)
        slips = Counter(words.get(one.slip.split(OR)[0].split(AND)[0], "") for one in of_rule if one.slip)
        right = sum(one.right for one in of_rule)
        found.append(Rule(family, _label(family, rule), right, len(of_rule) - right, of_rule[-1].at, recall(card, now + TOMORROW), not of_rule[-1].right,
                          slips.most_common(1)[0][0] if slips else ""))  # fmt: skip
    return sorted(found, key=lambda each: each.chance)


def _which(one: Answered) -> str:
    return f"{one.family}/{one.rule}"


@cache
def _label(family: str, rule: str) -> str:
    """A rule by its section in the edition that learners begin with, else in the newest one that has it."""
    codes = [open_codebook(edition) for edition in (*EDITIONS[1], *reversed(list(editions())))]
    return rule_label(family, rule, next((code for code in codes if knows(code, rule)), codes[0]))


def mastery_chart(record: Iterable[Answered], now: datetime) -> Chart:
    """The weakest rules, each with the chance that it would be right tomorrow."""
    found = rules(record, now)
    bars = [(each.name, round(100 * each.chance)) for each in found[:SHOWN]]
    return Chart(
        "What you would get right tomorrow",
        summary(found),
        Levels(bars or [("nothing yet", 0)], [("held from", 100 * KEPT)], "%"),
    )


def summary(found: Sequence[Rule]) -> str:
    """Of each family, how many of the rules practised are held."""
    of = {name: [each for each in found if each.family == name] for name in sorted({each.family for each in found})}
    said = [f"{families()[name].TITLE}: {sum(each.stands == HELD for each in these)} of {len(these)} rules held" for name, these in of.items()]  # fmt: skip
    return "; ".join(said) or "Nothing practised yet"


def mastery_table(record: Iterable[Answered], now: datetime) -> Table:
    """Every rule practised, with what was missed of it."""
    rows = [[families()[each.family].TITLE, each.name, each.stands, str(each.right), str(each.missed), f"{each.last:%Y-%m-%d}", each.slip]
            for each in rules(record, now)]  # fmt: skip
    return Table(
        "Rules practised, the weakest first",
        columns("Calculation", "Rule", "Stands", "Right", "Missed", "Last", "What was missed"),
        rows,
    )


def mastery_text(record: Iterable[Answered], now: datetime) -> str:
    """The same in plain text."""
    found = rules(record, now)
    out = [f"{'right':>5} {'missed':>6} {'tomorrow':>8}  rule"]
    for each in found:
        out.append(
            f"{each.right:>5} {each.missed:>6} {each.chance:>8.0%}  {each.stands}: {families()[each.family].TITLE}: {each.name}"
        )
        out += [f"{'':>23}{each.slip}"] if each.slip else []
    return "\n".join([*out, summary(found)]) + "\n"
