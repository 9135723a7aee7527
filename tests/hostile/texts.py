"""Text that tries to be more than text, in one place, and a house that is full of it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import tomlkit

from calc.job import Job
from calc.job.fields import Part, field_info, parts_of
from calc.job.house import JobCard, Scope

HOUSE = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"

NAMES: dict[str, tuple[str, ...]] = {
    "HTML elements": (
        "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "<svg onload=alert(1)>", "</style><script>",
        "<style>*{display:none}</style>", "</td></tr></table><h1>passes</h1>", "<!--", "&lt;b&gt; &#60;i&#62;",
        "<a href='javascript:alert(1)'>panel</a>", "<iframe srcdoc='<b>'>", "<details open ontoggle=alert(1)>",
    ),
    "HTML attributes": (
        '" onmouseover="alert(1)', "' onfocus='alert(1)' autofocus='", "'style='position:fixed", "`onclick=alert(1)`",
    ),
    "Markdown": (
        "[link](javascript:alert(1))", "![picture](http://x.invalid/a.png)", "# heading", "| a | b |", "*bold* _it_",
        "`code`", "1. item", "_unlisted in a legend_", "> quoted",
    ),
    "TeX and matplotlib": (
        "$x^2$", r"$$\frac{1}{2}$$", r"\frac{1}{2}", r"\(x\)", r"\[x\]", r"\input{/etc/passwd}", r"\write18{id}",
        r"$\frac{1", "$", r"\$5 and \$6", r"\begin{equation}x", r"$\mathrm{PASS}$",
    ),
    "Typst": (
        "#set page(width: 1pt)", '#eval("1+1")', '#import "style.typ": *', '#read("packet.typ")', '#panic("no")',
        "]] #panic() [[", "```typ #panic()```", "@ref <label>", "= heading", "// comment /* and */ more",
        '"quoted" #{1 + 1}', "\\",
    ),
    "Python and its notebooks": (
        "!ls", "%run x.py", "%%bash", "?print", "{item}", "{0.__class__}", "{x!r:>99999}", "%s%n%(x)s",
        "'+__import__('os').name+'", '"; import os #',
    ),
    "templates": ("{{7*7}}", "{% raw %}", "${7*7}", "<%= 7*7 %>"),
    "spreadsheets' cells": (
        'a,"b",c', "a;b|c", '""', "'held", "_x0041_", "_x000D_", "[1]", "{a = 1}", "2026-01-02", "yes", "1/2", "1,500",
    ),
    "TOML": ('"""', "'''", 'a" = "b', "[[loads]]", r"\u0041", "# comment", "loads[1].name"),
    "files": ("..", "../up", "/etc/passwd", r"C:\x", "CON", "nul.toml", "name.", "-rf", "--out=x", "~root", "a:b", "*?"),
    "databases, JSON and XML": (
        "'; DROP TABLE loads; --", '{"text/html": "<b>"}', "]]>", "<![CDATA[x]]>", "<?xml version='1.0'?>", "&x;",
        '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
    ),
    "scripts and signs": ("مرحبا بالعالم", "e\u0301\u0323\u0302\u0301", "漢" * 26, "😀 🏠", "𝔘𝔫𝔦", "ﬁ ﬀ", "N" * 80),
}  # fmt: skip
"""Text that a name in a job file may be: a person may call a panel whatever can be read."""

FORMULAS = ("=1+1", "+1+1", "-1+1", "@SUM(1+1)", "=cmd|' /C calc'!A0", '=HYPERLINK("http://x.invalid")')
"""Names too; a spreadsheet would take them for formulas."""

UNREADABLE: dict[str, tuple[str, ...]] = {
    "terminals": ("\x1b[31mred", "\x1b]0;title\x07", "\x1b[2J\x1b[H", "\x9b31m", "bell\x07", "back\x08\x08", "del\x7f"),
    "lines": ("two\nlines", "over\rwritten", "a\ttab", "\t=1+1", "\r=1+1", "a\u2028b", "a\u0085b", "a\x0bb"),
    "reading direction": ("\u202eTROHS SLLAF", "\u2066x\u2069", "\u200fx"),
    "what nobody sees": ("zero\u200bwidth", "\ufeffmark", "soft\u00adhyphen", "\U000e0041tag", " ends ", "", "\u3164\u200d"),
    "no text at all": ("nul\x00l", "\ud800", "\udcff", "\ufffe", "\ue000", "\U0010ffff"),
    "length": ("x" * 301, "x" * 100_000),
}  # fmt: skip
"""Text that no name may be."""

READABLE = tuple(text for texts in NAMES.values() for text in texts)
UNREAD = tuple(text for texts in UNREADABLE.values() for text in texts)


def house(texts: Sequence[str] = READABLE) -> tuple[dict[str, Any], list[str]]:
    """The data of a house whose every name and remark is one of the texts in turn, and these as they stand there.

    The same house with harmless texts is made alike, so that what comes of the two can be compared.
    """
    data = tomllib.loads(HOUSE.read_text(encoding="utf-8"))
    data["code"].pop("amendments")
    said: dict[str, str] = {}

    def other(text: str) -> str:
        if text not in said:
            turn, at = divmod(len(said), len(texts))
            said[text] = f"{texts[at][:76]} {turn + 1}" if turn else texts[at]
        return said[text]

    _reworded(Job, data, other)
    return data, list(said.values())


def _reworded(part: type[Part], entry: dict[str, Any], other: Callable[[str], str]) -> None:
    """Say every text of a table otherwise; a name and what refers to it are said alike."""
    for key, value in entry.items():
        facts, inside = field_info(part, key), parts_of(part).get(key)
        if inside:
            for one in value if inside[1] else [value]:
                _reworded(inside[0], one, other)
        elif facts.kind in ("text", "paragraphs") and value != "utility" and (part, key) != (JobCard, "name"):
            entry[key] = other(value)
        elif facts.kind == "list of text" and part is not Scope:  # which names what there is
            entry[key] = [other(one) for one in value]


def written(folder: Path, texts: Sequence[str] = READABLE) -> tuple[Path, list[str]]:
    """The house as a job file in a folder, and the texts in it."""
    data, said = house(texts)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "house.toml"
    path.write_text(tomlkit.dumps(data), encoding="utf-8")
    return path, said
