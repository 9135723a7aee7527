"""Whether a long batch keeps its memory: 1,000 packets, measured as each ends.

Run by `make bench`. Packets of a small house, since what could grow is the process that hands out the work and the
one that workers are forked from; each packet itself is made in a process that ends with it.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
from pathlib import Path

from calc.packet import pool
from calc.packet.batch import Done, run_batch
from calc.packet.run import packet_notebooks
from calc.packet.task import task_for
from tests.benchmarks.packets import NOTEBOOKS

JOB = """
[code]
edition = "2023"

[job]
name = "lot-{n}"

[[boxes]]
name = "B1"
marked_in3 = 18
material = "nonmetallic"
cables = ["2 x 12/2 with ground"]
devices = [{{ kind = "receptacle", wire = 12 }}]
"""
WITHIN_PCT = 5.0


def main(many: int) -> None:
    """Make the packets; print the memory of the second hundred and of the last."""
    notebooks = [path for path in packet_notebooks(NOTEBOOKS) if "box-fill" in path.name]
    sizes: list[int] = []
    with tempfile.TemporaryDirectory() as scratch:
        here = Path(scratch)
        tasks = [task_for(here / f"{n}.toml", JOB.format(n=n).encode(), notebooks) for n in range(many)]

        def told(done: Done, at: int, of: int) -> None:
            assert done.outcome == "made", done.why
            sizes.append(standing_kib())

        run_batch(tasks, here / "out", lambda: pool.local(2), told, at_once=2)
    tenth = many // 10
    second, last = statistics.median(sizes[tenth : 2 * tenth]), statistics.median(sizes[-tenth:])
    grown = 100 * (last / second - 1)
    verdict = "met" if grown <= WITHIN_PCT else "MISSED"
    print(f"memory of the run and of the process that its workers are forked from, {many} packets:")
    print(f"  second tenth {second / 1024:.1f} MiB, last tenth {last / 1024:.1f} MiB, grown {grown:.1f} %"
          f" (goal <= {WITHIN_PCT} %)  {verdict}")  # fmt: skip


def standing_kib() -> int:
    """Memory of this process and of its lasting children; workers, which are grandchildren, come and go."""
    children = Path(f"/proc/{os.getpid()}/task/{os.getpid()}/children").read_text().split()
    return sum(_resident_kib(pid) for pid in (str(os.getpid()), *children))


def _resident_kib(pid: str) -> int:
    try:
        pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    except FileNotFoundError:
        return 0
    return pages * os.sysconf("SC_PAGESIZE") // 1024


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
