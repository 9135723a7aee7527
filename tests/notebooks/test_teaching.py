"""Each family's notebook teaches: a drawing with its formula, a step by hand that agrees, an exercise, the way on."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path
from typing import Any

import pytest

from calc.codebook import editions
from calc.families import families
from calc.packet.run import TEACHES, as_run
from calc.show.lettering import width_pt
from calc.show.opening import SIZE_PT, WIDTH_PT, drawn, opening_html, opening_of, opening_text
from calc.show.reference import page_of
from calc.workplace import shipped_notebooks

FOLDER = shipped_notebooks()
JOBS = ["fernhollow-lot-12", "cask-lane-27", "tinkers-row-4"]
LINK = re.compile(r"\[[^\]]*\]\(([^)#\s]+)(#[^)]*)?\)")
BY_HAND = re.compile(r"(?:: | = )([^:=\n]+) by hand, (.+) on the sheet\n")


def book(family: str) -> dict[str, Any]:
    """The notebook of a family that a packet takes in."""
    found = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(FOLDER.glob("*.ipynb"))]
    (mine,) = (b for b in found if b["metadata"]["studbay"]["family"] == family and b["metadata"]["studbay"]["packet"])
    return mine


def cells(family: str) -> dict[str, dict[str, Any]]:
    return {cell["id"]: cell for cell in book(family)["cells"]}


def said(cell: dict[str, Any]) -> str:
    return "".join(cell["source"])


def chain() -> list[str]:
    """The notebooks that a house is taken through, in order."""
    return [path.name for path in sorted(FOLDER.glob("*.ipynb")) if path.name < "11"]


@pytest.mark.parametrize("family", families())
def test_a_notebook_has_every_part_in_order(family: str) -> None:
    """Opening, a step in view whose result the next cell takes by name, an exercise of the family."""
    there, found = list(cells(family)), cells(family)
    assert there[3] == "opening", "before the form"
    assert there[-6:] == ["step", "step-1", "step-2", "exercise", "exercise-1", "on"]
    assert all(TEACHES in found[name]["metadata"]["tags"] for name in ["opening", *there[-6:]])
    first, second = said(found["step-1"]), said(found["step-2"])
    assert not any(found[name]["metadata"].get("jupyter", {}).get("source_hidden") for name in ("step-1", "step-2"))
    assert "import calc\n" in first
    assert "sheet" in first
    made = {each.id for node in ast.walk(ast.parse(first)) if isinstance(node, ast.Assign)
            for target in node.targets for each in ast.walk(target) if isinstance(each, ast.Name)}  # fmt: skip
    used = {node.id for node in ast.walk(ast.parse(second)) if isinstance(node, ast.Name)}
    assert (made - {"house", "number", "sheet", "worked"}) & used
    assert f'Practice("{family}", 1, 1).show()' in said(found["exercise-1"])


@pytest.mark.parametrize("family", families())
def test_a_notebook_takes_its_parameters(family: str) -> None:
    found = cells(family)
    given = {node.targets[0].id: node.value.value for node in ast.parse(said(found["cell-01"])).body}  # type: ignore[attr-defined]
    assert given == dict.fromkeys(["job_path", "edition", "subject", "overrides"])
    assert "job_path, edition=edition, subject=subject, overrides=overrides)" in said(found["cell-02"])


@pytest.mark.parametrize("name", chain())
def test_the_way_on_and_back_is_told(name: str) -> None:
    """One notebook before and one after, in the order of their names; every link to a notebook leads to one."""
    texts = [said(cell) for cell in json.loads((FOLDER / name).read_text())["cells"] if cell["cell_type"] == "markdown"]
    at, names = chain().index(name), chain()
    for word, other in (("Before", at - 1), ("Next", at + 1)):
        to = re.findall(rf"{word}: \[[^\]]+\]\(([^)]+)\)", texts[0])
        assert to == ([names[other]] if 0 <= other < len(names) else [])
    for place, anchor in (found for text in texts for found in LINK.findall(text)):
        if place.endswith(".ipynb"):
            assert (FOLDER / place).exists(), place
        else:
            page = Path(place)
            assert page.parts[:4] == ("..", "reports", "site", "families")
            assert page_of(page.stem), f"no page of the reference at {place}"
            assert anchor in ("", "#the-rules-it-uses")


@pytest.mark.parametrize("family", families())
def test_each_family_opens_with_its_drawing_and_formula(family: str) -> None:
    """In every edition: formulas and sections as the sheets have them, no blank left, nothing drawn beyond the edge."""
    data = opening_of(family)
    for edition in editions():
        text = opening_text(family, edition)
        assert "{{" not in text + drawn(family, edition)
        assert text.count("\n    ") >= len(data["lines"]) >= 2
        assert edition in opening_html(family, edition)
        for x, anchor, letters, bold in lettering(drawn(family, edition)):
            wide = width_pt(letters, SIZE_PT, bold)
            left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
            assert 0 <= left <= left + wide <= WIDTH_PT, f"{family}, {edition}: '{letters}' is cut off"
    for shape in data["draw"]:
        points = shape.get("line") or shape.get("arrow") or [shape.get("at", (0, 0))]
        assert all(0 <= x <= WIDTH_PT and 0 <= y <= data["height"] for x, y in points)


def lettering(svg: str) -> list[tuple[float, str, str, bool]]:
    """Each text of a drawing: its place, how it is anchored, its letters, whether it is bold."""
    found = re.findall(r'<text x="([\d.-]+)"([^>]*)>([^<]*)<', svg)
    return [(float(x), (re.findall(r'text-anchor="(\w+)"', more) or ["start"])[0], text.replace("&gt;", ">"), "bold" in more)
            for x, more, text in found]  # fmt: skip


@pytest.mark.parametrize("family", families())
def test_a_step_by_hand_comes_to_what_the_sheet_says(
    family: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """For a house in full, one that has few of these parts, and one of three phases; told which of them stands in."""
    monkeypatch.chdir(FOLDER)
    found = cells(family)
    for job in JOBS:
        names: dict[str, Any] = {}
        exec(f"{said(found['cell-01'])}\njob_path = 'jobs/{job}.toml'\n{said(found['cell-02'])}", names)
        capsys.readouterr()
        for step in ("step-1", "step-2"):
            exec(said(found[step]), names)
        printed = capsys.readouterr().out
        (by_hand, on_sheet), *rest = BY_HAND.findall(printed)
        assert by_hand == on_sheet
        assert rest == []
        shown = [sheet.subject for sheet in names["desk"]._sheets]
        assert (names["sheet"].subject in shown) != printed.startswith("This job has no such sheet"), printed


def test_a_packet_runs_nothing_that_teaches() -> None:
    """The cells stay where they are, so that a failed cell is told by its number, and none of them is code."""
    for path in sorted(FOLDER.glob("*.ipynb")):
        ran, own = as_run(path)["cells"], json.loads(path.read_text())["cells"]
        assert [cell["id"] for cell in ran] == [cell["id"] for cell in own]
        for cell in ran:
            if TEACHES in cell["metadata"].get("tags", ()):
                assert cell["cell_type"] != "code"
                assert "outputs" not in cell
            assert cell["cell_type"] != "code" or cell["outputs"] == []
