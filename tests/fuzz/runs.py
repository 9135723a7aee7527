"""Mutants through the commands, in process: what is a failure, and what the mutants came to."""

from __future__ import annotations

import signal
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from click.testing import CliRunner

from calc.cli import main
from tests.fuzz.mutants import Mutant, mutant

LONGEST_S = 10.0
"""Of processor."""
COMMANDS = ("check", "work", "compare", "table", "copy", "fixes")
FIXES_EACH = 20
"""One mutant in so many goes through `fixes` too, which works each job many times."""


class TooLong(BaseException):
    """More than LONGEST_S; no command may catch it."""


@dataclass(frozen=True)
class Failure:
    """What a command did that it may not, and the seed that brings it back."""

    seed: int
    command: str
    said: str

    def __str__(self) -> str:
        return f"seed {self.seed}, {self.command}: {self.said}"


def run(
    seeds: Iterable[int], commands: Sequence[str] = COMMANDS, codes: Counter[str] | None = None
) -> Iterator[Failure]:
    """The failures among the mutants of these seeds; ``codes`` counts what each command came to."""
    counted = codes if codes is not None else Counter()
    with tempfile.TemporaryDirectory() as made:
        for seed in seeds:
            yield from _one(
                mutant(seed), Path(made), [c for c in commands if c != "fixes" or seed % FIXES_EACH == 0], counted
            )


def _one(made: Mutant, folder: Path, commands: Sequence[str], counted: Counter[str]) -> Iterator[Failure]:
    job, amendments, table = folder / "job.toml", folder / "local.toml", folder / "part.csv"
    amendments.unlink(missing_ok=True)
    if made.amendments:
        amendments.write_bytes(made.amendments)
    part = ("loads", "circuits", "boxes", "rooms", "runs", "panels")[made.seed % 6]
    for command in commands:
        job.write_bytes(made.job)
        table.unlink(missing_ok=True)
        args = {
            "table": [(job, part, table), (job, part, table, "--read")],
            "copy": [(job, part, _name(made), "copied")],
        }
        for arguments in args.get(command, [(job,)]):
            failure = _failure([command, *map(str, arguments)], counted)
            if failure:
                yield Failure(made.seed, command, failure)


def _name(made: Mutant) -> str:
    """Some name that the job has."""
    names = [
        line.split('"')[1] for line in made.job.decode("utf-8", "replace").splitlines() if line.startswith('name = "')
    ]
    return names[made.seed % len(names)] if names else "none"


def _failure(args: list[str], counted: Counter[str]) -> str:
    try:
        with _within(LONGEST_S):
            done = CliRunner().invoke(main, args)
    except TooLong:
        counted[f"{args[0]} too long"] += 1
        return f"more than {LONGEST_S:g} s of processor"
    counted[f"{args[0]} {done.exit_code}"] += 1
    if done.exit_code in (0, 1, 2) and "Traceback" not in done.output:
        return ""
    return f"exit code {done.exit_code}: {done.output.strip()[-300:]}"


@contextmanager
def _within(seconds: float) -> Iterator[None]:
    def ended(number: int, frame: FrameType | None) -> None:
        raise TooLong

    before = signal.signal(signal.SIGPROF, ended)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def report(codes: Counter[str], began: float, count: int) -> str:
    """What the mutants came to, on a few lines."""
    lines = [f"{count:,} mutants, {sum(codes.values()):,} commands, {time.perf_counter() - began:,.0f} s"]
    return "\n".join([*lines, *(f"  {key}: {number:,}" for key, number in sorted(codes.items()))])
