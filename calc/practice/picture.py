"""A class as its teacher sees it: the marks as a workbook, and on one page which rule to teach again, with who."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from calc.packet.typeset import set_pdf
from calc.packet.wording import clean
from calc.practice.classes import MarkedPaper
from calc.practice.lesson import Again, missed, rule_label
from calc.practice.marking import AND, OR, Marked
from calc.practice.names import fonts_for, named
from calc.practice.papers import Handed
from calc.work.keys import item_of

MOST_SAID = 1  # of what was missed of a rule, the commonest
MOST_RULES = 9  # on the page


@dataclass
class Weak:
    """A rule that was missed: by whom of those who were asked it, and what they missed, the commonest first."""

    rule: str
    asked: set[str] = field(default_factory=set)
    who: dict[str, None] = field(default_factory=dict)
    said: Counter[str] = field(default_factory=Counter)


def to_teach(marked: Mapping[str, MarkedPaper]) -> list[Weak]:
    """Which rules to teach again, the most often missed first. A line left out counts for none."""
    found: dict[str, Weak] = {}
    for learner, paper in marked.items():
        for asked, lines in zip(paper.paper.questions, paper.questions, strict=True):
            again, words = Again(asked), missed(asked.family)
            for one in lines:
                names = [name for name in re.split(f"{OR}|{AND}", one.slip) if name]
                rules = {again.rule_of(one.key, name): words[name] for name in names} or {again.rule_of(one.key): ""}
                for rule, said in rules.items():
                    label = rule_label(asked.family, rule, asked.code)
                    weak = found.setdefault(rule or label, Weak(label))
                    weak.asked.add(learner)
                    if one.verdict in ("slip", "wrong"):
                        weak.who[learner] = None
                        weak.said[said or f"{_of_all(one)}: no known slip"] += 1
    return sorted(
        (each for each in found.values() if each.who),
        key=lambda each: (-len(each.who), -len(each.who) / len(each.asked)),
    )


def _of_all(one: Marked) -> str:
    """The name of a line for all lines of its kind: 'fewest receptacles, each' for those of every wall space."""
    item = item_of(one.key)
    return f"{one.name} and the like" if item == one.name else one.name.replace(item, "each") if item else one.name


def marks_xlsx(handed: Handed, marked: Mapping[str, MarkedPaper]) -> bytes:
    """The marks as a workbook: a row a learner with each line as the paper numbers it, and what to teach again with who. No
    cell is a formula.
    """
    import openpyxl

    heads = handed.heads()
    sheets: dict[str, list[list[str | int | float]]] = {
        "Marks": [["learner", "points", "of", "lines right", "lines", "hints", *heads]],
        "Lines": [["learner", "line", "name", "answer", "mark", "it is", "what was said"]],
        "Teach again": [["rule", "missed by", "of", "what was missed", "who"]],
    }
    for learner, paper in marked.items():
        named = paper.paper.heads
        said = {named[at, one.key]: (at, one) for at, lines in enumerate(paper.questions) for one in lines if (at, one.key) in named}  # fmt: skip
        sheets["Marks"].append([
            learner, paper.earned, paper.most, paper.right, len(paper.lines), sum(paper.hints.values()),
            *(_mark(said[head][1]) if head in said else "" for head in heads)])  # fmt: skip
        sheets["Lines"] += [[learner, head, one.name, one.given, _mark(one), one.expected, one.told] for head, (_, one) in said.items()]  # fmt: skip
    for weak in to_teach(marked):
        sheets["Teach again"].append(
            [
                weak.rule,
                len(weak.who),
                len(weak.asked),
                " ".join(what for what, _ in weak.said.most_common()),
                ", ".join(weak.who),
            ]
        )
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        sheet.freeze_panes = "B2"
        for at, row in enumerate(rows, 1):
            for column, value in enumerate(row, 1):
                cell = sheet.cell(at, column)
                cell.value = value
                if isinstance(value, str):
                    cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _mark(one: Marked) -> str:
    return f"slip: {one.slip.replace('_', ' ')}" if one.slip else one.verdict


def picture_pdf(handed: Handed, marked: Mapping[str, MarkedPaper]) -> bytes:
    """The class on a page: each rule to teach again with how many missed it, what they missed and who; each learner's marks."""
    title = clean(f"Class picture: {handed.title}")
    weak = to_teach(marked)
    lines = [one for paper in marked.values() for one in paper.lines]
    content = {
        "title": title, "description": "What a class knows, and what to teach again.", "keywords": ["practice"],
        "footer_name": title, "fingerprint": "",
        "summary": f"{len(marked)} of {len(handed.papers)} papers handed in; {sum(one.verdict == 'right' for one in lines)} of {len(lines)} lines right.",
        "rules": [
            {"rule": clean(each.rule), "missed": len(each.who), "asked": len(each.asked), "who": [named(name) for name in each.who],
             "said": [clean(what) for what, _ in each.said.most_common(MOST_SAID)]}
            for each in weak[:MOST_RULES]
        ],
        "more": max(0, len(weak) - MOST_RULES),
        "learners": [
            {"name": named(name), "earned": f"{paper.earned:g}", "most": str(paper.most), "right": f"{paper.right} of {len(paper.lines)}",
             "left_out": sum(one.verdict == "left out" for one in paper.lines)}
            for name, paper in marked.items()
        ],
    }  # fmt: skip
    return set_pdf("class.typ", {"class": content}, font_files=fonts_for(marked))


__all__ = ["marks_xlsx", "picture_pdf", "to_teach"]
