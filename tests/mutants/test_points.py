"""The changes themselves: each can be made, none is of layout, and every survivor that is excused is still there."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tests.mutants.code import ROOMS, ROOT, SURVIVORS, TESTS, files_of
from tests.mutants.points import changed, points

SOURCE = """
from textwrap import wrap

class Both(Base):
    def __init__(self, reason):
        super().__init__(reason)
        self.lines = wrap(reason, 100, subsequent_indent=" " * 9)

    def fits(self, most):
        return len(self.lines) <= most and all(zip(self.lines, self.lines, strict=True))
"""


def test_each_change_gives_other_code_that_can_stand_in_the_functions_place(tmp_path: Path) -> None:
    """Also where the only use of super() is left out."""
    file = tmp_path / "both.py"
    file.write_text(SOURCE)
    found = points(file, tmp_path)
    assert [point.kind for point in found] == ["statement left out", "operator", "comparison", "opposite"]
    space = {"Base": object}
    exec(SOURCE, space)
    for point in found:
        function = vars(space["Both"])[point.function.removeprefix("Both.")]
        code = changed(file, point)
        assert code.co_code != function.__code__.co_code or code.co_names != function.__code__.co_names
        function.__code__ = code


@pytest.mark.parametrize("path", [path for paths in TESTS.values() for path in paths])
def test_the_tests_that_judge_a_layer_are_there(path: str) -> None:
    file, _, test = path.partition("::")
    assert (ROOT / file).exists()
    assert not test or f"def {test}(" in (ROOT / file).read_text()


@pytest.mark.parametrize("layer", TESTS)
def test_each_excused_survivor_is_a_change_that_can_still_be_made_and_says_why(layer: str) -> None:
    excused = [e for e in tomllib.loads(SURVIVORS.read_text())["equal"] if Path(e["file"]).parts[1] in ROOMS[layer]]
    files = [file for file in files_of(layer) if str(file.relative_to(ROOT)) in {each["file"] for each in excused}]
    there = {(p.file, p.function, p.source, p.kind) for file in files for p in points(file, ROOT)}
    for each in excused:
        assert (each["file"], each["function"], each["source"], each["kind"]) in there, each
        assert each["why"].endswith("."), each
