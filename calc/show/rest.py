"""What is done once a page has been at rest for a while: after the last of a row of edits, with a person's next edit first."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress


class AtRest:
    """Does ``work`` when ``stale`` was not called for ``rest_s`` seconds; what is under way then is given up and begun anew.

    ``begin`` takes the loop of the kernel; where there is none, as in a test that does the work itself, nothing is done.
    """

    def __init__(self, work: Callable[[], Awaitable[None]], rest_s: float) -> None:
        self._work, self._rest_s = work, rest_s
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None

    def begin(self) -> None:
        """From here on things can be stale."""
        with suppress(RuntimeError):
            self._loop = asyncio.get_running_loop()

    def stale(self) -> None:
        """Something has changed. From any thread."""
        if self._loop is not None:
            self._loop.call_soon_threadsafe(self._again)

    def _again(self) -> None:
        if self._task is not None:
            self._task.cancel()
        assert self._loop is not None
        self._task = self._loop.create_task(self._wait_and_work())

    async def _wait_and_work(self) -> None:
        await asyncio.sleep(self._rest_s)
        await self._work()
