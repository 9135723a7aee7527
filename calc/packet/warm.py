"""An engine for papermill that starts no kernel: each notebook runs in a child forked from this warm process.

The child has everything imported already and shares nothing with the next one: settings of matplotlib or pandas,
environment and working directory end with it. Outputs are ordinary nbformat, errors and time limits as papermill
reports them. Fork only from a process of one thread: before the first typesetting, and with the numeric libraries
held to one thread.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import sys
import traceback
from collections.abc import Iterator, Sequence
from importlib import import_module
from multiprocessing.connection import Connection
from typing import Any

from calc.packet.runner import papermill

ENGINE = "studbay-warm"
LONGEST_CELL_S = 300


def available() -> bool:
    """Whether this system forks, and this process may: no other thread runs in it."""
    return hasattr(os, "fork") and _threads() == 1


def _threads() -> int:
    try:
        return len(os.listdir("/proc/self/task"))
    except OSError:
        import threading

        return threading.active_count()


def warm_up(modules: Sequence[str]) -> None:
    """Import what notebooks use (``modules``), so that children start ready."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    from IPython.core.interactiveshell import InteractiveShell
    from traitlets.config import Config

    papermill()
    for module in modules:
        import_module(module)
    # the shell's history would keep a thread of its own
    InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    gc.collect()
    gc.freeze()  # what is here stays: children need not copy it to count it


def register() -> str:
    """Tell papermill of the engine; gives its name."""
    from papermill.engines import Engine, papermill_engines

    class WarmEngine(Engine):  # type: ignore[misc]
        """Runs a notebook in a forked child."""

        @classmethod
        def execute_managed_notebook(
            cls, nb_man: Any, kernel_name: str, execution_timeout: int | None = None, **_: Any
        ) -> None:
            path, nb_man.output_path = nb_man.output_path, None  # papermill writes it once more when all is done
            try:
                _run_cells(nb_man, execution_timeout or LONGEST_CELL_S)
            except BaseException:
                nb_man.output_path = path
                raise

    papermill_engines.register(ENGINE, WarmEngine)
    return ENGINE


def _run_cells(nb_man: Any, timeout_s: int) -> None:
    from nbclient.exceptions import CellTimeoutError, DeadKernelError

    code = [(at, cell) for at, cell in enumerate(nb_man.nb.cells) if cell.cell_type == "code" and cell.source.strip()]
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe()
    child = context.Process(target=_child, args=([cell.source for _, cell in code], theirs, ours), daemon=True)
    child.start()
    theirs.close()
    try:
        for at, cell in code:
            nb_man.cell_start(cell, at)
            if not ours.poll(timeout_s):
                nb_man.cell_exception(cell, at)
                raise CellTimeoutError.error_from_timeout_and_cell("a cell ran too long", timeout_s, cell)
            try:
                count, outputs = ours.recv()
            except EOFError:
                nb_man.cell_exception(cell, at)
                raise DeadKernelError("the process that ran the notebook died") from None
            cell.execution_count = count
            cell.outputs = _as_nodes(outputs)
            failed = next((output for output in cell.outputs if output.output_type == "error"), None)
            if failed is not None and "raises-exception" not in cell.metadata.get("tags", ()):
                nb_man.cell_exception(cell, at)
                break
            nb_man.cell_complete(cell, at)
    finally:
        child.kill()
        child.join()
        ours.close()


def _as_nodes(outputs: list[dict[str, Any]]) -> list[Any]:
    from nbformat import from_dict

    return [from_dict(output) for output in outputs]


def _end_with_parent() -> None:
    """Where the system can, have this process killed when the one that started it is, in the midst of a cell too."""
    if sys.platform == "linux":
        import ctypes

        ctypes.CDLL(None).prctl(1, signal.SIGKILL)  # PR_SET_PDEATHSIG


def _child(sources: list[str], pipe: Connection, parents: Connection) -> None:
    """Run the cells, one after another, and send the outputs of each; end with whoever waits for them."""
    parents.close()  # while this process holds that end too, sending to nobody waits for ever
    _end_with_parent()
    from IPython.core.interactiveshell import InteractiveShell

    shell = InteractiveShell.instance()
    outputs = Outputs(shell)
    for source in sources:
        outputs.begin()
        result = shell.run_cell(source, store_history=True)
        error = result.error_before_exec or result.error_in_exec
        if error is not None:
            outputs.failed(error)
        pipe.send((shell.execution_count - 1, outputs.found))
        if error is not None:
            break
    pipe.close()
    os._exit(0)


class Outputs:
    """What a cell shows, in order: streams, displays, its last value, an error."""

    def __init__(self, shell: Any) -> None:
        from IPython.core.displayhook import DisplayHook
        from IPython.core.displaypub import DisplayPublisher

        outputs = self

        class Hook(DisplayHook):  # type: ignore[misc]
            def write_format_data(self, format_dict: Any, md_dict: Any = None) -> None:
                outputs.add("execute_result", format_dict, md_dict, execution_count=self.prompt_count)

            def write_output_prompt(self) -> None:
                return None

            def finish_displayhook(self) -> None:
                return None

        class Publisher(DisplayPublisher):  # type: ignore[misc]
            def publish(self, data: Any, metadata: Any = None, **_: Any) -> None:
                outputs.add("display_data", data, metadata)

        self.found: list[dict[str, Any]] = []
        shell.display_pub = Publisher(shell=shell)
        shell.displayhook = Hook(shell=shell)
        shell.display_trap.hook = shell.displayhook
        shell._showtraceback = lambda *_: None  # an error is an output of its own, not text
        sys.stdout, sys.stderr = _Stream(self, "stdout"), _Stream(self, "stderr")

    def begin(self) -> None:
        """Forget the cell before."""
        self.found = []

    def add(self, kind: str, data: Any, metadata: Any, **more: Any) -> None:
        """A display or a result."""
        self.found.append({"output_type": kind, "data": dict(data), "metadata": dict(metadata or {}), **more})

    def write(self, stream: str, text: str) -> None:
        """Text of a stream, joined to what it wrote just before."""
        last = self.found[-1] if self.found else {}
        if last.get("name") == stream:
            last["text"] += text
        else:
            self.found.append({"output_type": "stream", "name": stream, "text": text})

    def failed(self, error: BaseException) -> None:
        """The error that ended the cell."""
        lines = traceback.format_exception(type(error), error, error.__traceback__)
        self.found.append(
            {"output_type": "error", "ename": type(error).__name__, "evalue": str(error),
             "traceback": [line for entry in lines for line in entry.splitlines()]}
        )  # fmt: skip


class _Stream:
    """Standard output or error of a cell."""

    encoding = "utf-8"

    def __init__(self, outputs: Outputs, name: str) -> None:
        self._outputs, self._name = outputs, name

    def write(self, text: str) -> int:
        """Take text in."""
        if text:
            self._outputs.write(self._name, text)
        return len(text)

    def writelines(self, lines: Iterator[str]) -> None:
        """Take lines in."""
        for line in lines:
            self.write(line)

    def flush(self) -> None:
        """Nothing waits."""

    def isatty(self) -> bool:
        """No terminal."""
        return False
