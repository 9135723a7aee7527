"""What the browser is given: the scripts and the style sheet of our widgets, in the one visual language."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from calc.show.style import style

_HERE = Path(__file__).parent
_WITH = {"form": ("by_hand",)}


@cache
def script(name: str) -> str:
    """The module of a widget, with what all of them share ahead of it."""
    return "".join((_HERE / f"{part}.js").read_text(encoding="utf-8") for part in ("parts", *_WITH.get(name, ()), name))


@cache
def looks() -> str:
    """The style sheet, its @colour@ names filled in."""
    text = (_HERE / "page.css").read_text(encoding="utf-8")
    for name, colour in style()["colours"].items():
        text = text.replace(f"@{name}@", colour)
    return text
