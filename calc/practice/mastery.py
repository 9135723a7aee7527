"""What a learner holds, rule by rule: out of the record, as a chart and as plain text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
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
from calc.show.html import escape
from calc.show.style import style

SHAKY = 0.7  # chance of recall under which a rule is to be practised
HELD, FADING, TO_PRACTISE = "held", "fading", "to practise"
TOMORROW = timedelta(days=1)


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


def mastery_html(record: Iterable[Answered], now: datetime) -> str:
    """What was practised as a chart: of each family the rules, the weakest first, each with a bar for the chance that it would be right
    tomorrow, and what was missed.
    """
    found, colour = rules(record, now), style()["colours"]
    out = [
        f"<summary style='cursor:pointer'><strong>What you would get right tomorrow.</strong> {escape(summary(found))}.</summary>",
        f"<p>The longer the bar, the surer. Past the mark, at {KEPT:.0%}, a rule is held; what is not comes back sooner.</p>",
    ]
    for name, these in _by_family(found).items():
        out.append(f"<h4 style='margin:16px 0 4px'>{escape(_held(name, these))}</h4>")
        out += [_bar(each, colour) for each in these]
    return f"<details style='max-width:min(44em, calc(100vw - 66px));line-height:1.4'>{''.join(out)}</details>"


def _bar(each: Rule, colour: Mapping[str, str]) -> str:
    """One rule: its name, its bar with the mark from which it is held, and in words how it stands."""
    track = f"position:relative;flex:1 1 8em;max-width:20em;height:12px;border:1px solid {colour['rule']};background:{colour['paper']}"
    filled = colour["accent"] if each.stands == HELD else colour["muted"]
    told = f"right {each.right}, missed {each.missed}, last {each.last:%Y-%m-%d}. {each.slip}".strip()
    return (
        f"<div style='margin:8px 0 12px'><div><strong>{escape(each.name)}</strong></div>"
        f"<div style='display:flex;align-items:center;gap:8px'><div style='{track}'>"
        f"<div style='width:{each.chance:.0%};height:100%;background:{filled}'></div>"
        f"<div style='position:absolute;left:{KEPT:.0%};top:-3px;height:18px;border-left:2px solid {colour['ink']}'></div></div>"
        f"<div style='flex:0 0 8.5em'>{each.chance:.0%}, {each.stands}</div></div><div>{escape(told)}</div></div>"
    )


def _by_family(found: Sequence[Rule]) -> dict[str, list[Rule]]:
    return {name: [each for each in found if each.family == name] for name in sorted({each.family for each in found})}


def _held(name: str, these: Sequence[Rule]) -> str:
    return f"{families()[name].TITLE}: {sum(each.stands == HELD for each in these)} of {len(these)} rules held"


def summary(found: Sequence[Rule]) -> str:
    """Of each family, how many of the rules practised are held."""
    return "; ".join(_held(name, these) for name, these in _by_family(found).items()) or "Nothing practised yet"


def mastery_text(record: Iterable[Answered], now: datetime) -> str:
    """Every rule practised, the weakest first, in plain text."""
    found = rules(record, now)
    out = [f"{'right':>5} {'missed':>6} {'tomorrow':>8}  rule"]
    for each in found:
        out.append(
            f"{each.right:>5} {each.missed:>6} {each.chance:>8.0%}  {each.stands}: {families()[each.family].TITLE}: {each.name}"
        )
        out += [f"{'':>23}{each.slip}"] if each.slip else []
    return "\n".join([*out, summary(found)]) + "\n"
