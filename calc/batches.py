"""Batches from the command line: which jobs, where they run, what is said while they do."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from functools import cache, partial
from pathlib import Path

import click

from calc.job import JobError, parse_job
from calc.job.read import fingerprint, read_bytes
from calc.letters import visible
from calc.packet import pool
from calc.packet.batch import Done, Later, run_batch
from calc.packet.document import FINGERPRINT_SHOWN
from calc.packet.lots import Lot, lots
from calc.packet.overview import write_summary
from calc.packet.permit import ANNEX_NAME
from calc.packet.record import check_source
from calc.packet.run import PacketError, packet_notebooks
from calc.packet.task import Task, task_for
from calc.workplace import notebooks_folder


def make_batch(
    paths: Sequence[Path], out_dir: Path, *, table: Path | None = None, options: Path | None = None, workers: int,
    scheduler: str | None = None, tls: tuple[Path, Path, Path] | None = None, attachments: bool = True, engine: str = "warm",
) -> int:  # fmt: skip
    """Make the packets of many jobs, or of the lots of one; gives the exit code."""
    tasks: list[Task | Later] = []
    bad: list[Done] = []
    told_once = cache(lambda text: click.echo(visible(text), err=True))
    for path in paths:
        try:
            notebooks = packet_notebooks(notebooks_folder(path, told_once))
            made = partial(task_for, path, notebooks=notebooks, attachments=attachments, engine=engine)
            plan = made(read_bytes(path))
            rows = [plan] if table is None else list(of_lots(made, lots(path, table, options)))
        except (JobError, PacketError) as error:
            bad.append(_bad(path, error))
            continue
        for task in rows:
            try:
                check_source(out_dir / task.name, path, task.name)
                tasks.append(task)
            except JobError as error:
                bad.append(_bad(path, error))
    for done in bad:
        click.echo(visible(f"{done.name}: {done.why}"), err=True)
    if scheduler and not scheduler.startswith("tls://"):
        click.echo(visible(f"{scheduler} is trusted as it is: nothing says who answers there, and what is sent back is run "
                           "here. tls://HOST:PORT with --tls tells."), err=True)  # fmt: skip
    executor: Callable[[], Executor] = lambda: pool.Cluster(scheduler, tls) if scheduler else pool.local(workers)  # noqa: E731
    found = run_batch(tasks, out_dir, executor, Progress(), at_once=workers * (8 if scheduler else 1))
    plans = {task.name for task in tasks if isinstance(task, Later) and task.of_plan}
    everything = [*bad, *(done for done in found if done.name not in plans or done.outcome == "failed")]
    summary = write_summary(everything, out_dir, f"{len(everything)} packets")
    for outcome in ("made", "unchanged", "failed"):
        click.echo(f"{outcome}: {sum(done.outcome == outcome for done in everything)}")
    click.echo("\n".join(str(path) for path in summary))
    if bad or any(done.bad_input for done in found):
        return 2
    if any(done.outcome == "failed" for done in found):
        return 3
    return 0 if all(done.passes for done in found) else 1


def _bad(path: Path, error: Exception) -> Done:
    return Done(path.stem, "failed", " ".join(str(error).split()))


def of_lots(made: Callable[..., Task], found: Sequence[Lot]) -> Iterator[Later]:
    """The packets of the lots, and before them the annex of each plan that several of them share."""
    number = Counter(lot.variant for lot in found)
    shared: dict[str, str] = {}
    for lot in found:
        if number[lot.variant] > 1 and lot.variant not in shared:
            raw = lot.plan()
            name = parse_job(raw).job.name
            shared[lot.variant] = (f"the worked annex of the plan, which lots alike share: {name}/{ANNEX_NAME}, of the job file "
                                   f"{fingerprint(raw)[:FINGERPRINT_SHOWN]}")  # fmt: skip
            yield Later(name, partial(made, raw, of_plan=True), of_plan=True)
    for lot in found:
        yield Later(lot.name, _later(made, lot, shared.get(lot.variant, "")))


def _later(made: Callable[..., Task], lot: Lot, annex: str) -> Callable[[], Task]:
    return lambda: made(lot.write(), annex=annex)


class Progress:
    """Says what became of each job, with the time left; on a terminal, on one line until something fails."""

    def __init__(self) -> None:
        self._began = time.monotonic()
        self._made = 0
        self._one_line = sys.stderr.isatty()

    def __call__(self, done: Done, at: int, of: int) -> None:
        """Hear of a job that ended."""
        self._made += done.outcome != "unchanged"
        left = (time.monotonic() - self._began) / self._made * (of - at) if self._made else 0.0
        text = visible(f"{at} of {of}, about {left:.0f} s left: {done.name} {done.outcome}")
        if done.outcome == "failed":
            click.echo(f"{chr(13) if self._one_line else ''}{text}: {visible(done.why)}", err=True)
        elif self._one_line:
            click.echo(f"\r{text[:100]:100}", err=True, nl=at == of)
        else:
            click.echo(text, err=True)
