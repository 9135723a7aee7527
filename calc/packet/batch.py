"""Many packets: what needs making is made, what failed is told, what is there stays whole."""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import shutil
import tempfile
from collections import Counter, deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Executor, Future, wait
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from calc.job import JobError
from calc.packet.install import STAGE, clear_left_over, install
from calc.packet.permit import ANNEX_NAME
from calc.packet.pool import work
from calc.packet.record import RECORD_NAME, source_of
from calc.packet.run import PacketError
from calc.packet.task import Made, Task
from calc.work import NOT_SHOWN, PASSES, Status

MOST_TRIES = 2  # a job whose worker was killed is tried once more

Outcome = Literal["made", "unchanged", "failed"]


@dataclass(frozen=True)
class Done:
    """What became of one job."""

    name: str
    outcome: Outcome
    why: str = ""
    seconds: float = 0.0
    status: Status = NOT_SHOWN
    verdict: str = ""
    figures: dict[str, Any] = field(default_factory=dict)
    falls_short: tuple[str, ...] = ()
    bad_input: bool = False
    """Whether it failed by what it was given."""

    @property
    def passes(self) -> bool:
        """Made or unchanged, and everything in its scope is worked and passes."""
        return self.outcome != "failed" and self.status == PASSES


@dataclass(frozen=True)
class Later:
    """A task that is put together when its turn comes: thousands of them would fill the memory, and none begin."""

    name: str
    make: Callable[[], Task]
    of_plan: bool = False
    """Whether it is the annex of a plan, and no packet."""


def run_batch(
    tasks: Sequence[Task | Later],
    out_dir: Path,
    executor: Callable[[], Executor],
    told: Callable[[Done, int, int], None] = lambda done, at, of: None,
    at_once: int = 4,
) -> list[Done]:
    """Make the packets that are not there yet, in the order given, and say what became of each.

    ``executor`` makes a pool; it is asked for a new one when a killed worker broke the last. ``told`` hears of each
    job as it ends. A packet is put in place whole or not at all; whatever ends the run, the next one carries on.
    """
    out_dir.mkdir(parents=True, exist_ok=True)
    clear_left_over(out_dir)
    found: dict[str, Done] = {}

    def tell(done: Done) -> None:
        found[done.name] = done
        told(done, len(found), len(tasks))

    named = Counter(task.name for task in tasks)
    waiting: list[tuple[Task | Later, int]] = []
    for task in tasks:
        if named[task.name] == 1:
            waiting.append((task, 1))
        elif task.name not in found:
            tell(Done(task.name, "failed", "another job of this batch has the same name", bad_input=True))
    while waiting:
        waiting = _run(waiting, out_dir, executor, tell, at_once)
    return [found[name] for name in dict.fromkeys(task.name for task in tasks)]


def _run(
    waiting: list[tuple[Task | Later, int]], out_dir: Path, make_executor: Callable[[], Executor],
    told: Callable[[Done], None], at_once: int,
) -> list[tuple[Task | Later, int]]:  # fmt: skip
    """Run until all are done or a killed worker broke the pool; gives the tasks to run again."""
    again: list[tuple[Task | Later, int]] = []
    queue = deque(waiting)
    running: dict[Future[Made], tuple[Task, int]] = {}
    executor: Executor | None = None  # made when the first task is not there yet
    broken = False
    try:
        while queue or running:
            while queue and len(running) < at_once and not broken:
                one, tries = queue.popleft()
                try:
                    task = one.make() if isinstance(one, Later) else one
                except (JobError, PacketError) as error:
                    told(Done(one.name, "failed", _one_line(error), bad_input=True))
                    continue
                if tries == 1 and (before := unchanged(task, out_dir)) is not None:
                    told(before)
                    continue
                executor = executor or make_executor()
                try:
                    running[executor.submit(work, task)] = (task, tries)
                except BrokenExecutor:
                    broken = True
                    queue.appendleft((task, tries))
            if not running:
                break
            ended, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in ended:
                task, tries = running.pop(future)
                done = _done(future, task, out_dir)
                if done is None:
                    broken = True
                    if tries < MOST_TRIES:
                        again.append((task, tries + 1))
                        continue
                    done = Done(task.name, "failed", "its worker was killed, twice")
                told(done)
    except BaseException:
        if executor is not None:
            executor.shutdown(wait=False, cancel_futures=True)
        raise
    if executor is not None:
        executor.shutdown(wait=not broken)
    # one at a time after a break: the task that kills its worker then takes no other with it
    return [*again, *queue]


def _done(future: Future[Made], task: Task, out_dir: Path) -> Done | None:
    """What became of a task, its files put in place; None where its worker was killed."""
    try:
        made = future.result()
    except (BrokenExecutor, CancelledError):
        return None
    except Exception as error:
        if type(error).__name__ == "KilledWorker":  # a cluster's word for it
            return None
        return Done(task.name, "failed", _one_line(error))
    try:
        _put(made, task, out_dir)
    except OSError as error:
        return Done(task.name, "failed", f"can't be written: {error.strerror}; the last packet stands", made.seconds)
    return _as_done(task.name, "made", _record(task, made))


def unchanged(task: Task, out_dir: Path) -> Done | None:
    """The packet that is there already, where nothing that it follows from has changed since."""
    folder = out_dir / task.name
    try:
        record = json.loads((folder / RECORD_NAME).read_text(encoding="utf-8"))
        if record["fingerprint"] != task.fingerprint or not (folder / task.last).exists():
            return None
        return _as_done(task.name, "unchanged", record)
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _record(task: Task, made: Made, source: str = "") -> dict[str, Any]:
    return {
        "source": source, "fingerprint": task.fingerprint, "seconds": round(made.seconds, 3), "status": made.status,
        "verdict": made.verdict, "figures": dict(made.figures), "falls_short": list(made.falls_short),
    }  # fmt: skip


def _as_done(name: str, outcome: Outcome, record: dict[str, Any]) -> Done:
    return Done(
        name, outcome, "", record["seconds"], record["status"], record["verdict"], record["figures"],
        tuple(record["falls_short"]),
    )  # fmt: skip


def _put(made: Made, task: Task, out_dir: Path) -> None:
    """Put a packet's files in place in one go. Two runs on one folder take turns."""
    with _held(out_dir, task.name):
        source = source_of(Path(task.source), out_dir / task.name) if task.source else ""
        stage = Path(tempfile.mkdtemp(prefix=f"{STAGE}{task.name}-", dir=out_dir))
        try:
            for name, content in made.files.items():
                (stage / name).write_bytes(content)
            (stage / RECORD_NAME).write_text(json.dumps(_record(task, made, source)), encoding="utf-8")
            install(stage, out_dir / task.name, last=task.last, replaces="*.ipynb")
            if task.annex:  # one of its own, from before
                (out_dir / task.name / ANNEX_NAME).unlink(missing_ok=True)
        finally:
            shutil.rmtree(stage, ignore_errors=True)


@contextlib.contextmanager
def _held(out_dir: Path, name: str) -> Iterator[None]:
    """The folder of one job, for this process alone. The system lets go of it when the process ends, however."""
    handle = os.open(out_dir / f".{name}.lock", os.O_CREAT | os.O_RDWR, 0o644)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _one_line(error: BaseException) -> str:
    return " ".join(str(error).split()) or type(error).__name__
