"""How fast packets are made, against the plain way and against the least work that a packet can take.

Run by `make bench`. All rows are measured in one run on one machine, so their ratios hold where seconds don't.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from calc.job import read_job
from calc.packet import pool, warm
from calc.packet.batch import run_batch
from calc.packet.collect import Collected, Display
from calc.packet.run import make_packet, packet_notebooks
from calc.packet.task import Task, task_for
from calc.packet.typeset import typeset
from calc.wiring.house import House

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
DEMO = NOTEBOOKS / "jobs" / "fernhollow-lot-14.toml"
GOALS = {  # what was set out to be reached; a goal missed is said so
    "warm packet on one core, s": 1.2,
    "warm against directly": 3.0,
    "one worker against the plain way": 15.0,
    "two workers against the plain way": 28.0,
    "two workers against one": 1.8,
}


def main(many: int, times: int) -> None:
    """Measure and print the table; ``many`` packets a batch, ``times`` repetitions of single ones."""
    found = measure(many, times)
    plain = 60 / found["plain way, s a packet"]
    one, two = found["packets a minute, one worker"], found["packets a minute, two workers"]
    ratios = {
        "warm packet on one core, s": found["warm packet on one core, s"],
        "warm against directly": found["warm packet on one core, s"] / found["directly on one core, s"],
        "one worker against the plain way": one / plain,
        "two workers against the plain way": two / plain,
        "two workers against one": two / one,
    }
    print(f"{'measured':38}{'':>10}")
    for name, value in found.items():
        print(f"{name:38}{value:10.2f}")
    print(f"\n{'ratio':38}{'':>10}{'goal':>9}")
    for name, value in ratios.items():
        least = GOALS[name]
        at_most = name.startswith("warm")
        met = value <= least if at_most else value >= least
        print(f"{name:38}{value:10.2f}{'<=' if at_most else '>=':>4}{least:5.1f}  {'met' if met else 'MISSED'}")
    print(f"\nload of the machine at the end: {os.getloadavg()[0]:.1f}")
    Path("reports").mkdir(exist_ok=True)
    Path("reports/bench.json").write_text(json.dumps({**found, **ratios}, indent=1) + "\n")


def measure(many: int, times: int) -> dict[str, float]:
    """Every figure of the table, by name."""
    found: dict[str, float] = {}
    notebooks = packet_notebooks(NOTEBOOKS)
    with tempfile.TemporaryDirectory() as scratch:
        here = Path(scratch)
        found["plain way, s a packet"] = median(lambda: plain_way(here / "plain"), max(1, times // 3))
        child = subprocess.run(
            [sys.executable, "-m", "tests.benchmarks.packets", "directly", str(times)],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        found["directly on one core, s"] = float(child.stdout.splitlines()[-1])
        warm.warm_up(pool.PRELOADED)
        engine = warm.register()
        found["warm packet on one core, s"] = statistics.median(
            in_child(lambda: make_packet(DEMO, notebooks=notebooks, out_dir=here / "warm", engine=engine))
            for _ in range(times)
        )
        for workers, name in ((1, "one worker"), (2, "two workers")):
            began = time.perf_counter()
            done = run_batch(lots(many), here / name, lambda w=workers: pool.local(w), at_once=workers)
            assert all(d.outcome == "made" for d in done), [d.why for d in done if d.why][:3]
            found[f"packets a minute, {name}"] = 60 * many / (time.perf_counter() - began)
    return found


def lots(count: int, job: Path = DEMO) -> list[Task]:
    """A house so many times, under other names."""
    notebooks = packet_notebooks(NOTEBOOKS)
    raw = job.read_bytes()
    name = read_job(job).job.name.encode()
    return [task_for(job, raw.replace(b'"%b"' % name, b'"lot-%d"' % n, 1), notebooks) for n in range(count)]


def plain_way(folder: Path) -> None:
    """Stock papermill, one notebook after another, nbconvert to HTML, PDF by headless Chromium."""
    import nbconvert
    import papermill

    folder.mkdir(exist_ok=True)
    for notebook in packet_notebooks(NOTEBOOKS):
        out = folder / notebook.name
        papermill.execute_notebook(
            str(notebook), str(out), parameters={"job_path": str(DEMO)}, cwd=str(NOTEBOOKS), progress_bar=False
        )
        html, _ = nbconvert.HTMLExporter(exclude_input=True).from_filename(str(out))
        page = out.with_suffix(".html")
        page.write_text(html)
        subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--print-to-pdf={out.with_suffix('.pdf')}",
             "--virtual-time-budget=2000", page.as_uri()], check=True, capture_output=True,
        )  # fmt: skip


def directly() -> None:
    """The least work: sheets, charts and PDF, with no notebook in between."""
    from calc.families import dwelling_load, families
    from calc.show import show_chart, show_front, show_sheet, show_table
    from calc.wiring.reading import codebook_for

    job = read_job(DEMO)
    code = codebook_for(job)
    shown = [show_front(dwelling_load.front(House(job, code)))]
    for family in families().values():
        if not family.needs(job):
            sheets = family.work(House(job, code))
            shown += [show_sheet(sheet) for sheet in sheets]
            shown += [show_chart(chart) for chart in family.charts(House(job, code), sheets)]
            shown += [show_table(table) for table in family.tables(House(job, code))]
    displays = []
    for one in shown:
        forms = one._repr_mimebundle_()
        kind = next(mime for mime in forms if "studbay" in mime).split(".")[-1].split("+")[0]
        displays.append(Display(kind, forms[f"application/vnd.studbay.{kind}+json"], forms.get("image/svg+xml", "")))
    typeset(Collected(displays), name=job.job.name, fingerprint=job.fingerprint, job_text=DEMO.read_text())


def median(does: Callable[[], object], times: int) -> float:
    """Median seconds."""
    return statistics.median(seconds(does) for _ in range(times))


def seconds(does: Callable[[], object]) -> float:
    """Seconds by the clock on the wall."""
    began = time.perf_counter()
    does()
    return time.perf_counter() - began


def one_core() -> None:
    """Keep this process, and what it starts, to one core."""
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})


def in_child(does: Callable[[], object]) -> float:
    """Seconds on one core in a forked process: a typeset page starts threads, after which this one may not fork."""

    def run(pipe: object) -> None:
        one_core()
        pipe.send(seconds(does))  # type: ignore[attr-defined]

    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe()
    process = context.Process(target=run, args=(theirs,))
    process.start()
    theirs.close()
    spent: float = ours.recv()
    process.join()
    return spent


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["directly", count]:
            one_core()
            directly()
            print(median(directly, int(count)))
        case [many, times]:
            main(int(many), int(times))
        case _:
            main(many=30, times=5)
