"""Changes of the program's own code: is each noticed by a test?

    python -m tests.mutants.code families --count 300 --seed 1

Draws a sample of the changes that can be made in a layer, makes each in a forked process and runs the tests that reach the
changed line, the nearest first, until one fails. The tests are collected and run once beforehand, to learn which reach what.
"""

from __future__ import annotations

import argparse
import functools
import gc
import importlib
import os
import random
import signal
import sys
import time
import tomllib
import traceback
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from pathlib import Path
from types import FunctionType
from typing import Any

import coverage
import hypothesis
import pytest
from _pytest.runner import runtestprotocol

from tests.mutants.points import Point, changed, points

ROOT = Path(__file__).parents[2]
SURVIVORS = Path(__file__).parent / "survivors.toml"
TESTS = {
    "work": ["tests/work", "tests/replay", "tests/families/test_expect.py", "tests/families/test_box_fill.py"],
    "codebook": [
        "tests/codebook",
        "tests/families/test_dwelling_methods.py",
        "tests/families/test_conductor_tables.py",
    ],
    "families": ["tests/families", "tests/published", "tests/oracle"],
    "packet": ["tests/packet", "tests/batch", "tests/hostile/test_packet.py"],
}
NOT_RUN = {"families": ("fixes",), "packet": ("pool", "warm")}
"""Left out: what takes minutes a change to try, or is another process."""
MOST_S = 40.0  # of tests, before a change that none of them noticed is called a survivor
AT_ONCE = 2


class Tried:
    """A pytest plugin that, instead of running the tests, learns what each reaches and tries changes."""

    def __init__(self, layer: str, count: int, seed: int) -> None:
        self.layer, self.count, self.seed = layer, count, seed
        self.reach: dict[tuple[str, int], list[int]] = defaultdict(list)
        self.seconds: dict[int, float] = {}
        self.survived: list[Point] = []
        self.killed = self.unreached = 0

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Learn, then try."""
        self.items = session.items
        self._learn()
        drawn = self._drawn()
        running: dict[int, tuple[Point, float]] = {}
        for point in [*drawn, None]:
            while running and (point is None or len(running) >= AT_ONCE):
                self._reap(running)
            if point is not None:
                running[self._fork(point)] = (point, time.monotonic())
        return True

    def _learn(self) -> None:
        cover = coverage.Coverage(data_file=None, source=[str(ROOT / "calc" / self.layer)])
        cover.start()
        for number, item in enumerate(self.items):
            cover.switch_context(str(number))
            began = time.monotonic()
            reports = runtestprotocol(item, log=False, nextitem=self.items[(number + 1) % len(self.items)])
            if any(report.failed for report in reports):
                print(f"not counted, it fails without a change: {item.nodeid}")
                continue
            self.seconds[number] = time.monotonic() - began
        cover.stop()
        data = cover.get_data()
        for file in data.measured_files():
            for line, contexts in data.contexts_by_lineno(file).items():
                reached = [int(c) for c in contexts if c and int(c) in self.seconds]
                self.reach[str(Path(file).relative_to(ROOT)), line] = reached

    def _drawn(self) -> list[Point]:
        left_out = NOT_RUN.get(self.layer, ())
        files = [
            f for f in sorted((ROOT / "calc" / self.layer).rglob("*.py")) if not set(left_out) & {f.stem, *f.parts}
        ]
        every = [point for file in files for point in points(file, ROOT)]
        known = tomllib.loads(SURVIVORS.read_text()) if SURVIVORS.exists() else {}
        equal = {(e["file"], e["function"], e["source"], e["kind"]) for e in known.get("equal", [])}
        every = [p for p in every if (p.file, p.function, p.source, p.kind) not in equal]
        return random.Random(self.seed).sample(every, min(self.count, len(every)))

    def _nearest(self, point: Point) -> list[int]:
        """The tests that reach the line, those of the same name as its file or folder first, then the quick ones."""
        own = {Path(point.file).stem, Path(point.file).parent.name}
        reached = self.reach.get((point.file, point.line), [])
        near = {n: not any(word in self.items[n].path.stem for word in own) for n in reached}
        return sorted(reached, key=lambda n: (near[n] and self.seconds[n] > 1, self.seconds[n]))

    def _fork(self, point: Point) -> int:
        child = os.fork()
        if child:
            return child
        code = 3
        told = os.dup(2)
        try:
            code = self._try(point)
        except BaseException:
            os.write(told, traceback.format_exc().encode())
        finally:
            os._exit(code)

    def _try(self, point: Point) -> int:
        """0 where a test notices the change, 1 where none does, 2 where none reaches it."""
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.dup2(null, 2)
        signal.alarm(int(MOST_S * 3))  # a change that never ends is noticed too
        tests = self._nearest(point)
        if not tests:
            return 2
        function = _live(point)
        function.__code__ = changed(ROOT / point.file, point)
        _forget(self.layer)
        spent = 0.0
        for number in tests:
            if spent > MOST_S:
                break
            spent += self.seconds[number]
            item = self.items[number]
            if any(report.failed for report in runtestprotocol(item, log=False, nextitem=item)):
                return 0
        return 1

    def _reap(self, running: dict[int, tuple[Point, float]]) -> None:
        child, status = os.wait()
        point, _ = running.pop(child)
        code = os.waitstatus_to_exitcode(status)
        if code == 1:
            self.survived.append(point)
            print(f"survived: {point}", flush=True)
        elif code == 2:
            self.unreached += 1
            self.survived.append(point)
            print(f"no test reaches: {point}", flush=True)
        elif code == 3:
            print(f"could not be tried: {point}", flush=True)
        else:
            self.killed += 1  # noticed, or it never ended


def _live(point: Point) -> FunctionType:
    """The function as the running program has it, out of whatever wraps it."""
    module = importlib.import_module(".".join(Path(point.file).with_suffix("").parts).removesuffix(".__init__"))
    here: Any = module
    for name in point.function.split("."):
        here = vars(here)[name] if isinstance(here, type) else getattr(here, name)
    while not isinstance(here, FunctionType):
        here = next(found for way in ("__wrapped__", "func", "fget", "__func__") if (found := getattr(here, way, None)))
    wrapped: Callable[..., Any] | None = getattr(here, "__wrapped__", None)
    return wrapped if isinstance(wrapped, FunctionType) else here


def _forget(layer: str) -> None:
    """Drop what was worked before the change: kept results of the layer and of what stands on it."""
    keeps = () if layer in ("work", "codebook") else ("calc.codebook", "calc.families.reading", "calc.families.<")
    for kept in [each for each in gc.get_objects() if isinstance(each, functools._lru_cache_wrapper)]:
        name = f"{getattr(kept, '__module__', '')}.{getattr(kept, '__qualname__', '')}"
        if name.startswith(("calc.", "tests.")) and not (keeps and name.startswith(keeps)):
            kept.cache_clear()


def run(layer: str, count: int, seed: int) -> Tried:
    """Try a sample of changes of a layer."""
    hypothesis.settings.register_profile("mutants", derandomize=True, database=None, max_examples=25, deadline=None)
    tried = Tried(layer, count, seed)
    arguments = ["-q", "-p", "no:cacheprovider", "--hypothesis-profile=mutants", *TESTS[layer]]
    pytest.main(arguments, plugins=[tried])
    return tried


def main(arguments: Sequence[str]) -> int:
    """Print the figures of one layer."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants.code", description=__doc__)
    parser.add_argument("layer", choices=TESTS)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    began = time.monotonic()
    tried = run(asked.layer, asked.count, asked.seed)
    whole = tried.killed + len(tried.survived)
    kinds = Counter(point.kind for point in tried.survived)
    print(f"{asked.layer}: {tried.killed} of {whole} noticed ({100 * tried.killed / max(whole, 1):.1f} %), "
          f"{tried.unreached} reached by no test, seed {asked.seed}, {time.monotonic() - began:.0f} s; "
          f"survivors by kind: {dict(kinds)}")  # fmt: skip
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
