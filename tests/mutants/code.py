"""Changes of the program's own code: is each noticed by a test?

    python -m tests.mutants.code families --count 300 --seed 1
    python -m tests.mutants.code families --only calc/families/raceway --tests tests/families/test_raceway.py

Draws a sample of the changes that can be made in a layer, makes each in a forked process and runs the tests that reach the
changed line, the nearest first, until one fails. The tests are collected and run once beforehand, to learn which reach what.
Some points are tried without their change first: whatever a test says of those it would say of any, and the figures are void.
"""

from __future__ import annotations

import argparse
import contextlib
import functools
import gc
import importlib
import os
import pickle
import random
import resource
import signal
import sys
import tempfile
import time
import tomllib
import traceback
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from types import FunctionType
from typing import Any

import coverage
import hypothesis
import pytest
from _pytest.runner import runtestprotocol
from hypothesis import HealthCheck, Phase

from tests.mutants.points import Point, changed, points

ROOT = Path(__file__).parents[2]
SURVIVORS = Path(__file__).parent / "survivors.toml"
ROOMS = {
    "work": ["work"],
    "codebook": ["codebook"],
    "families": ["families", "wiring", "verdict"],
    "packet": ["packet"],
}
TESTS = {
    "work": [
        "tests/work",
        "tests/replay",
        "tests/cli/test_cli.py",
        "tests/families/test_expected_range.py",
        "tests/verdict/test_scope.py",
        "tests/families/test_box_fill.py",
    ],
    "codebook": [
        "tests/codebook",
        "tests/families/test_dwelling_methods.py",
        "tests/families/test_conductor_tables.py",
    ],
    "families": ["tests/families", "tests/verdict", "tests/published", "tests/oracle"],
    "packet": [
        "tests/packet",
        "tests/hostile/test_packet.py",
        "tests/batch/test_lots.py",
        "tests/batch/test_overview.py",
        *(
            f"tests/batch/test_batch.py::test_{name}"  # the rest runs in processes of its own, for minutes
            for name in (
                "a_full_disk_leaves_the_last_packet",
                "a_changed_program_makes_every_packet_anew",
                "a_job_is_tried_twice_and_the_rest_of_the_queue_goes_on",
                "two_jobs_of_one_name_are_both_told",
                "the_outcome_of_each_is_heard_in_turn",
                "amendments_travel_with_their_tables_and_the_job",
            )
        ),
    ],
}
NOT_RUN = {
    "families": ("sketch", "plan", "counter_plan", "shell", "diagram", "picture", "pictures", "section"),
    "packet": ("pool", "warm"),
}
"""Left out: what only draws, which is looked at by people as texts are read, and what is another process."""
MOST_S = 20.0  # of tests, before a change that none of them noticed is called a survivor
NEVER_S = 8.0  # of processor beyond ten times what a test takes: it doesn't end, or waits, which is noticed too
MOST_BYTES = 3 * 2**30  # of memory: what doesn't end often eats it up first
CONTROLS = 4  # points tried without their change
AT_ONCE = 2

NOTICED, SURVIVED, UNREACHED, UNTRIED, ENDLESS = (
    "noticed",
    "survived",
    "no test reaches",
    "could not be tried",
    "no end",
)
OUTCOMES = {0: NOTICED, 1: SURVIVED, 2: UNREACHED, 3: UNTRIED}


class Tried:
    """A pytest plugin that, instead of running the tests, learns what each reaches and tries changes."""

    def __init__(self, layer: str, count: int, seed: int, minutes: float, only: str = "") -> None:
        self.layer, self.count, self.seed, self.only = layer, count, seed, only
        self.until = time.monotonic() + 60 * minutes
        self.outcomes: dict[Point, str] = {}
        self.void: dict[Point, str] = {}  # outcomes without the change that aren't a survivor's

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Learn, then try."""
        self.items, self.session = session.items, session
        began = time.monotonic()
        self._learn()
        drawn = self._drawn()
        self.kept = _kept(self.layer)
        gc.freeze()  # so that a forked process doesn't go through, and copy, all that was there before it
        print(f"{len(self.items)} tests learnt in {time.monotonic() - began:.0f} s", flush=True)
        controls = self._each(drawn[:CONTROLS], change=False)
        self.void = {point: came for point, came in controls.items() if came not in (SURVIVED, UNREACHED)}
        self.outcomes = self._each(drawn, change=True)
        return True

    def _each(self, drawn: list[Point], change: bool) -> dict[Point, str]:
        outcomes: dict[Point, str] = {}
        running: dict[int, Point] = {}
        for point in [*drawn, None]:
            if time.monotonic() > self.until:
                point = None  # the sample is random, so that its beginning is a sample too
            while running and (point is None or len(running) >= AT_ONCE):
                child, status = os.wait()
                if child not in running:  # one that a test left behind
                    continue
                code = os.waitstatus_to_exitcode(status)
                tried = running.pop(child)
                outcomes[tried] = OUTCOMES.get(code, ENDLESS)
                if len(outcomes) % 20 == 0:
                    print(f"{len(outcomes)} of {len(drawn)} tried", flush=True)
                if outcomes[tried] not in (NOTICED, ENDLESS) and change:
                    print(f"{outcomes[tried]}: {tried}", flush=True)
            if point is not None:
                running[self._fork(point, change)] = point
        return outcomes

    def _learn(self) -> None:
        """Run the tests in a process of its own: what they leave behind, threads too, no later process may rest on."""
        with tempfile.TemporaryFile() as file:
            child = os.fork()
            if not child:
                try:
                    pickle.dump(self._learnt(), file)
                    file.flush()
                finally:
                    os._exit(0)
            os.waitpid(child, 0)
            file.seek(0)
            self.seconds, self.reach, modules = pickle.load(file)
        for module in modules - sys.modules.keys():
            with contextlib.suppress(Exception):  # one that a test made up
                importlib.import_module(module)

    def _learnt(self) -> tuple[dict[int, float], dict[tuple[str, int], list[int]], set[str]]:
        """Seconds of each test, the tests that reach each line, and the modules that it takes."""
        seconds: dict[int, float] = {}
        reach: dict[tuple[str, int], list[int]] = {}
        cover = coverage.Coverage(data_file=None, source=[str(ROOT / "calc" / room) for room in ROOMS[self.layer]])
        cover.start()
        for number, item in enumerate(self.items):
            cover.switch_context(str(number))
            began = _processor()
            reports = runtestprotocol(item, log=False, nextitem=self.items[(number + 1) % len(self.items)])
            if any(report.failed for report in reports):
                print(f"not counted, it fails without a change: {item.nodeid}", flush=True)
                continue
            seconds[number] = _processor() - began
        cover.stop()
        data = cover.get_data()
        for file in data.measured_files():
            for line, contexts in data.contexts_by_lineno(file).items():
                reached = [int(c) for c in contexts if c and int(c) in seconds]
                reach[str(Path(file).relative_to(ROOT)), line] = reached
        return seconds, reach, set(sys.modules)

    def _drawn(self) -> list[Point]:
        equal = excused()
        asked = [point for point in every_point(self.layer) if point.file.startswith(self.only)]
        every = [p for p in asked if (p.file, p.function, p.source, p.kind) not in equal]
        return random.Random(self.seed).sample(every, min(self.count, len(every)))

    def _nearest(self, point: Point) -> list[int]:
        """The tests that reach it, those of the same name as its file or folder first, then the quick ones.

        What begins with a bracket has no line of its own.
        """
        own = {Path(point.file).stem, Path(point.file).parent.name}
        lines = ((point.file, line) for line in range(point.line, point.end + 1))
        reached = next((self.reach[line] for line in lines if line in self.reach), [])
        near = {n: not any(word in self.items[n].path.stem for word in own) for n in reached}
        return sorted(reached, key=lambda n: (near[n] and self.seconds[n] > 1, self.seconds[n]))

    def _fork(self, point: Point, change: bool) -> int:
        child = os.fork()
        if child:
            return child
        code, told = 3, os.dup(2)
        try:
            code = self._try(point, change)
        except BaseException:
            os.write(told, traceback.format_exc().encode())
        finally:
            os._exit(code)

    def _try(self, point: Point, change: bool) -> int:
        """The outcome's number in OUTCOMES."""
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.dup2(null, 2)
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        tests = self._nearest(point)
        if not tests:
            return 2
        if change:
            _live(point).__code__ = changed(ROOT / point.file, point)
        self.session._setupstate.teardown_exact(None)  # what fixtures made before the change, too
        for kept in self.kept:
            kept.cache_clear()
        spent = 0.0
        for number, following in zip(tests, [*tests[1:], None], strict=True):
            spent += self.seconds[number]
            signal.setitimer(signal.ITIMER_PROF, NEVER_S + 10 * self.seconds[number])
            signal.setitimer(signal.ITIMER_REAL, 10 * NEVER_S + 50 * self.seconds[number])
            after = None if following is None else self.items[following]
            if any(report.failed for report in runtestprotocol(self.items[number], log=False, nextitem=after)):
                return 0
            if spent > MOST_S:
                break
        return 1


def every_point(layer: str) -> list[Point]:
    """Every change of a layer that can be tried here."""
    return [point for file in files_of(layer) for point in points(file, ROOT)]


def files_of(layer: str) -> list[Path]:
    """The files of a layer whose changes can be tried here."""
    left_out = set(NOT_RUN.get(layer, ()))
    files = [file for room in ROOMS[layer] for file in sorted((ROOT / "calc" / room).rglob("*.py"))]
    return [file for file in files if not left_out & {file.stem, *file.parts}]


def excused() -> set[tuple[str, str, str, str]]:
    """(file, function, source, kind) of the changes that are known to change nothing that is shown."""
    entries = tomllib.loads(SURVIVORS.read_text(encoding="utf-8"))["equal"]
    return {(each["file"], each["function"], each["source"], each["kind"]) for each in entries}


def _processor() -> float:
    """Seconds of processor so far, those of ended children with them: a busy machine doesn't lengthen them."""
    return sum(os.times()[:4])


def _live(point: Point) -> FunctionType:
    """The function as the running program has it, out of whatever wraps it."""
    here: Any = importlib.import_module(".".join(Path(point.file).with_suffix("").parts).removesuffix(".__init__"))
    for name in point.function.split("."):
        here = vars(here)[name] if isinstance(here, type) else getattr(here, name)
    while found := next(
        (f for way in ("__wrapped__", "func", "fget", "__func__") if (f := getattr(here, way, None))), None
    ):
        here = found
    assert isinstance(here, FunctionType), point
    return here


def _kept(layer: str) -> list[functools._lru_cache_wrapper[Any]]:
    """What keeps results from before a change, but for what the layers below this one keep."""
    below = {"families": ("calc.codebook",), "packet": ("calc.codebook", "calc.families", "calc.wiring")}.get(layer, ())
    every = [each for each in gc.get_objects() if isinstance(each, functools._lru_cache_wrapper)]
    modules = [(each, getattr(each, "__module__", None) or "") for each in every]
    return [
        each
        for each, module in modules
        if module.startswith(("calc.", "tests.")) and not (below and module.startswith(below))
    ]


def run(layer: str, count: int, seed: int, minutes: float, only: str = "", tests: Sequence[str] = ()) -> Tried:
    """Try a sample of changes of a layer, or of what of it begins with ``only``, by the tests of the layer, or by others."""
    hypothesis.settings.register_profile(
        "mutants", derandomize=True, database=None, max_examples=25, deadline=None,
        phases=[Phase.explicit, Phase.generate], suppress_health_check=[HealthCheck.too_slow],
    )  # fmt: skip  # nobody reads what fails here, so that nothing is spent on saying it well
    tried = Tried(layer, count, seed, minutes, only)
    arguments = ["-q", "-p", "no:cacheprovider", "--assert=plain", "--tb=native", "--hypothesis-profile=mutants"]
    pytest.main([*arguments, *(tests or TESTS[layer])], plugins=[tried])
    return tried


def main(arguments: Sequence[str]) -> int:
    """Print the figures of one layer."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants.code", description=__doc__)
    parser.add_argument("layer", choices=TESTS)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60, help="after so many, no more of the sample is begun")
    parser.add_argument("--only", default="", help="files whose path begins so, such as calc/families/raceway")
    parser.add_argument("--tests", nargs="+", default=(), help="a few tests, to look soon at what they leave unnoticed")
    asked = parser.parse_args(arguments)
    began = time.monotonic()
    tried = run(asked.layer, asked.count, asked.seed, asked.minutes, asked.only, asked.tests)
    came = Counter(tried.outcomes.values())
    kinds = Counter(point.kind for point, outcome in tried.outcomes.items() if outcome in (SURVIVED, UNREACHED))
    whole, noticed = sum(came.values()), came[NOTICED] + came[ENDLESS]
    print(f"{asked.layer}: {noticed} of {whole} noticed ({100 * noticed / max(whole, 1):.1f} %, {came[ENDLESS]} by having no end), "
          f"{came[UNREACHED]} reached by no test, {came[UNTRIED]} could not be tried, seed {asked.seed}, "
          f"{time.monotonic() - began:.0f} s; survivors by kind: {dict(kinds)}")  # fmt: skip
    for point, outcome in tried.void.items():
        print(f"void: {outcome} without its change: {point}")
    return 1 if tried.void or came[UNTRIED] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
