"""A sheet as HTML: a table with a header row, read aloud as it is read by eye. All text is escaped."""

from __future__ import annotations

from html import escape
from typing import Any

from calc.show.style import style


def sheet_html(sheet: dict[str, Any]) -> str:
    """The JSON form of a sheet as one HTML section; each line opens to its reason."""
    parts = [f"<section class='studbay-sheet'>{_css()}<h3>{escape(sheet['title'])}</h3>", _heading(sheet)]
    if sheet["refused"]:
        cited = _sections(sheet["refused"])
        parts.append(f"<p class='refused'><strong>Refused.</strong> {escape(sheet['refused']['reason'])} {cited}</p>")
    if sheet["lines"]:
        rows = "".join(_line(line) for line in sheet["lines"])
        head = "".join(f"<th scope='col'>{name}</th>" for name in ("Line", "Step", "Work", "Result", "Section"))
        parts.append(f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>")
    if sheet["checks"]:
        rows = "".join(_check(check) for check in sheet["checks"])
        head = "".join(f"<th scope='col'>{name}</th>" for name in ("Check", "Numbers", "Verdict", "Section"))
        parts.append(f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>")
    if sheet["notes"]:
        items = "".join(
            f"<li value='{n['mark']}'><em>{escape(n['kind'])}</em>: {escape(n['text'])}</li>" for n in sheet["notes"]
        )
        parts.append(f"<h4>Notes</h4><ol>{items}</ol>")
    if sheet["cautions"]:
        items = "".join(f"<li>{escape(text)}</li>" for text in sheet["cautions"])
        parts.append(f"<h4>Cautions</h4><ul>{items}</ul>")
    return "".join(parts) + "</section>"


def table_html(table: dict[str, Any]) -> str:
    """A plain table as HTML."""
    head = "".join(f"<th scope='col' class='{c['align']}'>{escape(c['name'])}</th>" for c in table["columns"])
    aligns = [c["align"] for c in table["columns"]]
    rows = "".join(
        "<tr>"
        + "".join(f"<td class='{a}'>{escape(str(cell))}</td>" for a, cell in zip(aligns, row, strict=True))
        + "</tr>"
        for row in table["rows"]
    )
    notes = "".join(f"<p class='note'>{escape(note)}</p>" for note in table.get("notes", []))
    intro = f"<p>{escape(table['intro'])}</p>" if table.get("intro") else ""
    title = f"<h3>{escape(table['title'])}</h3>"
    return (
        f"<section class='studbay-sheet'>{_css()}{title}{intro}"
        f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>{notes}</section>"
    )


def front_html(front: dict[str, Any]) -> str:
    """The load summary as it stands on page 1 of the packet, for the screen."""
    facts = [*front["facts"], *front["totals"], ["Verdict", f"{front['verdict']}. {front['verdict_detail']}"]]
    body = "".join(f"<tr><th scope='row'>{escape(k)}</th><td>{escape(v)}</td></tr>" for k, v in facts)
    return (
        f"<section class='studbay-sheet'>{_css()}<h3>{escape(front['title'])}</h3>"
        f"<table><tbody>{body}</tbody></table></section>" + table_html({"title": "Loads", **front["table"]})
    )


def _heading(sheet: dict[str, Any]) -> str:
    amended = f", amended by {', '.join(sheet['amendments'])}" if sheet["amendments"] else ""
    return f"<p class='subject'>{escape(sheet['subject'])}. Edition {escape(sheet['edition'] + amended)}.</p>"


def _line(line: dict[str, Any]) -> str:
    formula = escape(line["formula"])
    numbers = escape(line["numbers"]) if line["numbers"] != line["result"] else ""
    work = "<br>".join(part for part in (f"<span class='formula'>{formula}</span>" if formula else "", numbers) if part)
    if line["kind"] == "replaced":
        work = "stated, not worked"
    step = f"<details><summary>{escape(line['name'])}</summary><p>{escape(line['reason'])}</p></details>"
    return (
        f"<tr id='line-{line['number']}'><td class='right'>{line['number']}</td><td>{step}</td><td>{work}</td>"
        f"<td class='right result'>{escape(str(line['result']))}</td><td>{_sections(line)}</td></tr>"
    )


def _check(check: dict[str, Any]) -> str:
    verdict = "passes" if check["passes"] else "FALLS SHORT"
    kind = "pass" if check["passes"] else "short"
    mend = f"<p>To mend it: {escape(check['mend'])}</p>" if check["mend"] else ""
    step = f"<details><summary>{escape(check['name'])}</summary><p>{escape(check['reason'])}</p></details>"
    return (
        f"<tr><td>{step}</td><td>{escape(check['holds'])}</td>"
        f"<td class='{kind}'><strong>{verdict}</strong>{mend}</td><td>{_sections(check)}</td></tr>"
    )


def _sections(part: dict[str, Any]) -> str:
    marks = "".join(f"<sup>({mark})</sup>" for mark in part.get("marks", []))
    return f"<span class='section'>{escape(', '.join(part['sections']))}</span>{marks}"


def _css() -> str:
    look = style()
    c, s = look["colours"], look["sizes_pt"]
    return f"""<style>
.studbay-sheet {{ font-family: {look["fonts"]["web"]}; font-size: {s["body"] + 1}pt; color: {c["ink"]};
  background: {c["paper"]}; padding: 0.6em 0.9em; max-width: 70em; }}
.studbay-sheet h3 {{ font-size: {s["heading_1"]}pt; margin: 0.2em 0; color: {c["ink"]}; }}
.studbay-sheet h4 {{ font-size: {s["heading_2"]}pt; margin: 0.8em 0 0.2em; color: {c["ink"]}; }}
.studbay-sheet .subject, .studbay-sheet .note {{ color: {c["muted"]}; margin: 0 0 0.6em; }}
.studbay-sheet table {{ border-collapse: collapse; width: 100%; margin: 0.5em 0 0.9em; font-size: {s["table"] + 1}pt; }}
.studbay-sheet th {{ text-align: left; border-bottom: 1.5px solid {c["ink"]}; padding: 0.25em 0.6em;
  font-weight: 600; }}
.studbay-sheet td, .studbay-sheet tbody th {{ border-bottom: 1px solid {c["hairline"]}; padding: 0.25em 0.6em;
  vertical-align: top; text-align: left; background: {c["paper"]}; color: {c["ink"]}; white-space: normal; }}
.studbay-sheet td.right, .studbay-sheet th.right {{ text-align: right; font-variant-numeric: tabular-nums; }}
.studbay-sheet td.result {{ white-space: nowrap; font-weight: 600; }}
.studbay-sheet .formula {{ color: {c["muted"]}; font-style: italic; }}
.studbay-sheet .section {{ color: {c["accent"]}; }}
.studbay-sheet .pass strong {{ color: {c["pass"]}; }}
.studbay-sheet .short strong {{ color: {c["short"]}; }}
.studbay-sheet .refused {{ border-left: 4px solid {c["refused"]}; padding-left: 0.8em; }}
.studbay-sheet summary {{ cursor: pointer; }}
.studbay-sheet details p {{ color: {c["muted"]}; margin: 0.2em 0 0.3em; max-width: 34em; }}
</style>"""
