"""A learner's paper as one HTML file for a phone: it takes the answers without a network, and sends back a small file.

It holds no result of a line that is asked. With hints it holds their words, which a person who reads the file's source can
read without being charged for; and it can't know who types. Without hints, the numbers that follow from the givens have to
be worked.
"""

from __future__ import annotations

from typing import Any

from calc.packet.offline import as_html, foot, offline_page, options
from calc.packet.wording import clean, printed
from calc.practice.answers import ANSWERED
from calc.practice.asking import CHOICE, HOW, AskedLine, about, asked_lines, givens
from calc.practice.handed_in import SENT
from calc.practice.lesson import Question
from calc.practice.papers import Handed, Paper
from calc.practice.tutor import COSTS, HINTS, hints


def phone_page(handed: Handed, paper: Paper, name: str) -> str:
    """The page of one learner; ``name`` is what its files are called."""
    hinted: dict[str, Any] = {}
    sections = []
    for at, asked in enumerate(paper.questions):
        lines = asked_lines(asked)
        items = "".join(_item(line, paper.heads.get((at, line.key), ""), handed.hints) for line in lines)
        sections.append(
            f"<section>{_heading(handed, at, asked)}{_given(asked)}<h3>The lines</h3><ul>{items}</ul></section>"
        )
        if handed.hints:
            hinted |= {
                paper.heads[at, line.key]: [printed(each) for each in hints(asked, line.key)]
                for line in lines
                if line.asked
            }
    hint = f" A hint costs a part of the line's mark: the first {COSTS[0]:.0%}, the second {COSTS[1]:.0%}, the third {COSTS[2]:.0%} in all."
    time = f" {handed.minutes} minutes, {sum(handed.points)} points." if handed.minutes else ""
    body = f"""<header>
<h1 dir="auto">{as_html(clean(paper.learner))}</h1>
<p class="soft">{as_html(handed.title)}.{time}</p>
<p class="nojs warn">Nothing can be answered in this preview. Open the file in the phone's browser.</p>
</header>
<main>
<p id="keeps" class="warn" hidden>This browser keeps nothing. Send back before you close this page, or it is lost.</p>
<p class="about">{as_html(HOW)}{hint if handed.hints else ""} Answers stay on this phone until you send them back. No network is needed.</p>
{"".join(sections)}
</main>
{foot("Send back")}"""
    told = {
        "what": SENT, "set": handed.id, "name": name, "learner": paper.learner, "hints": hinted,
        "buttons": [f"Hint {at}: {name}" for at, name in enumerate(HINTS, 1)], "costs": [f"{cost:.0%}" for cost in COSTS],
    }  # fmt: skip
    return offline_page("practice", title=clean(f"{handed.title}: {paper.learner}"), body=body, told=told)


def _heading(handed: Handed, at: int, asked: Question) -> str:
    worth = f", {handed.points[at]} points" if handed.points else ""
    return f"<h2>{as_html(clean(asked.title))}{worth}</h2><p class=soft>{as_html(clean(about(asked)))}</p>"


def _given(asked: Question) -> str:
    rows = "".join(
        f"<dt dir=auto>{as_html(clean(name))}</dt><dd dir=auto>{as_html(printed(text))}</dd>"
        for name, text in givens(asked)
    )
    return f"<h3>Given</h3><dl>{rows}</dl>"


def _item(line: AskedLine, head: str, hinted: bool) -> str:
    name = f"{line.number}. {as_html(clean(line.name))}"
    if not line.asked:
        return f'<li class="told"><p dir="auto">{name}: {as_html(printed(line.told))}</p></li>'
    key = as_html(head)
    field = (
        f'<select data-head="{key}">{options([("", "choose"), *((each, each) for each in ANSWERED)])}</select>'
        if line.unit == CHOICE
        else f'<input data-head="{key}" maxlength="60" autocomplete="off" autocapitalize="off" spellcheck="false">'
    )
    unit = f" <span class=unit>{as_html(printed(line.unit))}</span>" if line.unit and line.unit != CHOICE else ""
    hint = (
        f'<div class="hints" data-hints="{key}"><button type="button"></button><ul aria-live="polite"></ul></div>'
        if hinted
        else ""
    )
    return f'<li class="item"><label dir="auto"><span>{name}</span><span class=answer>{field}{unit}</span></label>{hint}</li>'
