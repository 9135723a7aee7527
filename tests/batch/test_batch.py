"""Batches: what is made, what is left, what happens when a worker, a disk or the whole run gives out."""

from __future__ import annotations

import errno
import functools
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future
from functools import partial
from pathlib import Path

import pytest

from calc.batches import make_batch, of_lots
from calc.packet import pool
from calc.packet import task as task_module
from calc.packet.batch import Done, Later, run_batch
from calc.packet.lots import lots
from calc.packet.overview import summary_rows
from calc.packet.permit import ANNEX_NAME, PERMIT_NAME
from calc.packet.run import PacketError
from calc.packet.task import Made, Task, run_task, task_for
from tests.packet.reading import text_of

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
RUN = ("01-dwelling-load.ipynb", "30-permit-set.ipynb")
JOB = """
[code]
edition = "2023"
[job]
name = "{name}"
[dwelling]
kind = "one-family"
floor_area_ft2 = {area}
[service]
rating_a = 100
"""


def job(name: str = "Lot 1", area: float = 1500) -> bytes:
    return JOB.format(name=name, area=area).encode()


def task(name: str = "Lot 1", area: float = 1500, **options: object) -> Task:
    return task_for(Path("job.toml"), job(name, area), [NOTEBOOKS / each for each in RUN], **options)


def broken(name: str, source: str, **options: object) -> Task:
    """A task whose one notebook runs this code."""
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "outputs": [], "execution_count": None, "source": source}
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    book = {"cells": [cell], "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    return Task(name, job(name), {}, {"01-broken.ipynb": json.dumps(book).encode()}, **options)  # type: ignore[arg-type]


class Here(Executor):
    """Runs a task at once, in this process: for tests of what surrounds it."""

    def __init__(self, does: Callable[[Task], Made]) -> None:
        self.does = does

    def submit(self, fn: object, /, *args: object, **_: object) -> Future[Made]:  # type: ignore[override]
        future: Future[Made] = Future()
        try:
            future.set_result(self.does(args[0]))  # type: ignore[arg-type]
        except BaseException as error:
            future.set_exception(error)
        return future


def made(task: Task) -> Made:
    return Made({PERMIT_NAME: b"%PDF " + task.name.encode(), "sheets.json": b"{}"}, 0, 0, 0.1)


def test_jobs_are_made_once_and_then_left(tmp_path: Path) -> None:
    """Same job, notebooks and program: nothing is made again. A changed job alone is."""
    tasks = [task("Lot 1"), task("Lot 2")]
    first = run_batch(tasks, tmp_path, lambda: pool.local(2), at_once=2)
    assert [done.outcome for done in first] == ["made", "made"], first
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*.pdf")}
    again = run_batch([tasks[0], task("Lot 2", 1600)], tmp_path, lambda: pool.local(2))
    assert [done.outcome for done in again] == ["unchanged", "made"]
    after = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*.pdf")}
    assert {path.parent.name for path in before if before[path] != after[path]} == {"Lot 2"}
    assert again[0].figures == first[0].figures
    demand_va = 3000 + 0.35 * (3 * 1500 + 2 * 1500 + 1500 - 3000)  # lighting and the three circuits counted
    assert first[0].figures == {"method": "standard method", "calculated_a": demand_va / 240, "service_a": 100}
    assert summary_rows(first)[0][5:10] == ["", "", "21.2", "100", "standard method"]


def test_lots_alike_share_one_annex_and_each_permit_set_names_it(tmp_path: Path) -> None:
    """Only who and where differ: one annex is made, and no lot has one of its own, from before either. A lot with another
    area has its own."""
    (tmp_path / "job.toml").write_bytes(job("Plan"))
    (tmp_path / "notebooks").mkdir()
    for name in RUN:
        shutil.copy(NOTEBOOKS / name, tmp_path / "notebooks" / name)
    rows = ["job.name,job.address,dwelling.floor_area_ft2", "Lot 1,1 Elm,", "Lot 2,2 Elm,", "Lot 3,3 Elm,1800"]
    (tmp_path / "lots.csv").write_text("\n".join(rows))
    old = tmp_path / "reports" / "Lot 1" / ANNEX_NAME
    old.parent.mkdir(parents=True)
    old.write_bytes(b"from before")
    found = lots(tmp_path / "job.toml", tmp_path / "lots.csv")
    tasks = list(
        of_lots(partial(task_for, tmp_path / "job.toml", notebooks=list((tmp_path / "notebooks").iterdir())), found)
    )
    done = run_batch(tasks, tmp_path / "reports", lambda: pool.local(2), at_once=2)
    assert [each.outcome for each in done] == ["made"] * 4, done
    (annex,) = (task.name for task in tasks if isinstance(task, Later) and task.of_plan)
    pdfs = {str(path.relative_to(tmp_path / "reports")) for path in (tmp_path / "reports").rglob("*.pdf")}
    assert pdfs == {
        f"{annex}/{ANNEX_NAME}",
        f"Lot 1/{PERMIT_NAME}",
        f"Lot 2/{PERMIT_NAME}",
        f"Lot 3/{PERMIT_NAME}",
        f"Lot 3/{ANNEX_NAME}",
    }
    one, two, three = (text_of((tmp_path / "reports" / f"Lot {n}" / PERMIT_NAME).read_bytes(), 1) for n in (1, 2, 3))
    whole = text_of((tmp_path / "reports" / annex / ANNEX_NAME).read_bytes())
    for page in (one, two):
        assert f"{annex}/{ANNEX_NAME}" in " ".join(page.split())
    assert annex not in three
    (named,) = set(re.findall(r"of the job file (\w{12})", " ".join(one.split())))
    assert f"job file {named}" in whole
    assert "1 Elm" in one
    assert "Elm" not in whole


def test_a_packet_is_the_same_made_alone_or_in_a_batch_warm_or_stock(tmp_path: Path) -> None:
    warm, stock = run_task(task()), run_task(task(engine="stock"))
    assert warm.files[PERMIT_NAME] == stock.files[PERMIT_NAME]
    (done,) = run_batch([task()], tmp_path, lambda: pool.local(1))
    assert (tmp_path / "Lot 1" / PERMIT_NAME).read_bytes() == stock.files[PERMIT_NAME]
    assert done.passes


def test_amendments_travel_with_their_tables_and_the_job(tmp_path: Path) -> None:
    """Even one that has the job's own name in the folder where a packet is made."""
    apart = tmp_path / "amendments"
    apart.mkdir()
    (apart / "job.toml").write_text(
        'title = "Invented amendments"\ninherits = "2023"\n[rules.cooking_demand]\ntable = "cooking.csv"\n'
    )
    columns = "appliances_from,appliances_to,column_a_pct,column_b_pct,column_c_kw,column_c_each_kw"
    head = "# title: cooking, amended\n# source: invented\n# confidence: A"
    (apart / "cooking.csv").write_text(f"{head}\n{columns}\n1,1,80,80,7,0\n2,,80,80,14,0\n")
    range_12_kw = '[[loads]]\nname = "Range"\nkind = "range"\nload_va = 12000\nvolts = 240\n'
    amended = job().replace(b'edition = "2023"', b'edition = "2023"\namendments = ["job.toml"]') + range_12_kw.encode()
    notebooks = [NOTEBOOKS / name for name in RUN]
    task_of = task_for(tmp_path / "lot.toml", amended, notebooks)
    assert sorted(task_of.amendments) == ["cooking.csv", "job.toml"]
    sheets = json.loads(run_task(task_of).files["sheets.json"])["sheets"]
    assert 7 in [line["value"] for sheet in sheets for line in sheet["lines"] if line["unit"] == "kW"]


def test_a_bad_one_is_reported_and_the_rest_made(tmp_path: Path) -> None:
    tasks = [task("good"), broken("bad", "1 / 0"), task("also good")]
    found = run_batch(tasks, tmp_path, lambda: pool.local(2), at_once=2)
    assert [done.outcome for done in found] == ["made", "failed", "made"]
    assert "01-broken.ipynb, cell 1: ZeroDivisionError: division by zero" in found[1].why


def test_a_notebook_that_never_ends_is_ended(tmp_path: Path) -> None:
    (done,) = run_batch([broken("loop", "while True: pass", longest_cell_s=2)], tmp_path, lambda: pool.local(1))
    assert done.outcome == "failed"
    assert "01-broken.ipynb" in done.why
    assert "ran too long" in done.why or "timed out" in done.why.lower()


@pytest.mark.skipif(sys.platform != "linux", reason="the limit of memory is Linux's")
def test_a_notebook_that_eats_memory_is_ended(tmp_path: Path) -> None:
    (done,) = run_batch([broken("hog", "x = bytearray(64 * 1024**3)")], tmp_path, lambda: pool.local(1))
    assert done.outcome == "failed"
    assert "MemoryError" in done.why


def test_a_killed_worker_costs_only_a_second_try(tmp_path: Path) -> None:
    """The first time its worker is killed the job is tried again; the others are made."""
    flag = tmp_path / "flag"
    kills = f"""
        import os, signal, pathlib
        flag = pathlib.Path({str(flag)!r})
        if not flag.exists():
            flag.touch()
            os.kill(int(open('/proc/self/stat').read().split()[3]), signal.SIGKILL)
        print('worked')
    """
    out = tmp_path / "out"
    tasks = [broken("killer", textwrap.dedent(kills)), task("Lot 2")]
    found = run_batch(tasks, out, lambda: pool.local(1), at_once=1)
    assert {done.name: done.outcome for done in found}["Lot 2"] == "made"
    assert flag.exists()
    # the second try ran to the end; it shows no sheet, so it is told as a job with nothing to show
    assert "no notebook had anything to show" in found[0].why


def test_a_worker_killed_twice_is_given_up(tmp_path: Path) -> None:
    always = "import os, signal; os.kill(int(open('/proc/self/stat').read().split()[3]), signal.SIGKILL)"
    found = run_batch([broken("killer", always), task("Lot 2")], tmp_path, lambda: pool.local(1), at_once=1)
    assert {done.name: (done.outcome, done.why) for done in found} == {
        "killer": ("failed", "its worker was killed, twice"),
        "Lot 2": ("made", ""),
    }


def test_a_changed_program_makes_every_packet_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of it with other content, or of another name: what was made before it is not left as unchanged."""
    package = tmp_path / "calc"
    package.mkdir()
    monkeypatch.setattr(task_module, "_PACKAGE", package)

    def told(**files: str) -> str:
        for path in package.iterdir():
            path.unlink()
        for name, text in files.items():
            (package / name).write_text(text)
        return task_module.program.__wrapped__()

    assert told(a="1") == told(a="1")
    assert len({told(a="1"), told(a="2"), told(b="1"), told(a="1", b="1")}) == 4


@pytest.mark.parametrize("at_once", [1, 3])
def test_a_job_is_tried_twice_and_the_rest_of_the_queue_goes_on(tmp_path: Path, at_once: int) -> None:
    """Without a process: the pool breaks, once or each time that this job comes up, and takes nothing more then."""
    tries: list[str] = []

    class Breaking(Here):
        broken = False

        def submit(self, fn: object, /, *args: object, **named: object) -> Future[Made]:  # type: ignore[override]
            if self.broken:
                raise BrokenExecutor
            return super().submit(fn, *args, **named)

    def pool_that_breaks(times: int) -> Here:
        def does(task: Task) -> Made:
            tries.append(task.name)
            if task.name == "killer" and tries.count("killer") <= times:
                pool.broken = True
                raise BrokenExecutor
            return made(task)

        pool = Breaking(does)
        return pool

    tasks = [task("killer"), task("Lot 2"), task("Lot 3")]
    for times, outcome, why in ((1, "made", ""), (2, "failed", "its worker was killed, twice")):
        tries.clear()
        found = run_batch(tasks, tmp_path / str(times), functools.partial(pool_that_breaks, times), at_once=at_once)
        assert [(done.name, done.outcome) for done in found] == [
            ("killer", outcome),
            ("Lot 2", "made"),
            ("Lot 3", "made"),
        ]
        assert found[0].why == why
        assert sorted(tries) == ["Lot 2", "Lot 3", "killer", "killer"]


def test_a_full_disk_leaves_the_last_packet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No half file, nothing lost, and the next run carries on."""
    run_batch([task("Lot 1")], tmp_path, lambda: Here(made))
    plain = Path.write_bytes

    def full(self: Path, content: bytes) -> int:
        if self.name == PERMIT_NAME:
            plain(self, content[:2])
            raise OSError(errno.ENOSPC, "No space left on device")
        return plain(self, content)

    monkeypatch.setattr(Path, "write_bytes", full)
    (done,) = run_batch([task("Lot 1", 1600)], tmp_path, lambda: Here(made))
    assert done.outcome == "failed"
    assert "No space left" in done.why
    monkeypatch.undo()
    assert (tmp_path / "Lot 1" / PERMIT_NAME).read_bytes() == b"%PDF Lot 1"
    assert [path.name for path in tmp_path.iterdir() if path.is_dir()] == ["Lot 1"]
    (done,) = run_batch([task("Lot 1", 1600)], tmp_path, lambda: Here(made))
    assert done.outcome == "made"


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_a_run_that_is_ended_is_carried_on(tmp_path: Path, how: signal.Signals) -> None:
    """Ctrl-C or a kill in mid-run: whole packets stay, and the next run makes the rest."""
    jobs, of = [], 4
    for number in range(of):
        path = tmp_path / f"lot-{number}.toml"
        path.write_bytes(job(f"Lot {number}"))
        jobs.append(str(path))
    out = tmp_path / "out"
    run = subprocess.Popen(
        [sys.executable, "-m", "calc", "packet", *jobs, "--out", str(out), "--jobs", "1"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # ignored where a shell runs this behind itself
    )  # fmt: skip
    deadline = time.monotonic() + 60
    while not list(out.glob("[!.]*/permit-set.pdf")) and time.monotonic() < deadline:
        time.sleep(0.05)
    os.killpg(run.pid, how)
    assert run.wait(30) == (130 if how == signal.SIGINT else -signal.SIGKILL)
    there = {path.parent.name for path in out.glob("[!.]*/permit-set.pdf")}
    assert there
    assert len(there) < of
    assert all(path.read_bytes().rstrip().endswith(b"%%EOF") for path in out.glob("[!.]*/permit-set.pdf"))
    done = subprocess.run(
        [sys.executable, "-m", "calc", "packet", *jobs, "--out", str(out)], capture_output=True, text=True, check=True
    )
    assert f"unchanged: {len(there)}" in done.stdout
    assert f"made: {of - len(there)}" in done.stdout


def test_two_runs_on_one_folder_take_turns(tmp_path: Path) -> None:
    commands = []
    path = tmp_path / "lot.toml"
    path.write_bytes(job("Lot"))
    other = tmp_path / "lot-2.toml"
    other.write_bytes(job("Lot 2"))
    for _ in range(2):
        commands.append(
            subprocess.Popen(
                [sys.executable, "-m", "calc", "packet", str(path), str(other), "--out", str(tmp_path / "out")],
                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            )
        )  # fmt: skip
    for command in commands:
        said, wrong = command.communicate(timeout=120)
        assert command.returncode == 0, wrong
        assert "failed: 0" in said
    for name in ("Lot", "Lot 2"):
        folder = tmp_path / "out" / name
        record = json.loads((folder / "made.json").read_text())
        assert record["fingerprint"]
        assert (folder / PERMIT_NAME).read_bytes().rstrip().endswith(b"%%EOF")


def test_two_files_of_one_name_are_bad_input_and_no_fault_of_ours(tmp_path: Path) -> None:
    """Nothing is made of either, and the exit code says which side to look at."""
    files = [tmp_path / "one.toml", tmp_path / "copy.toml"]
    for path in files:
        path.write_text('[code]\nedition = "2023"\n[job]\nname = "Lot 1"\n')
    assert make_batch(files, tmp_path / "out", workers=1) == 2
    assert not (tmp_path / "out" / "Lot 1").exists()


def test_two_jobs_of_one_name_are_both_told(tmp_path: Path) -> None:
    found = run_batch([task("Lot 1"), task("Lot 1", 1600)], tmp_path, lambda: Here(made))
    assert [done.why for done in found] == ["another job of this batch has the same name"]


def test_a_task_is_put_together_when_its_turn_comes(tmp_path: Path) -> None:
    """Of thousands of lots the first packet begins before the last job file is written; one that can't be is told."""
    told: list[str] = []

    def make(name: str) -> Task:
        told.append(f"put together {name}")
        if name == "b":
            raise PacketError("its amendments file is gone")
        return task(name)

    later = [Later(name, partial(make, name)) for name in ("a", "b", "c")]
    found = run_batch(
        later, tmp_path, lambda: Here(made), lambda done, at, of: told.append(f"{done.name} {done.outcome}"), 1
    )
    assert told == ["put together a", "a made", "put together b", "b failed", "put together c", "c made"]
    assert [done.why for done in found] == ["", "its amendments file is gone", ""]


def test_the_outcome_of_each_is_heard_in_turn(tmp_path: Path) -> None:
    heard: list[tuple[str, int, int]] = []

    def told(done: Done, at: int, of: int) -> None:
        heard.append((done.name, at, of))

    run_batch([task("a"), task("b")], tmp_path, lambda: Here(made), told, at_once=1)
    assert heard == [("a", 1, 2), ("b", 2, 2)]


def test_a_cluster_makes_the_same_packet_though_a_worker_is_killed(tmp_path: Path) -> None:
    """A real scheduler and two workers on loopback, one of them killed in mid-run; nothing is lost."""
    distributed = pytest.importorskip("distributed")
    environment = {**os.environ, "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "3"}
    scheduler_file = tmp_path / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    scheduler = subprocess.Popen(
        [sys.executable, "-m", "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard",
         "--scheduler-file", str(scheduler_file)], env=environment, **quiet,
    )  # fmt: skip
    workers = []
    try:
        deadline = time.monotonic() + 30
        while not scheduler_file.exists() and time.monotonic() < deadline:
            time.sleep(0.1)
        time.sleep(0.3)
        address = json.loads(scheduler_file.read_text())["address"]
        for number in range(2):
            workers.append(
                subprocess.Popen(
                    [sys.executable, "-m", "distributed.cli.dask_worker", address, "--host", "127.0.0.1",
                     "--nthreads", "1", "--no-dashboard", "--no-nanny", "--name", f"w{number}",
                     "--local-directory", str(tmp_path / f"w{number}")], env=environment, **quiet,
                )
            )  # fmt: skip
        client = distributed.Client(address)
        client.wait_for_workers(2, timeout=30)
        one = [NOTEBOOKS / RUN[-1]]  # a worker of a cluster starts a kernel for each notebook
        tasks = [task_for(Path("job.toml"), job(f"Lot {number}"), one) for number in range(4)]

        def told(done: Done, at: int, of: int) -> None:
            if at == 1:
                workers[0].kill()

        found = run_batch(tasks, tmp_path / "out", lambda: pool.Cluster(address), told, at_once=4)
        client.close()
        assert [done.outcome for done in found] == ["made"] * 4, [done.why for done in found]
        alone = run_task(tasks[0]).files[PERMIT_NAME]
        assert (tmp_path / "out" / "Lot 0" / PERMIT_NAME).read_bytes() == alone
    finally:
        for process in [*workers, scheduler]:
            process.kill()
            process.wait()
