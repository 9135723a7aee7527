"""A job file to its packet: run the notebooks, collect what they showed, typeset it, and only then replace the last one."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from calc.job import Job, read_job
from calc.packet.collect import Collected, CollectError, collect
from calc.packet.document import sheets_json
from calc.packet.install import STAGE, clear_left_over, install
from calc.packet.permit import ANNEX_NAME, PERMIT_NAME, NoPermitSet, permit_set
from calc.packet.record import RECORD_NAME, check_source, source_of
from calc.packet.runner import papermill
from calc.packet.typeset import TypesetError, set_pdf, typeset
from calc.packet.warm import LONGEST_CELL_S
from calc.work import PASSES

SHEETS_NAME = "sheets.json"
FAILED_PREFIX = "failed-"
TEACHES = "teach"
"""The tag of a cell that is for whoever has the notebook open: its drawing, a step by hand, its exercise."""
_LONGEST_SOCKET_FOLDER = 50
_PERSON = ("JPY_SESSION_NAME", "SERVER_SOFTWARE")  # by these a notebook knows that a person has its page open

Json = dict[str, Any]


class PacketError(RuntimeError):
    """No packet was made, and the last one stands as it was; one line says where and why."""


@dataclass(frozen=True)
class PacketResult:
    """A packet made: its folder and files, the verdict of the whole, and page 1's figures."""

    folder: Path
    pdf: Path
    """The permit set."""
    annex: Path
    sheets: Path
    notebooks: list[Path]
    verdict: Json
    figures: Json

    @property
    def passes(self) -> bool:
        """Whether everything in its scope is worked and passes."""
        return bool(self.verdict["status"] == PASSES)


def packet_notebooks(folder: Path, kind: Literal["packet", "walk", "owner"] = "packet") -> list[Path]:
    """The notebooks of a folder that belong in a packet of a kind, by name: permit packet, crew's packet, owner's page.

    Those say so in their metadata: {"studbay": {"family": ..., "packet": true}}. Other files are passed over.
    """
    return [path for path in sorted(folder.glob("*.ipynb")) if _belongs(path, kind)]


def _belongs(path: Path, kind: str) -> bool:
    try:
        ours = json.loads(path.read_text(encoding="utf-8"))["metadata"]["studbay"]
    except (OSError, ValueError, KeyError, TypeError):
        return False
    return isinstance(ours, dict) and ours.get(kind) is True


def make_packet(
    job_path: Path,
    *,
    notebooks: list[Path],
    out_dir: Path,
    attachments: bool = True,
    engine: str | None = None,
    progress: Callable[[str], None] = lambda text: None,
    longest_cell_s: int = LONGEST_CELL_S,
    annex: str = "",
) -> PacketResult:
    """Make out_dir/<job's name>/ with permit-set.pdf, worked-annex.pdf, sheets.json and the executed notebooks.

    engine: a papermill engine by name, the stock one if None; progress: told in words what goes on; annex: where one that
    is made elsewhere stands, in words: then none is made.
    Nothing there changes until everything is made; a notebook that fails is kept beside the last good packet as
    failed-<notebook>. Raises JobError for a job file that can't be read, PacketError for all else.
    """
    folder, executed, collected = produced(
        job_path, notebooks=notebooks, out_dir=out_dir, within="", last=PERMIT_NAME,
        setting=lambda found, stage, job: _set(found, stage, job, job_path.read_bytes(), attachments, annex),
        engine=engine, progress=progress, longest_cell_s=longest_cell_s,
    )  # fmt: skip
    return PacketResult(
        folder=folder,
        pdf=folder / PERMIT_NAME,
        annex=folder / ANNEX_NAME,
        sheets=folder / SHEETS_NAME,
        notebooks=executed,
        verdict=collected.verdict,
        figures=(collected.document_for("office") or {}).get("figures", {}),
    )


def produced(
    job_path: Path,
    *,
    notebooks: list[Path],
    out_dir: Path,
    within: str,
    last: str,
    setting: Callable[[Collected, Path, Job], None],
    engine: str | None,
    progress: Callable[[str], None],
    longest_cell_s: int,
) -> tuple[Path, list[Path], Collected]:
    """Run notebooks, have what they showed set into a stage, and put it in place whole: folder, notebooks, displays.

    The folder is out_dir/<job's name>/, and ``within`` it; ``last`` is the file that is put in place after the others.
    """
    job = read_job(job_path)
    name = job.job.name
    folder = out_dir / name / within
    check_source(folder, job_path, name)
    folder.parent.mkdir(parents=True, exist_ok=True)
    clear_left_over(out_dir)
    with tempfile.TemporaryDirectory(prefix=f"{STAGE}{name}-", dir=out_dir) as made:
        stage = Path(made).resolve()  # papermill changes the working directory while it runs
        with _nobody_looking():
            executed = [_execute(path, stage, folder, job_path, engine, progress, longest_cell_s) for path in notebooks]
        progress("setting the packet")
        try:
            collected = collect(executed)
            if not collected.displays:
                raise PacketError(f"{name}: no notebook had anything to show for this job; nothing was made")
            setting(collected, stage, job)
        except (CollectError, NoPermitSet, TypesetError) as error:
            raise PacketError(str(error)) from error
        if hashlib.sha256(job_path.read_bytes()).hexdigest() != job.fingerprint:
            raise PacketError(f"{job_path}: changed while its packet was being made; run it again")
        (stage / RECORD_NAME).write_text(json.dumps({"source": source_of(job_path, folder)}), encoding="utf-8")
        install(stage, folder, last=last, replaces="*.ipynb")
    return folder, [folder / path.name for path in executed], collected


def _set(collected: Collected, stage: Path, job: Job, raw: bytes, attachments: bool, annex: str) -> None:
    """Typeset the permit packet into the stage."""
    if collected.of("walk"):
        raise PacketError(f"{job.job.name}: a notebook of the permit packet shows a fix list or walk sheet; they are for "
                          "the crew, not for the record of the office")  # fmt: skip
    text, dated = raw.decode("utf-8"), job.job.date or job.code.permit_date
    sheets = sheets_json(collected, job.job.name, job.fingerprint)
    permit = permit_set(
        collected,
        name=job.job.name,
        fingerprint=job.fingerprint,
        job_text=text,
        sheets=sheets,
        attachments=attachments,
        annex=annex,
    )
    if not annex:
        whole = typeset(
            collected,
            name=job.job.name,
            fingerprint=job.fingerprint,
            job_text=text,
            dated=dated,
            attachments=attachments,
        )
        (stage / ANNEX_NAME).write_bytes(whole)
    (stage / PERMIT_NAME).write_bytes(set_pdf("reader.typ", {"reader": permit}, dated))
    (stage / SHEETS_NAME).write_text(sheets, encoding="utf-8")


@contextmanager
def _nobody_looking() -> Iterator[None]:
    """A run started from a person's page has nobody at its own: its notebooks show the plain sheets.

    Nor does a kernel that is started meanwhile import what lies beside the job that it runs for.
    """
    page = {name: os.environ.pop(name) for name in _PERSON if name in os.environ}
    before = os.environ.get("PYTHONSAFEPATH", "")
    os.environ["PYTHONSAFEPATH"] = "1"
    try:
        yield
    finally:
        os.environ.update({**page, "PYTHONSAFEPATH": before})


def _execute(
    notebook: Path, stage: Path, folder: Path, job_path: Path, engine: str | None, progress: Callable[[str], None],
    longest_cell_s: int,
) -> Path:  # fmt: skip
    """Run one notebook into the stage; the one parameter is the job's path, seen from the job's own folder."""
    progress(f"running {notebook.name}")
    output = stage / notebook.name
    runner = papermill()
    from nbformat import from_dict

    try:
        ran = runner.execute_notebook(
            from_dict(as_run(notebook)),  # papermill checks all that it reads, stored outputs too
            str(output).replace("{", "{{").replace("}", "}}"),  # papermill fills in names between braces
            parameters={"job_path": job_path.name},
            engine_name=engine,
            cwd=str(job_path.resolve().parent),
            config=_transport(),
            progress_bar=False,
            execution_timeout=longest_cell_s,
        )
    except Exception as error:  # a notebook may raise anything, and so may a kernel that doesn't start
        raise PacketError(_why(notebook, output, folder, error)) from error
    output.write_text(_tidy(ran), encoding="utf-8")
    return output


def as_run(notebook: Path) -> Json:
    """A notebook as it is run for a packet: stored outputs don't matter, and cells that teach stand in it unrun."""
    data: Json = json.loads(notebook.read_text(encoding="utf-8"))
    data["cells"] = [_cell_as_run(cell) for cell in data["cells"]]
    return data


def _cell_as_run(cell: Json) -> Json:
    if cell["cell_type"] != "code":
        return cell
    if TEACHES in cell["metadata"].get("tags", ()):
        return {key: value for key, value in cell.items() if key not in ("outputs", "execution_count")} | {
            "cell_type": "raw"
        }
    return {**cell, "outputs": [], "execution_count": None}


def _transport() -> Any:
    """How to speak with a kernel: over files of this user where the system has them.

    TCP ports are open to other users of the machine, and runs side by side clash on them now and then.
    """
    from jupyter_core.paths import jupyter_runtime_dir
    from traitlets.config import Config

    short = len(jupyter_runtime_dir()) < _LONGEST_SOCKET_FOLDER  # the system limits a socket's path to about 100
    transport = {"KernelManager": {"transport": "ipc"}} if os.name == "posix" and short else {}
    return Config({**transport, "NotebookClient": {"extra_arguments": ["--InteractiveShellApp.ignore_cwd=True"]}})


def _why(notebook: Path, output: Path, folder: Path, error: Exception) -> str:
    """One line: notebook, cell, reason, and where the failed notebook was kept."""
    place = notebook.name
    if hasattr(error, "cell_index"):
        place += f", cell {_cell_number(output, error.cell_index)}"
    reason = f"{getattr(error, 'ename', type(error).__name__)}: {getattr(error, 'evalue', error)}"
    kept = ""
    if output.exists():
        folder.mkdir(exist_ok=True)
        kept_as = folder / f"{FAILED_PREFIX}{notebook.name}"
        shutil.copyfile(output, kept_as.with_suffix(".part"))
        os.replace(kept_as.with_suffix(".part"), kept_as)
        kept = f" (kept as {kept_as})"
    return f"{place}: {' '.join(reason.split())}{kept}"


def _cell_number(output: Path, index: int) -> int:
    """The failed cell's number in the notebook as written: papermill's own cells don't count."""
    cells = json.loads(output.read_text(encoding="utf-8"))["cells"]
    ours = [cell for cell in cells if not _by_papermill(cell)]
    failed = [
        number
        for number, cell in enumerate(ours, start=1)
        if any(output["output_type"] == "error" for output in cell.get("outputs", ()))
    ]
    return failed[0] if failed else index + 1


def _by_papermill(cell: Json) -> bool:
    tags = cell.get("metadata", {}).get("tags", ())
    return any(tag in tags for tag in ("injected-parameters", "papermill-error-cell-tag"))


def _tidy(data: Json) -> str:
    """The notebook without what papermill and the kernel noted of this machine and this hour: same job, same text."""
    data["metadata"]["language_info"] = {"name": "python"}  # a kernel adds its version, a warm run does not
    for part in (data, *data["cells"]):
        for key in ("papermill", "execution"):
            part["metadata"].pop(key, None)
        if _by_papermill(part):
            part["id"] = "parameters-given"  # papermill draws a new one each time
    return json.dumps(data, ensure_ascii=False) + "\n"  # indented, this takes ten times as long
