"""The reference site: a page a family, with a small job worked as the page is made; the job file; the library.

``make site`` builds it into reports/site. Words stand in ``templates/site``; sheets, numbers, sections, rules and
limits come from the program, so that no page can say what the program doesn't.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from html import escape
from inspect import getfile
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import click

from calc.cli import main
from calc.codebook import Codebook, sources
from calc.families import Family, families
from calc.job import Job, field_info, parse_job, read_job
from calc.job.fields import Part, keys_of, parts_of
from calc.schemas import FORMS
from calc.show.html import sheet_html
from calc.show.notebooks import notebooks_of
from calc.show.opening import picture_html
from calc.show.reference import BLANK, job_of, page_of, part_of
from calc.wiring.house import House
from calc.wiring.reading import codebook_for, words
from calc.work import Sheet
from calc.work.signs import with_signs

Json = dict[str, Any]
ROOT = Path(__file__).parents[1]
TEMPLATES = ROOT / "templates" / "site"
HOUSES = ROOT / "notebooks" / "jobs"
_REFUSALS = {
    "Refused": "What it does not work, in its own words",
    "Missing": "What it can't show until something is entered, in its own words",
}


def build(out: Path) -> None:
    """Build the site into ``out``; a link that leads nowhere or a page left out stops it."""
    from mkdocs.commands.build import build as build_site
    from mkdocs.config import load_config

    with TemporaryDirectory() as folder:
        write_pages(Path(folder))
        calculations = [{family.TITLE: f"families/{family.FAMILY}.md"} for family in documented()]
        nav = [
            {"Studbay": "index.md"},
            {"Calculations": calculations},
            {"Job file": "job-file.md"},
            {"Commands": "commands.md"},
            {"JSON": "json-forms.md"},
            {"Library": "library.md"},
        ]
        build_site(load_config(str(TEMPLATES / "mkdocs.yml"), docs_dir=folder, site_dir=str(out.resolve()), nav=nav))


def write_pages(folder: Path) -> None:
    """Write every page of the site, as Markdown."""
    (folder / "families").mkdir()
    for path in (*TEMPLATES.glob("*.md"), TEMPLATES / "site.css"):
        (folder / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    for family in documented():
        (folder / "families" / f"{family.FAMILY}.md").write_text(
            family_page(family.FAMILY, page_of(family.FAMILY)), encoding="utf-8"
        )
    rows = "".join(
        f"| [{family.TITLE}](families/{family.FAMILY}.md) | {_purpose(family)} |\n" for family in documented()
    )
    index = folder / "index.md"
    index.write_text(index.read_text(encoding="utf-8").replace("{{ families }}\n", rows), encoding="utf-8")
    for name, tables in (("job-file", job_tables()), ("json-forms", form_tables()), ("commands", commands())):
        with (folder / f"{name}.md").open("a", encoding="utf-8") as page:
            page.write(tables)


def documented() -> list[Family]:
    """The families that have a page: those that work something, in packet order."""
    return list(families().values())


@cache
def family_page(name: str, template: str) -> str:
    """A template with its job worked by the family and every blank filled. KeyError for a blank that no line fills."""
    family = families()[name]
    job = job_of(template)
    sheets = family.work(House.of(job))
    shown = [sheet.as_json() for sheet in sheets]
    blocks = {
        "needs": _needs(family),
        "limits": _limits(family),
        "sheets": "\n\n".join([picture_html(name, job.code.edition), *(sheet_html(sheet) for sheet in shown)]),
    }

    def filled(blank: re.Match[str]) -> str:
        key, part = blank.groups()
        return blocks[key] if key in blocks else _told({**part_of(shown, key)}, part or "result")

    page = BLANK.sub(filled, template)
    rules = _rules(family, sheets, codebook_for(job))
    return f"# {family.TITLE}\n\n{page}\n{_notebook(family)}\n\n## The rules it uses\n\n{rules}\n"


def job_tables() -> str:
    """Every table of the job file and every key in it, as the job model declares them."""
    out = []
    for at, many, part in _tables(Job):
        title = f"[[{at}]]" if many else f"[{at}]"
        rows = [
            [key, facts.title, facts.help, facts.allowed, "needed" if facts.required else ""]
            for key, facts in ((key, field_info(part, key)) for key in keys_of(part))
            if key not in parts_of(part)
        ]
        out.append(f"## {title}\n\n{_table(('key', 'label', 'what it is', 'allowed', ''), rows)}\n")
    return "\n".join(out)


def commands() -> str:
    """Each command as its own help has it."""
    out = []
    for name, command in main.commands.items():
        context = click.Context(command, info_name=f"studbay {name}", max_content_width=100, terminal_width=100)
        out.append(f"## {name}\n\n```text\n{command.get_help(context)}\n```\n")
    return "\n".join(out)


def form_tables() -> str:
    """Each public JSON form but the job file: its parts and their keys, as its schema has them."""
    out = []
    for name, schema in FORMS.items():
        if name != "job":
            form = schema()
            out.append(f"## {name}\n\n{escape(form['description'])}\n\n{_keys(form)}\n")
            out += [f"### {part}\n\n{escape(inside['description'])}\n\n{_keys(inside)}\n"
                    for part, inside in form.get("$defs", {}).items()]  # fmt: skip
    return "\n".join(out)


def _keys(form: Json) -> str:
    rows = [[key, _kind(kind), kind.get("description", "")] for key, kind in form["properties"].items()]
    return _table(("key", "what it holds", ""), rows)


def _kind(kind: Json) -> str:
    """A type of a schema in words: 'list of LineForm', 'number or null', 'passes, falls short'."""
    if "$ref" in kind:
        return str(kind["$ref"]).rpartition("/")[2]
    if "anyOf" in kind:
        return " or ".join(_kind(each) for each in kind["anyOf"])
    if "enum" in kind or "const" in kind:
        return ", ".join(map(str, kind.get("enum", [kind.get("const")])))
    if "prefixItems" in kind:
        return f"[{', '.join(map(_kind, kind['prefixItems']))}]"
    if kind.get("type") == "array":
        return f"list of {_kind(kind['items'])}"
    if kind.get("type") == "object":
        inside = kind.get("additionalProperties")
        return f"table of {_kind(inside)}" if isinstance(inside, dict) else "table"
    return str(kind.get("type", "anything"))


def refusals(sources: Sequence[Path], kind: str) -> list[str]:
    """What modules may refuse, as they say it, with '...' for what the job fills in."""
    calls = [node for path in sources for node in ast.walk(_tree(path)) if isinstance(node, ast.Call)]
    said = [
        _said(call.args[0]) for call in calls if isinstance(call.func, ast.Name) and call.func.id == kind and call.args
    ]
    return sorted(dict.fromkeys(filter(None, said)))


def _sources(family: Family) -> list[Path]:
    """The modules of a family, and those that it shares with others and uses itself."""
    own = sorted(Path(getfile(family)).parent.rglob("*.py"))  # type: ignore[arg-type]
    named = {node.module for path in own for node in ast.walk(_tree(path)) if isinstance(node, ast.ImportFrom)}
    shared = [ROOT / f"{name.replace('.', '/')}.py" for name in sorted(filter(None, named))
              if name.startswith("calc.wiring.") or name.startswith("calc.families.circuit_load.")]  # fmt: skip
    return [*own, *shared]


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _purpose(family: Family) -> str:
    """The first sentence of its page."""
    return page_of(family.FAMILY).partition(".")[0].replace("\n", " ") + "."


def _notebook(family: Family) -> str:
    """Where the calculation is worked and practised."""
    own = next((each.file for each in notebooks_of(HOUSES.parent) if each.family == family.FAMILY and each.packet), "")
    return f"Its notebook, with an exercise at the end, is `notebooks/{own}`." if own else ""


def _needs(family: Family) -> str:
    empty = parse_job(b'[code]\nedition = "2023"\n[job]\nname = "Empty"\n')
    return f"To be worked, it needs {'; '.join(family.needs(empty))}."


def _limits(family: Family) -> str:
    entries = words(family.FAMILY).entries.values()
    found = [
        (
            "What its sheets say beside the lines, each where it applies",
            [_open(entry["text"]) for entry in entries if "text" in entry],
        )
    ]
    found += [(title, refusals(_sources(family), kind)) for kind, title in _REFUSALS.items()]
    return "\n\n".join(_opened(title, texts) for title, texts in found if texts)


def _opened(title: str, texts: Sequence[str]) -> str:
    """A list that opens on a click."""
    items = "".join(f"<li>{escape(text)}</li>" for text in texts)
    return f"<details><summary>{title}: {len(texts)}</summary><ul>{items}</ul></details>"


def _open(text: str) -> str:
    return re.sub(r"{\w*}", "...", text)


def _said(node: ast.expr) -> str:
    """A text of the program, with '...' for what is put into it; '' where it is no text."""
    if isinstance(node, ast.JoinedStr):
        return "".join(_said(part) or "..." for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _told(part: Mapping[str, Any], what: str) -> str:
    """What a page says of a line or check: its result, its sections, its work with the result, what it compares."""
    if what == "work":
        text = part["result"] if part["numbers"] in ("", part["result"]) else f"{part['numbers']} = {part['result']}"
    else:
        text = ", ".join(part[what]) if what == "sections" else str(part[what])
    return f"<span class='worked'>{escape(with_signs(text))}</span>"


def _rules(family: Family, sheets: Sequence[Sheet], code: Codebook) -> str:
    """The rules that the sheets rest on, and those of the demo houses, by section, with the sources that they name."""
    worked = [
        *sheets,
        *(sheet for job in _houses() if not family.needs(job) for sheet in family.work(House(job, code))),
    ]
    used = {rule["rule"] for sheet in worked for rule in sheet.as_json()["rules"]}
    rules = [code.in_full.rules[name] for name in used if name in code.in_full.rules]
    rules.sort(key=lambda rule: [(int(n) if n.isdigit() else 0, n) for n in re.split(r"(\d+)", rule.section)])
    cited = dict.fromkeys(source for rule in rules for source in sources.split(rule.source)[0])
    rows = [[rule.section, rule.words, rule.confidence, rule.source] for rule in rules]
    said = [f"<strong>{escape(each)}</strong> {escape(sources.sources()[each].text)}" for each in cited]
    return (
        f"As edition {code.edition} has them; `studbay rule` shows each in every edition.\n\n"
        f"{_table(('section', 'what it asks, in our words', 'confidence', 'source'), rows)}\n\n"
        f"### Sources\n\n<ul>{''.join(f'<li>{each}</li>' for each in said)}</ul>\n"
    )


@cache
def _houses() -> list[Job]:
    return [read_job(path) for path in sorted(HOUSES.glob("*.toml"))]


def _tables(part: type[Part], at: str = "") -> Iterator[tuple[str, bool, type[Part]]]:
    for key, (inside, many) in parts_of(part).items():
        place = f"{at}.{key}" if at else key
        yield place, many, inside
        yield from _tables(inside, place)


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    heading, *body = (
        "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in row)
        for tag, row in (("th", head), *(("td", r) for r in rows))
    )
    return (
        f"<table><thead><tr>{heading}</tr></thead><tbody>{''.join(f'<tr>{row}</tr>' for row in body)}</tbody></table>"
    )


if __name__ == "__main__":
    build(Path(sys.argv[1]))
