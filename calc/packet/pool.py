"""Where tasks run: fresh processes forked from one that has everything imported, or a cluster. Both are executors in
the sense of `concurrent.futures`."""

from __future__ import annotations

import multiprocessing
import os
import sys
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from pathlib import Path
from typing import Any

from calc.packet import warm
from calc.packet.task import Made, Task, run_task

PRELOADED = ("calc.show.preloaded",)  # what the notebooks import, and what that reads
MOST_MEMORY_BYTES = 4 * 1024**3


def local(workers: int) -> Executor:
    """A pool on this machine. Each task gets a process of its own, so nothing of one packet reaches the next."""
    if sys.platform == "linux":
        context: Any = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(["calc.packet.ready"])
        return ProcessPoolExecutor(workers, mp_context=context, max_tasks_per_child=1)
    return ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"), initializer=_ready)


class Cluster(Executor):
    """A Dask cluster's scheduler at an address such as tls://10.0.0.5:8786. Needs `pip install studbay[cluster]`.

    Calls and results travel as pickles, which are code: scheduler, workers and whoever can speak in their name are
    trusted with this machine. ``tls`` are the files of a connection where that is known: the authority's certificate,
    one's own, and its key; without them a tls:// address takes those of Dask's own settings.
    """

    def __init__(self, address: str, tls: tuple[Path, Path, Path] | None = None) -> None:
        from distributed import Client
        from distributed.security import Security

        ca, cert, key = map(str, tls) if tls else ("", "", "")
        files = {"tls_ca_file": ca, "tls_client_cert": cert, "tls_client_key": key} if tls else {}
        secure = Security(require_encryption=True, **files) if address.startswith("tls://") else None
        self._client = Client(address, security=secure)
        self._executor: Executor = self._client.get_executor(pure=False)

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Hand the call to a worker of the cluster."""
        return self._executor.submit(fn, *args, **kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Let go of the cluster, which goes on without us. It forgets what nobody waits for by itself."""
        self._executor.shutdown(wait=wait and not cancel_futures)
        self._client.close()


def work(task: Task) -> Made:
    """Run a task in a worker, within a limit of memory."""
    _limit_memory()
    return run_task(task)


def _ready() -> None:
    warm.warm_up(PRELOADED)


def _limit_memory() -> None:
    """End a notebook that eats memory by itself, before the machine does it to everyone."""
    if os.name == "posix":
        import resource

        _, most = resource.getrlimit(resource.RLIMIT_AS)
        if sys.platform == "linux":
            resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY_BYTES, most))
