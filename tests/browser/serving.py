"""A server for tests, run as `studbay open` runs it, with folders of its own for all that a server keeps."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

from calc.workplace import remember, server_command, server_environment, shipped_notebooks

OF_ITS_OWN = (
    "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "JUPYTERLAB_SETTINGS_DIR",
    "JUPYTERLAB_WORKSPACES_DIR", "IPYTHONDIR",
)  # fmt: skip
STARTS_WITHIN_S = 30
ENDS_WITHIN_S = 15
REPOSITORY = Path(__file__).parents[2]


@dataclass(frozen=True)
class Served:
    """A running server: where, with which token, from which folder."""

    url: str
    token: str
    root: Path
    pid: int

    def place(self, name: str) -> Path:
        """A working folder of its own inside the root, with the shipped notebooks and jobs."""
        place = self.root / name
        shutil.copytree(shipped_notebooks(), place / "notebooks", ignore=shutil.ignore_patterns(".*"))
        return place

    def address(self, place: Path, notebook: str, pages: bool) -> str:
        """Where a notebook is shown, in JupyterLab or as a page."""
        inside = (place / "notebooks" / notebook).relative_to(self.root)
        return f"{self.url}{'voila/render' if pages else 'lab/tree'}/{inside}?reset&token={self.token}"

    def kernels(self) -> set[str]:
        """The kernels that run now."""
        return {kernel["id"] for kernel in json.loads(self._ask("GET", "api/kernels"))}

    def wait_for_kernels(self, which: set[str]) -> None:
        """Wait until no other kernels run than these."""
        until = time.monotonic() + ENDS_WITHIN_S
        while left := self.kernels() - which:
            assert time.monotonic() < until, f"{len(left)} kernels still run"
            time.sleep(0.1)

    def end_kernels(self, which: set[str]) -> None:
        """End kernels that a test left behind. Nobody waits for them: those still there end with the server."""
        for kernel in which:
            Thread(target=self._end, args=(kernel,), daemon=True).start()

    def _end(self, kernel: str) -> None:
        with suppress(OSError):  # ended by itself, or with the server
            self._ask("DELETE", f"api/kernels/{kernel}")

    def _ask(self, method: str, path: str) -> bytes:
        asked = urllib.request.Request(self.url + path, method=method, headers={"Authorization": f"token {self.token}"})
        with urllib.request.urlopen(asked, timeout=10) as answer:
            return bytes(answer.read())


@contextmanager
def serving(folder: Path, settings: str = "{}", clone: Path | None = None, port: int = 0) -> Iterator[Served]:
    """A server on a free port of this machine, ended with all that it started; ``settings`` are what the machine has.

    It serves a working folder, or a ``clone`` with the program in it; at a ``port`` where one was before.
    """
    root, kept = clone or folder / "root", folder / "kept"
    if not root.exists():
        shutil.copytree(shipped_notebooks(), root / "notebooks", ignore=shutil.ignore_patterns(".*", "jobs"))
    remember(root / "notebooks")
    environment = server_environment()
    for name in OF_ITS_OWN:
        (kept / name).mkdir(parents=True, exist_ok=True)
        environment[name] = str(kept / name)
    (kept / "JUPYTER_CONFIG_DIR" / "jupyter_server_config.json").write_text(settings)
    environment["PYTHONPATH"] = os.pathsep.join([str(clone or REPOSITORY), environment.get("PYTHONPATH", "")])
    port = port or _free_port()
    command = [
        *server_command(root, browser=False, pages=False, allow_root=os.name == "posix" and os.geteuid() == 0),
        f"--ServerApp.port={port}",
        "--ServerApp.port_retries=0",
    ]
    with (kept / "log").open("wb") as log:
        server = subprocess.Popen(command, env=environment, stdout=log, stderr=log, start_new_session=True)
        try:
            yield _started(server, kept, root)
        finally:
            with suppress(ProcessLookupError):  # a test ended it
                os.killpg(server.pid, signal.SIGTERM)
            server.wait(60)


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


def _started(server: subprocess.Popen[bytes], kept: Path, root: Path) -> Served:
    until = time.monotonic() + STARTS_WITHIN_S
    while time.monotonic() < until and server.poll() is None:
        for file in (kept / "JUPYTER_RUNTIME_DIR").glob("jpserver-*.json"):
            told = json.loads(file.read_text() or "{}")
            if told:
                return Served(told["url"], told["token"], root, server.pid)
        time.sleep(0.1)
    raise RuntimeError(f"the server did not start:\n{(kept / 'log').read_text()}")
