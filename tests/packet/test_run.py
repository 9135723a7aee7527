"""From notebooks to a packet on disk: what runs, what is kept when something fails, and what is replaced when not."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from papermill.engines import Engine, papermill_engines

from calc.job import JobError
from calc.packet import PacketError, PacketResult, make_packet, packet_notebooks, restore_job
from calc.packet.install import STAGE, install
from calc.packet.run import _transport
from tests.packet import samples
from tests.packet.reading import text_of

JOB = '[code]\nedition = "2023"\n\n[job]\nname = "sorrel-12"  # kept\ndate = 2024-03-05\n'


class InProcess(Engine):  # type: ignore[misc]
    """Runs cells in this process: a kernel start for each test would take minutes."""

    @classmethod
    def execute_managed_notebook(cls, nb_man: Any, kernel_name: str, **kwargs: Any) -> None:
        import nbformat

        names: dict[str, Any] = {"outputs": None}
        for index, cell in enumerate(nb_man.nb.cells):
            if cell.cell_type != "code":
                continue
            nb_man.cell_start(cell, index)
            shown: list[Any] = []
            names["show"] = shown.append
            try:
                exec(cell.source, names)
            except Exception as error:
                output = nbformat.v4.new_output("error", ename=type(error).__name__, evalue=str(error), traceback=[])
                cell.outputs = [output]
                nb_man.cell_exception(cell, index, exception=error)
                break
            cell.outputs = [nbformat.from_dict(item) for item in shown]
            nb_man.cell_complete(cell, index)


@pytest.fixture(autouse=True, scope="module")
def in_process() -> Iterator[None]:
    papermill_engines.register("in-process", InProcess)
    yield
    del papermill_engines._engines["in-process"]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "jobs" / "job.toml"
    path.parent.mkdir()
    path.write_text(JOB)
    return path


def written(path: Path, *sources: str, packet: object = True) -> Path:
    """A notebook to be run, with a parameters cell first."""
    path.parent.mkdir(exist_ok=True)
    cells: list[dict[str, Any]] = [
        {"cell_type": "markdown", "metadata": {}, "source": "# Title", "id": "a"},
        {
            "cell_type": "code", "metadata": {"tags": ["parameters"]}, "source": 'job_path = "demo.toml"', "id": "b",
            "outputs": [], "execution_count": None,
        },
    ]  # fmt: skip
    cells += [
        {"cell_type": "code", "metadata": {}, "source": source, "id": f"c{i}", "outputs": [], "execution_count": None}
        for i, source in enumerate(sources)
    ]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    metadata = {"kernelspec": kernel, "studbay": {"family": "dwelling-load", "packet": packet}}
    path.write_text(json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": metadata, "cells": cells}))
    return path


def showing(*outputs: dict[str, Any]) -> str:
    return "\n".join(f"show({output!r})" for output in outputs)


DOCUMENT = samples.output("document", samples.document())
GOOD = showing(DOCUMENT, samples.output("sheet", samples.dwelling_sheet()))
BAD = "x = 1\n1 / 0"


def run(job: Path, tmp_path: Path, *notebooks: Path, **changes: Any) -> PacketResult:
    given: dict[str, Any] = {"notebooks": list(notebooks), "out_dir": tmp_path / "reports", "engine": "in-process"}
    return make_packet(job, **(given | changes))


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_a_packet_is_made_and_is_the_same_when_made_again(job: Path, tmp_path: Path) -> None:
    good = written(tmp_path / "nb" / "1.ipynb", GOOD)
    said: list[str] = []
    made = run(job, tmp_path, good, progress=said.append)
    assert made.folder == tmp_path / "reports" / "sorrel-12"
    assert made.passes
    first = files(made.folder)
    assert sorted(first) == ["1.ipynb", "made.json", "permit-set.pdf", "sheets.json", "worked-annex.pdf"]
    assert restore_job(made.pdf) == restore_job(made.annex) == JOB
    assert json.loads(first["sheets.json"])["sheets"] == [samples.dwelling_sheet()]
    assert said == ["running 1.ipynb", "setting the packet"]
    run(job, tmp_path, good)
    assert files(made.folder) == first
    assert os.listdir(tmp_path / "reports") == ["sorrel-12"]


def test_what_is_being_made_lies_in_a_hidden_folder_beside_what_is_there(job: Path, tmp_path: Path) -> None:
    """By its name, a later run clears what a killed one left."""
    there: list[str] = []
    run(
        job,
        tmp_path,
        written(tmp_path / "nb" / "1.ipynb", GOOD),
        progress=lambda _: there.extend(os.listdir(tmp_path / "reports")),
    )
    assert {name for name in there if name.startswith(STAGE + "sorrel-12-")} == set(there)
    assert there


def test_a_notebook_is_given_the_job_and_nothing_of_this_machine(job: Path, tmp_path: Path) -> None:
    look = written(tmp_path / "nb" / "1.ipynb", "assert job_path == 'job.toml' and open(job_path).read()", GOOD)
    made = run(job, tmp_path, look)
    assert str(tmp_path) not in made.notebooks[0].read_text()
    assert "papermill" not in made.notebooks[0].read_text()


def test_a_run_from_a_person_s_page_is_not_taken_for_that_page(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("JPY_SESSION_NAME", "a person's page")
    alone = "import os\nassert 'JPY_SESSION_NAME' not in os.environ"
    assert run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", alone, GOOD)).passes
    assert os.environ["JPY_SESSION_NAME"] == "a person's page"


def test_what_falls_short_or_is_refused_is_counted(job: Path, tmp_path: Path) -> None:
    short = samples.dwelling_sheet(subject="A")
    short["checks"][0]["passes"], short["status"] = False, "falls short"
    refused = samples.dwelling_sheet(
        subject="B", refused={"reason": "not covered", "sections": [], "missing": None}, status="not worked"
    )
    made = run(
        job,
        tmp_path,
        written(
            tmp_path / "nb" / "1.ipynb", showing(DOCUMENT, *(samples.output("sheet", s) for s in (short, refused)))
        ),
    )
    assert (made.verdict["status"], made.passes) == ("falls short", False)


def test_a_failing_notebook_leaves_the_last_good_packet(job: Path, tmp_path: Path) -> None:
    good, bad = written(tmp_path / "nb" / "1.ipynb", GOOD), written(tmp_path / "nb" / "2.ipynb", "y = 2", BAD, "z = 3")
    made = run(job, tmp_path, good)
    before = files(made.folder)
    with pytest.raises(PacketError) as caught:
        run(job, tmp_path, good, bad)
    kept = made.folder / "failed-2.ipynb"
    assert str(caught.value) == f"2.ipynb, cell 4: ZeroDivisionError: division by zero (kept as {kept})"
    assert "ZeroDivisionError" in kept.read_text()
    assert {name: data for name, data in files(made.folder).items() if name != kept.name} == before
    assert os.listdir(tmp_path / "reports") == ["sorrel-12"]
    run(job, tmp_path, good)
    assert files(made.folder) == before, "the failed notebook goes when a packet is made"


def test_the_reason_is_one_line_whatever_a_notebook_raises(job: Path, tmp_path: Path) -> None:
    bad = written(tmp_path / "nb" / "1.ipynb", "raise ValueError('job.toml, line 3:\\n  no area\\n')")
    with pytest.raises(
        PacketError, match=r"^1\.ipynb, cell 3: ValueError: job\.toml, line 3: no area \(kept as [^\n]+\)$"
    ):
        run(job, tmp_path, bad)


def test_a_display_that_can_t_be_used_fails_the_same_way(job: Path, tmp_path: Path) -> None:
    good = written(tmp_path / "nb" / "1.ipynb", GOOD)
    made = run(job, tmp_path, good)
    before = files(made.folder)
    bad = written(tmp_path / "nb" / "1.ipynb", showing(samples.output("sheet", {"schema_version": 2})))
    with pytest.raises(PacketError, match=r"1\.ipynb, cell \d: the sheet lacks"):
        run(job, tmp_path, bad)
    svg = showing(DOCUMENT, samples.output("chart", samples.chart(), "<svg"))
    with pytest.raises(PacketError, match="can't be typeset"):
        run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", svg))
    assert files(made.folder) == before


def test_a_notebook_without_its_part_contributes_nothing(job: Path, tmp_path: Path) -> None:
    empty = written(tmp_path / "nb" / "2.ipynb", "pass")
    made = run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", GOOD), empty)
    assert "Dwelling load" in text_of(made.annex.read_bytes())
    with pytest.raises(PacketError, match="no notebook had anything to show"):
        run(job, tmp_path, empty)


def test_without_a_permit_set_nothing_is_made(job: Path, tmp_path: Path) -> None:
    sheets = written(tmp_path / "nb" / "1.ipynb", showing(samples.output("sheet", samples.dwelling_sheet())))
    with pytest.raises(PacketError, match="no notebook of the packet shows a permit set"):
        run(job, tmp_path, sheets)
    assert not (tmp_path / "reports" / "sorrel-12").exists()


def test_the_permit_set_names_the_annex_by_what_its_sheets_are(job: Path, tmp_path: Path) -> None:
    """Another number on a sheet is another fingerprint."""
    named = []
    for subject in ("A", "A", "B"):
        sheet = samples.output("sheet", samples.dwelling_sheet(subject=subject))
        made = run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", showing(DOCUMENT, sheet)))
        (mark,) = re.findall(r"worked-annex\.pdf, fingerprint ([0-9a-f]{12})", text_of(made.pdf.read_bytes(), 1))
        named.append(mark)
    assert named[0] == named[1] != named[2]


def test_a_job_edited_meanwhile_makes_no_packet(job: Path, tmp_path: Path) -> None:
    meddling = written(tmp_path / "nb" / "1.ipynb", GOOD, "open(job_path, 'a').write('# more')")
    with pytest.raises(PacketError, match="changed while its packet was being made"):
        run(job, tmp_path, meddling)
    assert not (tmp_path / "reports" / "sorrel-12").exists()


def test_a_bad_job_file_runs_nothing(tmp_path: Path) -> None:
    with pytest.raises(JobError):
        run(tmp_path / "gone.toml", tmp_path)
    assert not (tmp_path / "reports").exists()


def test_paths_may_be_relative(job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written(tmp_path / "nb" / "1.ipynb", GOOD)
    monkeypatch.chdir(tmp_path)
    made = run(Path("jobs/job.toml"), Path(), Path("nb/1.ipynb"))
    assert made.pdf == Path("reports/sorrel-12/permit-set.pdf")
    assert sorted(files(made.folder)) == ["1.ipynb", "made.json", "permit-set.pdf", "sheets.json", "worked-annex.pdf"]


def test_attachments_can_be_left_out(job: Path, tmp_path: Path) -> None:
    made = run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", GOOD), attachments=False)
    assert "No attachments." in text_of(made.pdf.read_bytes(), 1)


@pytest.mark.parametrize(("folder", "over_files"), [("/run/user/1", True), ("/run/" + "x" * 60, False)])
def test_kernels_are_spoken_to_over_files_where_their_path_is_short(
    folder: str, over_files: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A socket's path is limited by the system; beyond it only ports of this machine are left."""
    monkeypatch.setattr("jupyter_core.paths.jupyter_runtime_dir", lambda: folder)
    config = _transport()
    assert (config.KernelManager.get("transport") == "ipc") == over_files
    assert config.NotebookClient.extra_arguments == ["--InteractiveShellApp.ignore_cwd=True"]


def test_only_notebooks_that_say_so_belong_in_a_packet(tmp_path: Path) -> None:
    folder = tmp_path / "nb"
    second, first = written(folder / "02.ipynb"), written(folder / "01.ipynb")
    written(folder / "00.ipynb", packet=False)
    written(folder / "03.ipynb", packet="yes")
    (folder / "04.ipynb").write_text("not a notebook")
    (folder / "05.ipynb").write_text('{"metadata": {"studbay": true}}')
    assert packet_notebooks(folder) == [first, second]


def test_a_real_kernel_runs_and_its_death_is_told(job: Path, tmp_path: Path) -> None:
    shown = DOCUMENT["data"] | samples.output("sheet", samples.dwelling_sheet())["data"]
    good = written(tmp_path / "nb" / "1.ipynb", f"from IPython.display import display\ndisplay({shown!r}, raw=True)")
    made = run(job, tmp_path, good, engine=None)
    assert "Dwelling load, standard method" in text_of(made.annex.read_bytes())
    with pytest.raises(PacketError, match=r"^2\.ipynb.*: DeadKernelError: Kernel died"):
        run(job, tmp_path, good, written(tmp_path / "nb" / "2.ipynb", "import os; os._exit(1)"), engine=None)
    assert "Dwelling load, standard method" in text_of(made.annex.read_bytes())


def test_installing_keeps_others_files_and_drops_stale_ones(tmp_path: Path) -> None:
    stage, folder = tmp_path / "stage", tmp_path / "folder"
    stage.mkdir()
    folder.mkdir()
    for name in ("old.ipynb", "notes.txt", "permit-set.pdf"):
        (folder / name).write_text("old")
    for name in ("new.ipynb", "permit-set.pdf"):
        (stage / name).write_text("new")
    install(stage, folder, last="permit-set.pdf", replaces="*.ipynb")
    assert files(folder) == {"new.ipynb": b"new", "notes.txt": b"old", "permit-set.pdf": b"new"}


def test_installing_puts_all_back_when_one_step_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stage, folder = tmp_path / "stage", tmp_path / "folder"
    stage.mkdir()
    folder.mkdir()
    (folder / "a").write_text("old")
    (folder / "permit-set.pdf").write_text("old")
    for name in ("a", "b", "permit-set.pdf"):
        (stage / name).write_text("new")
    replace = os.replace

    def failing(source: Any, target: Any) -> None:
        if Path(source) == stage / "permit-set.pdf":
            raise OSError(28, "No space left on device")
        replace(source, target)

    monkeypatch.setattr(os, "replace", failing)
    with pytest.raises(OSError, match="No space left"):
        install(stage, folder, last="permit-set.pdf", replaces="*.ipynb")
    assert files(folder) == {"a": b"old", "permit-set.pdf": b"old"}


def test_another_job_file_of_the_same_name_overwrites_no_packet(job: Path, tmp_path: Path) -> None:
    """A copied file is enough: told apart by the file that the packet was made from, not by what it says."""
    notebook = written(tmp_path / "notebooks" / "01-a.ipynb", GOOD)
    made = run(job, tmp_path, notebook)
    before = files(made.folder)
    copy = job.with_name("copy.toml")
    copy.write_text(JOB)
    with pytest.raises(
        JobError, match=r"copy\.toml: is called 'sorrel-12', as is .*job\.toml, whose packet is in .*sorrel-12"
    ):
        run(copy, tmp_path, notebook)
    assert files(made.folder) == before
    assert run(copy, tmp_path, notebook, out_dir=tmp_path / "elsewhere").pdf.exists()
    run(job, tmp_path, notebook)  # its own is made anew
    job.write_text(JOB.replace("sorrel-12", "sorrel-13"))
    assert run(copy, tmp_path, notebook).folder == made.folder, "the name is free again"


def test_braces_in_names_are_nothing_to_fill_in(job: Path, tmp_path: Path) -> None:
    job.write_text(JOB.replace("sorrel-12", "a{b}{0.__class__}{"))
    made = run(job, tmp_path, written(tmp_path / "notebooks" / "01-a.ipynb", GOOD), out_dir=tmp_path / "{out}")
    assert made.pdf == tmp_path / "{out}" / "a{b}{0.__class__}{" / "permit-set.pdf"
    assert made.pdf.exists()


def test_what_a_killed_run_left_is_cleared_and_nothing_else(job: Path, tmp_path: Path) -> None:
    """Only stages of ours that are older than any run: hidden folders of other programs lie in the same place."""
    reports = tmp_path / "reports"
    names = [".studbay-stage-x-1", ".studbay-stage-y-2", ".other-program"]
    for name in names:
        (reports / name).mkdir(parents=True)
    for name in (names[0], names[2]):
        os.utime(reports / name, (0, 0))
    run(job, tmp_path, written(tmp_path / "notebooks" / "01-a.ipynb", GOOD))
    assert sorted(path.name for path in reports.glob(".*")) == [".other-program", ".studbay-stage-y-2"]


def test_a_kernel_imports_nothing_that_lies_beside_the_job(job: Path, tmp_path: Path) -> None:
    """Papermill's own way runs a kernel in the job's folder, which may be anybody's: no module of theirs is found."""
    for name in ("beside", "ipykernel_launcher", "ipykernel"):
        job.with_name(f"{name}.py").write_text(f"open({str(tmp_path / 'ran')!r}, 'w')")
    looked = 'try:\n    import beside\nexcept ModuleNotFoundError:\n    pass\nelse:\n    raise RuntimeError("found it")'
    with pytest.raises(PacketError, match="no notebook had anything to show"):
        run(job, tmp_path, written(tmp_path / "notebooks" / "01-a.ipynb", looked), engine=None)
    assert not (tmp_path / "ran").exists()
