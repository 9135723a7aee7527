"""A few hundred mutants at each test run; the sheets that they get are replayed as all others are. `make fuzz` runs the rest."""

from __future__ import annotations

import pytest

from tests.fuzz.mutants import mutant
from tests.fuzz.runs import run

EACH = 50
CHEAP = ("check", "work", "compare", "table", "copy")


@pytest.mark.parametrize("first", range(1, 200, EACH))
def test_no_mutant_brings_out_a_fault_of_ours(first: int) -> None:
    failures = list(run(range(first, first + EACH), CHEAP))
    assert not failures, "\n".join(map(str, failures))


def test_no_mutant_brings_out_a_fault_among_fixes() -> None:
    failures = list(run(range(20, 101, 20), ("fixes",)))
    assert not failures, "\n".join(map(str, failures))


def test_a_seed_gives_the_same_mutant_again() -> None:
    assert [mutant(seed) for seed in range(30)] == [mutant(seed) for seed in range(30)]
    assert len({mutant(seed).job for seed in range(30)}) > 25
