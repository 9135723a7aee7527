"""Where the time of one warm packet goes: processor seconds of each notebook and of what comes after.

Run by `make bench`. A notebook's own process works its family and draws; the process around it starts it, writes the
executed notebook, and at the end typesets.
"""

from __future__ import annotations

import resource
import tempfile
from itertools import pairwise
from pathlib import Path

from calc.packet import pool, warm
from calc.packet.run import make_packet, packet_notebooks
from tests.benchmarks.packets import DEMO, NOTEBOOKS, in_child


def main() -> None:
    """Print a row for each step of a packet."""
    warm.warm_up(pool.PRELOADED)
    engine = warm.register()

    def made() -> None:
        steps: list[tuple[str, float, float]] = []
        with tempfile.TemporaryDirectory() as out:
            make_packet(
                DEMO, notebooks=packet_notebooks(NOTEBOOKS), out_dir=Path(out), engine=engine,
                progress=lambda text: steps.append((text, *_spent())),
            )  # fmt: skip
        steps.append(("", *_spent()))
        print(f"{'step':32}{'in its own process, s':>24}{'around it, s':>15}")
        for (name, around, inside), (_, around_after, inside_after) in pairwise(steps):
            print(f"{name:32}{inside_after - inside:24.3f}{around_after - around:15.3f}")
        print(f"{'whole packet':32}{steps[-1][2] - steps[0][2]:24.3f}{steps[-1][1] - steps[0][1]:15.3f}", flush=True)

    in_child(made)


def _spent() -> tuple[float, float]:
    """Processor seconds of this process, and of those that it started and that have ended."""
    both = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    here, there = (one.ru_utime + one.ru_stime for one in both)
    return here, there


if __name__ == "__main__":
    main()
