"""A sheet as HTML: a table with a header row, read aloud as it is read by eye. All text is escaped.

Styles stand in each element: a notebook that a person has not yet run is untrusted, and JupyterLab then takes style
sheets out of its stored outputs but leaves these.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from html import escape as plain_escape

from calc.job.spoken import for_a_reader
from calc.show.style import style
from calc.work import FALLS_SHORT, NOT_SHOWN, NOT_WORKED, PASSES, loud
from calc.work.chart import Chart
from calc.work.document import Document, Facts, Part, Signing, Verdict
from calc.work.forms import CheckForm, LineForm, NotShownForm, RuleForm, SheetForm, StepForm
from calc.work.signs import with_powers, with_signs
from calc.work.summary import Fact, Summary
from calc.work.table import Table

_LOOKS = {PASSES: "pass", FALLS_SHORT: "short", NOT_SHOWN: "open", NOT_WORKED: "open"}
_MATHEMATICS = re.compile(r"[$\\]")


def escape(text: str) -> str:
    """Text as HTML. JupyterLab sets what stands between dollar signs as mathematics, unless an element parts them."""
    return _MATHEMATICS.sub(lambda sign: f"<span>{sign[0]}</span>", plain_escape(text))


def sheet_html(sheet: SheetForm, was: Mapping[str, str] | None = None) -> str:
    """The JSON form of a sheet as one HTML section; each line opens to its reason, its cell of a table, its rules.

    ``was``: earlier results by line key, where an edit changed them; those lines are marked.
    """
    was = was or {}
    rules = sheet["rules"]
    amended = f", amended by {', '.join(sheet['amendments'])}" if sheet["amendments"] else ""
    parts = [
        _el("h3", escape(sheet["title"]), "title"),
        _el("p", escape(f"{sheet['subject']}. Edition {sheet['edition']}{amended}."), "muted"),
    ]
    if sheet["refused"]:
        state = loud(NOT_WORKED if sheet["refused"]["missing"] is None else NOT_SHOWN)
        reason = (
            f"<strong>{state}</strong>: {_told(sheet['refused']['reason'])} {_sections(sheet['refused']['sections'])}"
        )
        parts.append(_el("p", reason, "refused"))
    if sheet["lines"]:
        parts.append(
            _table(
                ("Line", "Step", "Work", "Result", "Section"),
                (_line(line, was.get(line["key"], ""), rules) for line in sheet["lines"]),
                right=(0, 3),
                widths=(5, 26, 40, 14, 15),
            )
        )
    if sheet["checks"] or sheet["not_shown"]:
        parts.append(
            _table(
                ("Check", "Provided and required", "Verdict", "Section"),
                [
                    *(_check(check, rules) for check in sheet["checks"]),
                    *(_unknown(asked, rules) for asked in sheet["not_shown"]),
                ],
                widths=(30, 25, 30, 15),
            )
        )
    if sheet["notes"]:
        notes = "".join(
            f"<li value='{n['mark']}'><em>{escape(n['kind'])}</em>: {_told(n['text'])}</li>" for n in sheet["notes"]
        )
        parts.append(_el("h4", "Notes", "heading") + f"<ol>{notes}</ol>")
    if sheet["cautions"]:
        items = "".join(f"<li>{_told(text)}</li>" for text in sheet["cautions"])
        parts.append(_el("h4", "Cautions", "heading") + f"<ul>{items}</ul>")
    return _section(parts)


def table_html(table: Table) -> str:
    """A plain table as HTML."""
    right = tuple(at for at, column in enumerate(table.columns) if column.align == "right")
    rows = (
        [_el("strong", _written(cell), "plain") if at in table.strong and cell else _stated(cell) for cell in row]
        for at, row in enumerate(table.rows)
    )
    parts = [_el("h3", escape(table.title), "title")]
    if table.intro:
        parts.append(_el("p", _told(table.intro), "muted"))
    if table.rows:
        parts.append(_table([_written(column.name) for column in table.columns], rows, right))
    parts += [_el("p", _told(note), "muted") for note in table.notes]
    return _section(parts)


def document_html(document: Document, drawn: Callable[[Chart], str]) -> str:
    """A reader's document for the screen; ``drawn`` gives a chart as SVG."""
    parts = [_el("h2", escape(document.title), "title"), _el("p", escape(document.subject), "muted")]
    for section in document.sections:
        parts.append(_el("h3", escape(section.title), "title"))
        parts += [_part(part, drawn) for part in section.parts]
    return _section(parts)


def _part(part: Part, drawn: Callable[[Chart], str]) -> str:
    if isinstance(part, Table):
        return table_html(part)
    if isinstance(part, Chart):
        image = b64encode(drawn(part).encode()).decode()
        alt = plain_escape(part.alt, quote=True)
        return _el("h4", escape(part.title), "heading") + f'<img alt="{alt}" src="data:image/svg+xml;base64,{image}">'
    if isinstance(part, Verdict):
        details = "".join(_el("p", _told(text), "muted") for text in part.details)
        return _el("p", _el("strong", escape(part.words), _LOOKS[part.status]), "refused") + details
    if isinstance(part, Signing):
        return _facts("", part.preparer)
    if isinstance(part, Facts):
        return _facts(part.title, part.rows)
    head = _el("h4", escape(part.title), "heading") if part.title else ""
    if not part.listed:
        return head + "".join(_el("p", _told(text), "muted") for text in part.texts)
    return head + f"<ul>{''.join(f'<li>{_told(text)}</li>' for text in part.texts)}</ul>"


def _facts(title: str, facts: Iterable[Fact]) -> str:
    rows = "".join(
        f"<tr>{_el('th', escape(label), 'left', scope='row')}{_el('td', _written(text), 'left')}</tr>"
        for label, text in facts
    )
    head = _el("h4", escape(title), "heading") if title else ""
    return head + _el("table", f"<tbody>{rows}</tbody>", "table")


def note_html(text: str) -> str:
    """A paragraph: the words of a chart, or why there is nothing to show."""
    return _section([_el("p", escape(text), "muted")])


def figure_html(
    picture: str,
    says: str,
    formulas: Iterable[Sequence[str]],
    rules: Iterable[tuple[str, str]],
    edition: str,
    fold: str = "",
) -> str:
    """What a notebook opens with: a drawing beside words and formulas; under both the sections that they come from, which
    open to what each says.

    ``formulas`` are name, formula and worked numbers each, ``rules`` section and words. ``fold`` is the line that all of it
    stands behind, folded.
    """
    worked = "".join(
        _el(
            "p",
            f"<strong>{escape(name)}</strong>: {escape(formula)}<br>{_el('span', escape(numbers), 'muted')}",
            "plain",
        )
        for name, formula, numbers in formulas
    )
    apart = _el("p", "The numbers are those of a small example, not of this house.", "muted")
    words = f"<div style='flex:1 1 260px;'>{_el('p', escape(says), 'plain')}{worked}{apart}</div>"
    beside = f"<div style='display:flex;flex-wrap:wrap;gap:12px 24px;align-items:flex-start;'>{picture}{words}</div>"
    rules = list(rules)
    sections = _sections(list(dict.fromkeys(section for section, _ in rules if section)))
    told = _table(
        ("Section", "In our words"), [[escape(section or "not of the code"), escape(text)] for section, text in rules]
    )
    source = f"<details><summary>Where it comes from, edition {escape(edition)}: {sections}</summary>{told}</details>"
    if fold:
        return _section([f"<details><summary>{escape(fold)}</summary>{beside}{source}</details>"])
    return _section([beside, source])


def front_html(front: Summary) -> str:
    """The load summary as it stands on page 1 of the packet, for the screen."""
    facts = [*front.facts, *front.totals, ("Load check", f"{front.verdict}. {front.verdict_detail}")]
    return _section([_el("h3", escape(front.title), "title"), _facts("", facts)]) + table_html(front.table)


def _line(line: LineForm, was: str, rules: list[RuleForm]) -> list[str]:
    formula = _el("em", _shown(line["formula"]), "muted") if line["formula"] else ""
    numbers = _shown(line["numbers"]) if line["numbers"] != line["result"] else ""
    work = "<br>".join(part for part in (formula, numbers) if part)
    if line["kind"] == "replaced":
        work = "stated, not worked"
    if expected := line.get("expected_range"):
        look = "changed" if expected["outside"] else "muted"
        work += "<br>" + _el("em", f"{_shown(expected['text'])}<sup>({expected['mark']})</sup>", look)
    result = f"<strong>{_shown(str(line['result']))}</strong>"
    if was:
        result += "<br>" + _el("em", f"was {_shown(was)}", "changed")
    if len(str(line["result"])) > style()["widest_result_letters"]:  # beside the work, as its own column is narrow
        work, result = "<br>".join(part for part in (result, work) if part), ""
    return [
        str(line["number"]),
        _step(line, rules, line["formula"] if line["lookup"] else ""),
        work,
        result,
        _sections(line["sections"], line["marks"]),
    ]


def _check(check: CheckForm, rules: list[RuleForm]) -> list[str]:
    verdict = _el("strong", loud(PASSES), "pass") if check["passes"] else _el("strong", loud(FALLS_SHORT), "short")
    remedy = f"<br>To correct it: {_told(check['remedy'])}" if check["remedy"] else ""
    return [_step(check, rules), _shown(check["text"]), verdict + remedy, _sections(check["sections"], check["marks"])]


def _unknown(asked: NotShownForm, rules: list[RuleForm]) -> list[str]:
    verdict = _el("strong", loud(NOT_SHOWN), "open")
    return [
        _step(asked, rules),
        f"To be entered: {_told(asked['missing'])}",
        verdict,
        _sections(asked["sections"], asked["marks"]),
    ]


def _shown(work: str) -> str:
    return escape(with_signs(work))


def _written(text: object) -> str:
    """A text of a table, the job's own words among them, with units as they are written."""
    return escape(with_powers(str(text)))


def _stated(cell: str) -> str:
    """A cell's text; one that is a state is set as it."""
    states = {loud(status): look for status, look in _LOOKS.items()}
    return _el("strong", cell, states[cell]) if cell in states else _written(cell)


def _told(text: str) -> str:
    """The program's own words, with the labels of entries in place of their keys."""
    return escape(with_powers(for_a_reader(text)))


def _step(part: StepForm, rules: list[RuleForm], looked_up: str = "") -> str:
    """The name, which opens to the reason, the cell that was looked up, and what each section says in our words."""
    inside = [part["reason"]]
    if looked_up:
        inside.append(f"Looked up in {looked_up}.")
    inside += [
        f"{rule['section']} ({rule['set_by']}): {rule['words']}"
        for rule in rules
        if rule["words"] and rule["section"] in part["sections"]
    ]
    text = "".join(_el("p", _told(each), "reason") for each in dict.fromkeys(inside))
    key = plain_escape(part["key"], quote=True)
    return f"<details data-key='{key}'><summary>{escape(part['name'])}</summary>{text}</details>"


def _sections(sections: Sequence[str], marks: Sequence[int] = ()) -> str:
    return _el("span", escape(", ".join(sections)), "section") + "".join(f"<sup>({mark})</sup>" for mark in marks)


def _table(
    head: Iterable[str], rows: Iterable[list[str]], right: tuple[int, ...] = (), widths: tuple[int, ...] = ()
) -> str:
    """Columns ``right`` are set right; ``widths`` in percent, where JupyterLab's equal columns would be poor."""

    def side(at: int) -> str:
        return "right" if at in right else "left"

    head = tuple(head)
    headings = "".join(
        _el("th", text, side(at), f"width:{widths[at]}%;" if widths else "", scope="col") if text else "<td></td>"
        for at, text in enumerate(head)
    )
    body = "".join(
        f"<tr>{''.join(_el('td', text, side(at)) for at, text in enumerate(row))}</tr>"
        if len(row) == len(head)
        else f"<tr>{_el('th', row[0], 'left', scope='rowgroup', colspan=str(len(head)))}</tr>"
        for row in rows
    )
    return _el("table", f"<thead><tr>{headings}</tr></thead><tbody>{body}</tbody>", "table")


def _section(parts: list[str]) -> str:
    return _el("section", "".join(parts), "page")


def _el(tag: str, inside: str, look: str, also: str = "", **attributes: str) -> str:
    more = "".join(f" {name}='{value}'" for name, value in attributes.items())
    return f'<{tag}{more} style="{_looks()[look]}{also}">{inside}</{tag}>'


@cache
def _looks() -> dict[str, str]:
    colours, sizes, web = style()["colours"], style()["sizes_pt"], style()["fonts"]["web"]
    cell = (
        f"border:0;border-bottom:1px solid {colours['hairline']};padding:4px 10px 4px 0;vertical-align:top;"
        f"white-space:normal;background-color:{colours['paper']};color:{colours['ink']};"
    )
    return {
        "page": f"font-family:{web};font-size:{sizes['body'] + 1}pt;color:{colours['ink']};"
        f"background-color:{colours['paper']};padding:8px 14px;margin:0;max-width:1040px;",
        "title": f"font-size:{sizes['heading_1']}pt;color:{colours['ink']};margin:4px 0;",
        "heading": f"font-size:{sizes['heading_2']}pt;color:{colours['ink']};margin:12px 0 2px 0;",
        "table": f"width:100%;margin:8px 0 14px 0;font-size:{sizes['table'] + 1}pt;border-collapse:collapse;table-layout:auto;",
        "left": cell + "text-align:left;",
        "right": cell + "text-align:right;",
        "muted": f"color:{colours['muted']};margin:0 0 6px 0;",
        "reason": f"color:{colours['muted']};margin:2px 0 6px 16px;max-width:460px;",
        "changed": f"color:{colours['accent']};border-bottom:2px solid {colours['accent']};",
        "section": f"color:{colours['accent']};",
        "plain": "",
        "pass": f"color:{colours['pass']};",
        "short": f"color:{colours['short']};",
        "open": f"color:{colours['refused']};",
        "refused": f"border-left:4px solid {colours['refused']};padding-left:12px;margin:8px 0;",
    }
