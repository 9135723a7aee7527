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
from contextlib import suppress
from typing import Any

from IPython.display import DisplayHandle, display

from calc.show.display import Shown

REST_S = 2.0
PICTURE = {"studbay": {"picture": True}}
"""Metadata of an output that is the picture of a live part."""
_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
Draw = Callable[[], Iterable[str]]


def keeps_outputs() -> bool:
    """Whether what is shown here is kept in a notebook: JupyterLab names the page of a kernel, a page of ours has none."""
    return "JPY_SESSION_NAME" in os.environ


class Album:
    """The pictures of one notebook. ``put`` shows a live part with its picture, ``stale`` has all drawn anew at rest."""

    def __init__(self, keeps: bool | None = None, rest_s: float = REST_S) -> None:
        self._keeps = keeps_outputs() if keeps is None else keeps
        self._rest_s = rest_s
        self._pictures: list[tuple[DisplayHandle, Draw]] = []
        self._shown: dict[int, str] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None

    def put(self, part: Any, draw: Draw) -> None:
        """Show a live part. ``draw`` gives what its picture is made of, piece by piece, as HTML."""
        display(part)
        if not self._keeps:
            return
        handle = DisplayHandle()
        handle.display(_picture(""), metadata=PICTURE)
        self._pictures.append((handle, draw))
        with suppress(RuntimeError):  # nobody's loop: a test that draws them itself
            self._loop = asyncio.get_running_loop()
        self.stale()

    def stale(self) -> None:
        """Something has changed: draw the pictures anew once nothing has for a while. From any thread."""
        if self._loop is not None and self._pictures:
            self._loop.call_soon_threadsafe(self._begin)

    async def draw(self) -> None:
        """Draw all pictures, and show those that are not as they were. Between pieces a person's edits go first."""
        for number, (handle, draw) in enumerate(self._pictures):
            pieces = []
            for piece in draw():
                pieces.append(piece)
                await asyncio.sleep(0)
            html = portable("".join(pieces))
            if self._shown.get(number) != html:
                self._shown[number] = html
                handle.update(_picture(html), metadata=PICTURE)

    # -- inside ---------------------------------------------------------------------------------------------

    def _begin(self) -> None:
        if self._task is not None:
            self._task.cancel()
        assert self._loop is not None
        self._task = self._loop.create_task(self._rest_and_draw())

    async def _rest_and_draw(self) -> None:
        await asyncio.sleep(self._rest_s)
        await self.draw()


def portable(html: str) -> str:
    """HTML with each drawing as an image in it: what is not trusted may show an image, and no drawing."""
    return _DRAWING.sub(lambda found: f'<img alt="" src="data:image/svg+xml;base64,{_base64(found[0])}">', html)


def _base64(text: str) -> str:
    return b64encode(text.encode()).decode()


def _picture(html: str) -> Shown:
    return Shown(
        {"text/html": f'<div class="sb-picture">{html}</div>', "text/plain": "A picture of what was shown here."}
    )
