"""The one visual language: type, sizes and colours, read from style.json for pages, charts and packets alike."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

STYLE_FILE = Path(__file__).parent / "style.json"


@cache
def style() -> dict[str, Any]:
    """The values of style.json."""
    loaded: dict[str, Any] = json.loads(STYLE_FILE.read_text(encoding="utf-8"))
    return loaded
