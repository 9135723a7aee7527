"""How fast packets are made, against the plain way and against the least work that a packet can take.

Run by `make bench`. All rows are measured in one run on one machine, so their ratios hold where seconds don't.
"""

from __future__ import annotations

import json
import os
import shutil
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

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
DEMO = NOTEBOOKS / "jobs" / "fernhollow-lot-12.toml"


def lots(count: int) -> list[Task]:
    """The demo house so many times under other names."""
    notebooks = packet_notebooks(NOTEBOOKS)
    raw = DEMO.read_bytes()
    return [
        task_for(DEMO, raw.replace(b'name = "fernhollow-lot-12"', f'name = "lot-{n}"'.encode(), 1), notebooks)
        for n in range(count)
    ]


def timed(does: Callable[[], object], times: int) -> float:
    """Median seconds."""
    spent = []
    for _ in range(times):
        began = time.perf_counter()
        does()
        spent.append(time.perf_counter() - began)
    return statistics.median(spent)


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
    from calc.families.reading import codebook_for
    from calc.show import show_chart, show_front, show_sheet, show_table

    job = read_job(DEMO)
    code = codebook_for(job)
    shown = [show_front(dwelling_load.front(job, code))]
    for family in families().values():
        if not family.needs(job):
            sheets = family.work(job, code)
            shown += [show_sheet(sheet) for sheet in sheets]
            shown += [show_chart(chart) for chart in family.charts(job, code, sheets)]
            shown += [show_table(table) for table in family.tables(job, code)]
    displays = []
    for one in shown:
        forms = one._repr_mimebundle_()
        kind = next(mime for mime in forms if "studbay" in mime).split(".")[-1].split("+")[0]
        displays.append(Display(kind, forms[f"application/vnd.studbay.{kind}+json"], forms.get("image/svg+xml", "")))
    typeset(Collected(displays), name=job.job.name, fingerprint=job.fingerprint, job_text=DEMO.read_text())


def children_memory_kib() -> int:
    """Resident memory of this process, in KiB."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGESIZE") // 1024


def measure(many: int) -> dict[str, float]:
    """Every figure of the table."""
    found: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as scratch:
        here = Path(scratch)
        found["plain way, s a packet"] = timed(lambda: plain_way(here / "plain"), 2)
        warm.warm_up(pool.PRELOADED)
        engine = warm.register()
        notebooks = packet_notebooks(NOTEBOOKS)
        child = subprocess.run(
            [sys.executable, "-m", "tests.benchmarks.packets", "directly"], capture_output=True, text=True, check=True
        )
        found["directly, s a packet"] = float(child.stdout)
        found["warm, s a packet"] = _in_child(
            lambda: make_packet(DEMO, notebooks=notebooks, out_dir=here / "warm", engine=engine)
        )
        for workers in (1, 2):
            shutil.rmtree(here / "batch", ignore_errors=True)
            tasks = lots(many)
            began = time.perf_counter()
            done = run_batch(tasks, here / "batch", lambda w=workers: pool.local(w), at_once=workers)
            assert all(d.outcome == "made" for d in done), [d.why for d in done if d.why][:3]
            found[f"packets a minute, {workers} worker"] = 60 * many / (time.perf_counter() - began)
    return found


def _in_child(does: Callable[[], object]) -> float:
    """Median of five in forked processes: a typeset page starts threads, after which this process may not fork."""
    import multiprocessing

    def run(pipe: object) -> None:
        began = time.perf_counter()
        does()
        pipe.send(time.perf_counter() - began)  # type: ignore[attr-defined]

    spent = []
    for _ in range(5):
        ours, theirs = multiprocessing.get_context("fork").Pipe()
        process = multiprocessing.get_context("fork").Process(target=run, args=(theirs,))
        process.start()
        spent.append(ours.recv())
        process.join()
    return statistics.median(spent)


def main(many: int) -> None:
    """Print the table."""
    found = measure(many)
    plain = 60 / found["plain way, s a packet"]
    print(f"{'what':34}{'measured':>10}   ratio")
    for name, value in found.items():
        ratio = ""
        if name.startswith("packets a minute"):
            ratio = f"{value / plain:.1f} times the plain way"
        elif name == "warm, s a packet":
            ratio = f"{value / found['directly, s a packet']:.2f} times directly"
        print(f"{name:34}{value:10.2f}   {ratio}")
    one, two = found["packets a minute, 1 worker"], found["packets a minute, 2 worker"]
    print(f"{'two workers against one':34}{two / one:10.2f}")
    Path("reports").mkdir(exist_ok=True)
    Path("reports/bench.json").write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    if sys.argv[1:] == ["directly"]:
        directly()
        print(timed(directly, 5))
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
