"""The learner's annex: made from the packet's notebooks, in a folder of its own, and it reopens."""

from __future__ import annotations

from pathlib import Path

from calc.packet import restore_job
from calc.packet.learner import make_learner
from tests.packet import samples
from tests.packet.reading import text_of
from tests.packet.samples import output
from tests.packet.test_run import in_process, showing, written  # noqa: F401

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "cask-lane-27.toml"


def test_it_has_each_reason_stands_in_its_folder_and_reopens(tmp_path: Path) -> None:
    notebook = written(tmp_path / "nb" / "1.ipynb", showing(output("sheet", samples.dwelling_sheet())))
    made = make_learner(DEMO, notebooks=[notebook], out_dir=tmp_path / "reports", engine="in-process")
    assert made.pdf == tmp_path / "reports" / "cask-lane-27" / "learner" / "learner.pdf"
    assert made.passes
    text = text_of(made.pdf.read_bytes())
    assert "Worked calculations to learn from" in text
    assert "A house never burns every lamp at once" in text
    assert restore_job(made.pdf) == DEMO.read_text(encoding="utf-8")
