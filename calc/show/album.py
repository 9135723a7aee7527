"""Still pictures beside the live parts of a notebook: what a saved notebook keeps, and what shows where no kernel runs.

A live part is a widget, and a widget is nothing without its kernel. So each is displayed with a picture of what it shows,
drawn anew when the page has been at rest for a moment. As long as the live part is on the page its picture is hidden;
what is saved has the picture alone (`calc/keeping.py`).
"""

from __future__ import annotations

import asyncio
import os
import re
from base64 import b64encode
from collections.abc import Callable, Iterable
from typing import Any

from IPython.display import DisplayHandle, display

from calc.show.display import Shown
from calc.show.rest import AtRest

REST_S = 2.0
PICTURE = {"studbay": {"picture": True}}
"""Metadata of an output that is the picture of a live part."""
HIDDEN = "<style>.jp-OutputArea:has(:is(.sb, .jupyter-widgets)) .jp-OutputArea-child:has(.sb-picture) { display: none; }</style>"
"""Beside a live part, its picture is hidden: it stands with the picture, for not every live part brings our style sheet."""
_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
Draw = Callable[[], Iterable[str]]


def keeps_outputs() -> bool:
    """Whether what is shown here is kept in a notebook: JupyterLab names the page of a kernel, a page of ours has none."""
    return "JPY_SESSION_NAME" in os.environ


class Album:
    """The pictures of one notebook. ``put`` shows a live part with its picture, ``stale`` has all drawn anew at rest."""

    def __init__(self, keeps: bool | None = None, rest_s: float = REST_S) -> None:
        self._keeps = keeps_outputs() if keeps is None else keeps
        self._rest = AtRest(self.draw, rest_s)
        self._draws: list[Draw] = []
        self._handles: list[DisplayHandle] = []
        self._shown: dict[int, str] = {}

    def put(self, part: Any, draw: Draw) -> None:
        """Show a live part. ``draw`` gives what its picture is made of, piece by piece, as HTML."""
        display(part)
        self._draws.append(draw)
        if not self._keeps:
            return
        handle = DisplayHandle()
        handle.display(_picture(""), metadata=PICTURE)
        self._handles.append(handle)
        self._rest.begin()
        self.stale()

    def stale(self) -> None:
        """Something has changed: draw the pictures anew once nothing has for a while. From any thread."""
        if self._handles:
            self._rest.stale()

    def whole(self) -> str:
        """All that the page shows and can show, one beneath another, to be printed."""
        return "".join(piece for draw in self._draws for piece in draw())

    async def draw(self) -> None:
        """Draw all pictures, and show those that are not as they were. Between pieces a person's edits go first."""
        for number, (handle, draw) in enumerate(zip(self._handles, self._draws, strict=True)):
            pieces = []
            for piece in draw():
                pieces.append(piece)
                await asyncio.sleep(0)
            html = portable("".join(pieces))
            if self._shown.get(number) != html:
                self._shown[number] = html
                handle.update(_picture(html), metadata=PICTURE)


def portable(html: str) -> str:
    """HTML with each drawing as an image in it: what is not trusted may show an image, and no drawing."""
    return _DRAWING.sub(lambda found: f'<img alt="" src="data:image/svg+xml;base64,{_base64(found[0])}">', html)


def _base64(text: str) -> str:
    return b64encode(text.encode()).decode()


def _picture(html: str) -> Shown:
    return Shown(
        {
            "text/html": f'<div class="sb-picture">{HIDDEN}{html}</div>',
            "text/plain": "A picture of what was shown here.",
        }
    )
