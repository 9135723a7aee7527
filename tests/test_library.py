"""``import calc``: quick, five lines from a job file to a document, each example in a docstring as it says."""

from __future__ import annotations

import doctest
import inspect
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType

import pytest

import calc

ROOT = Path(__file__).parents[1]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a first job in it, as the examples have it."""
    shutil.copy(ROOT / "templates" / "jobs" / "one-family.toml", tmp_path / "my-house.toml")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def public() -> Iterator[tuple[str, object]]:
    """Each public function, and each public method and property of the house."""
    yield from ((name, thing) for name in calc.__all__ if inspect.isfunction(thing := getattr(calc, name)))
    kinds = (FunctionType, property)
    yield from ((f"House.{name}", thing) for name, thing in vars(calc.House).items()
                if isinstance(thing, kinds) and not name.startswith("_"))  # fmt: skip


DOCUMENTED = dict(public())


def test_every_name_is_there_and_no_other() -> None:
    assert {name for name in dir(calc) if not name.startswith("_")} == set(calc.__all__)
    assert all(getattr(calc, name).__doc__ for name in calc.__all__)
    with pytest.raises(AttributeError, match="no attribute 'open_hause'"):
        calc.open_hause  # type: ignore[attr-defined]  # noqa: B018


@pytest.mark.parametrize("name", DOCUMENTED)
def test_each_example_gives_what_it_says(name: str) -> None:
    text = inspect.cleandoc(DOCUMENTED[name].__doc__ or "")
    example = doctest.DocTestParser().get_doctest(text, {"calc": calc}, name, None, None)
    assert example.examples
    assert doctest.DocTestRunner(verbose=False).run(example).failed == 0
    asked = inspect.signature(DOCUMENTED[name]).parameters if callable(DOCUMENTED[name]) else {}
    assert [each for each in asked if each != "self" and f"{each}: " not in text] == []


def test_importing_it_is_quick_and_brings_nothing_along() -> None:
    """In a process of its own, where nothing is imported yet."""
    code = "import sys, calc; print([name for name in sys.modules if name.startswith('calc.') or name == 'pydantic'])"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert said.stdout.strip() == "[]"


def test_the_package_says_that_it_is_typed() -> None:
    assert (Path(calc.__file__).parent / "py.typed").is_file()


def test_five_lines_from_a_job_file_to_a_result_of_ones_own(folder: Path) -> None:
    house = calc.open_house(folder / "my-house.toml")
    load = house.sheet("dwelling-load")
    assert load["general_lighting_va"] == 2000 * 3
    assert load["standard_a"] == pytest.approx(load["standard_va"] / 240)
    assert house.with_line("dwelling-load", "standard_a", 190).sheet("dwelling-load")["service_rating_a"] == 200
    assert load["service_rating_a"] < 200, "the house itself is as it was"


def test_what_is_asked_wrongly_names_what_there_is(folder: Path) -> None:
    house = calc.open_house(folder / "my-house.toml")
    with pytest.raises(KeyError, match="voltage-drop"):
        house.sheets("voltage")
    with pytest.raises(KeyError, match=r"\[\[boxes\]\]"):
        house.sheets("box-fill")
    with pytest.raises(KeyError, match="New house"):
        house.sheet("dwelling-load", "Other house")
    with pytest.raises(KeyError, match="standard_va"):
        house.sheet("dwelling-load")["standrd_va"]


def test_a_change_is_worked_under_the_code_that_the_house_then_adopts(folder: Path) -> None:
    house = calc.open_house(folder / "my-house.toml").with_line("dwelling-load", "standard_a", 190)
    newer = house.with_entries({"code.edition": "2026"})
    assert newer.edition == "2026"
    assert newer.sheet("dwelling-load")["standard_whole_a"] == 190, "the line is still replaced"
    older = house.under("2017").with_entries({"dwelling.floor_area_ft2": 3000})
    assert (older.edition, older.sheet("dwelling-load")["general_lighting_va"]) == ("2017", 9000)


def test_the_five_lines_of_the_site_are_those_of_the_package_and_run(folder: Path) -> None:
    page = (ROOT / "templates" / "site" / "library.md").read_text(encoding="utf-8")
    lines = page.partition("```python\n")[2].partition("```")[0].splitlines()
    assert len(lines) == 5
    assert all(f"    {line}" in (calc.__doc__ or "") for line in lines)
    known: dict[str, object] = {}
    exec("\n".join(lines[:2]), known)  # the page's own words
    assert [eval(line, known) for line in lines[2:4]] == [150, 200]
    assert lines[4].startswith("calc.make_packet("), "which its own example runs"
