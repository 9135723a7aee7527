"""A page in one file for a phone without a network: it asks nothing of anybody, keeps what is typed, and sends it back.

The crew's page and a learner's are made so. What a person typed reaches a page as escaped text; the page forbids itself
everything but its own style and script.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from calc.packet.typeset import template_folder
from calc.packet.wording import clean

SHARED = "phone"


def offline_page(name: str, *, title: str, body: str, told: Mapping[str, Any]) -> str:
    """The page. ``name`` is that of its style and script under templates/packet, beside those that all share; ``told`` is
    what the script reads.
    """
    style, script = (
        "".join((template_folder() / f"{each}.{kind}").read_text(encoding="utf-8") for each in (SHARED, name))
        for kind in ("css", "js")
    )
    policy = f"default-src 'none'; img-src data:; style-src {_hash(style)}; script-src {_hash(script)}; base-uri 'none'; form-action 'none'"
    data = json.dumps(told, ensure_ascii=False).replace("<", "\\u003c").replace("&", "\\u0026").replace(">", "\\u003e")
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="referrer" content="no-referrer">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{as_html(title)}</title>
<style>{style}</style>
</head>
<body>
{body}
<script type="application/json" id="told">{data}</script>
<script>{script}</script>
</body>
</html>
"""


def foot(label: str) -> str:
    """The bar at the foot, with the button that sends back and what is told beside it."""
    return (
        f'<div class="foot" role="region" aria-label="{label}"><div><button type="button" id="send">{label}</button>\n'
        '<p><span id="unsent" role="status"></span> <span id="said" role="status"></span></p></div></div>'
    )


def options(pairs: Sequence[tuple[str, str]]) -> str:
    """Choices of a list: value and name."""
    return "".join(
        f'<option value="{as_html(value)}" data-name="{as_html(name)}">{as_html(name)}</option>'
        for value, name in pairs
    )


def as_html(text: object) -> str:
    """Text, or what is made text and cleaned, so that it stays text in a page and in an attribute."""
    return escape(clean(text) if not isinstance(text, str) else text, quote=True)


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode('ascii')}'"
