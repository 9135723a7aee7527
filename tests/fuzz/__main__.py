"""The fuzzer from the command line: a seed, a count; failures with their seeds; exit code 1 where there was one."""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from pathlib import Path

from tests.fuzz.mutants import mutant
from tests.fuzz.runs import COMMANDS, report, run


def _main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--commands", default=",".join(COMMANDS))
    parser.add_argument("--one", type=int, help="one seed: its files are written here, and each command run")
    asked = parser.parse_args()
    if asked.one is not None:
        made = mutant(asked.one)
        Path("job.toml").write_bytes(made.job)
        Path("local.toml").write_bytes(made.amendments)
    seeds = [asked.one] if asked.one is not None else range(asked.seed, asked.seed + asked.count)
    codes: Counter[str] = Counter()
    began = time.perf_counter()
    failures = 0
    for failure in run(seeds, asked.commands.split(","), codes):
        failures += 1
        print(failure, flush=True)
    print(report(codes, began, len(seeds)))
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(_main())
