"""One packet as a piece of work that can travel: everything it needs goes in, everything made comes back.

So the same function serves a pool of processes here and a cluster whose workers share no disk.
"""

from __future__ import annotations

import hashlib
import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from calc.intake import NotTaken, taken, text_of, toml_of
from calc.job import parse_job
from calc.job.read import amendments_file
from calc.packet import warm
from calc.packet.permit import ANNEX_NAME, PERMIT_NAME
from calc.packet.run import SHEETS_NAME, PacketError, as_run, make_packet
from calc.work import Status

_PACKAGE = Path(__file__).parents[1]
_NAMED_JOB = "job.toml"


@dataclass(frozen=True)
class Task:
    """A job with its amendments files, their tables, and the notebooks to run for it, all by content."""

    name: str
    job: bytes
    amendments: Mapping[str, bytes]
    notebooks: Mapping[str, bytes]
    attachments: bool = True
    engine: str = "warm"
    longest_cell_s: int = warm.LONGEST_CELL_S
    source: str = ""  # the job file's path where the batch runs
    annex: str = ""  # where the annex stands, in words, that this packet shares with others
    of_plan: bool = False  # whether it is such an annex, and no packet

    @property
    def last(self) -> str:
        """The file that is put in place after all others, and without which nothing was made."""
        return ANNEX_NAME if self.of_plan else PERMIT_NAME

    @property
    def fingerprint(self) -> str:
        """What the packet follows from: job, amendments, notebooks, program. Same fingerprint, same packet."""
        whole = hashlib.sha256(program().encode())
        for part in (
            self.job,
            *_by_name(self.amendments),
            *_by_name(self.notebooks),
            f"{self.attachments} {self.annex} {self.of_plan}".encode(),
        ):
            whole.update(hashlib.sha256(part).digest())
        return whole.hexdigest()


@dataclass(frozen=True)
class Made:
    """A packet's files by name, how its sheets stand, and how long it took."""

    files: Mapping[str, bytes]
    status: Status
    verdict: str
    seconds: float
    figures: Mapping[str, Any] = field(default_factory=dict)
    falls_short: tuple[str, ...] = ()


def _by_name(files: Mapping[str, bytes]) -> list[bytes]:
    return [part for name in sorted(files) for part in (name.encode(), files[name])]


@cache
def program() -> str:
    """A fingerprint of the program itself: its code, data and templates."""
    whole = hashlib.sha256()
    roots = [_PACKAGE] + [root for root in (_PACKAGE.parent / "templates",) if root.is_dir()]
    for root in roots:
        for path in sorted(p for p in root.rglob("*") if p.is_file() and "__pycache__" not in p.parts):
            whole.update(path.relative_to(root).as_posix().encode())
            whole.update(path.read_bytes())
    return whole.hexdigest()


def run_task(task: Task) -> Made:
    """Make the packet in a folder of its own and give it back. Raises PacketError and JobError as `make_packet`."""
    began = time.perf_counter()
    engine = None
    if task.engine == "warm" and warm.available():
        engine = warm.register()
    with TemporaryDirectory(prefix="studbay-") as made:
        here = Path(made)
        job = here / _NAMED_JOB
        job.write_bytes(task.job)
        amendments = here / "amendments"  # apart from the job, whose name here one of them may have
        amendments.mkdir()
        for name, content in task.amendments.items():
            (amendments / name).write_bytes(content)
        notebooks = here / "notebooks"
        notebooks.mkdir()
        for name, content in task.notebooks.items():
            (notebooks / name).write_bytes(content)
        packet = make_packet(
            job, notebooks=sorted(notebooks.glob("*.ipynb")), out_dir=here / "reports",
            attachments=task.attachments, engine=engine, longest_cell_s=task.longest_cell_s, annex=task.annex,
        )  # fmt: skip
        files = {path.name: path.read_bytes() for path in sorted(packet.folder.iterdir()) if path.is_file()}
    if task.of_plan:
        del files[PERMIT_NAME]
    sheets = json.loads(files[SHEETS_NAME])["sheets"]
    return Made(
        files,
        packet.verdict["status"],
        packet.verdict["verdict"],
        time.perf_counter() - began,
        packet.figures,
        _short(sheets, task.name),
    )


def _short(sheets: list[dict[str, Any]], job: str) -> tuple[str, ...]:
    """What does not pass, each by what it is about: the circuit, the box, and for the house as a whole the calculation."""
    about = [(s["title"] if s["subject"] == job else s["subject"], s) for s in sheets]
    return (
        *(f"{name}: {check['name']}" for name, s in about for check in s["checks"] if not check["passes"]),
        *(f"{name}: {s['status']}, {s['refused']['reason']}" for name, s in about if s["refused"]),
        *(f"{name}: {each['name']} is not shown, {each['missing']}" for name, s in about for each in s["not_shown"]),
    )


def task_for(path: Path, job: bytes, notebooks: list[Path], **options: Any) -> Task:
    """The task of a job, whose amendments files lie beside ``path``. JobError for a job that can't be read."""
    read = parse_job(job, path)
    amendments: dict[str, bytes] = {}
    for name in read.code.amendments:
        amendments |= _with_tables(path, name)
    running = {path.name: json.dumps(as_run(path), ensure_ascii=False).encode() for path in notebooks}
    return Task(read.job.name, job, amendments, running, source=str(path), **options)


def _with_tables(job: Path, name: str) -> dict[str, bytes]:
    """An amendments file of a job and the tables it names, which lie beside it. PacketError where it is not there."""
    file = amendments_file(job, name)
    try:
        content = taken(file, kind="file of amendments")
        beside = [file.parent / table for table in _tables(content)]
        return {name: content} | {table.name: taken(table, kind="table") for table in beside if table.exists()}
    except NotTaken as error:
        raise PacketError(f"{job}: its amendments file {name}: {error}") from None


def _tables(amendments: bytes) -> list[str]:
    """File names of the tables that an amendments file brings; what is wrong with one is told when the job is worked."""
    try:
        rules = toml_of(text_of(amendments)).get("rules", {})
    except NotTaken:
        return []
    named = [rule.get("table") for rule in rules.values() if isinstance(rule, dict)] if isinstance(rules, dict) else []
    return [table for table in named if isinstance(table, str) and Path(table).name == table]
