"""An edition is added by its file alone, a family by its package, its words and its notebook: nothing lists them."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from calc.codebook import editions

ROOT = Path(__file__).parents[1]
EDITION = """title = "An edition that nobody wrote"
inherits = "{before}"

[rules.unit_load]
value = 7
source = "recall"
"""
FAMILY = '''"""Every load against what anyone would call large: a family that nobody asked for."""

from calc.job import Job
from calc.wiring.house import House, filled
from calc.wiring.reading import counted, read
from calc.work import Sheet, constant, total

FAMILY = "large-loads"
TITLE = "Large loads"
PLACE = 99


def needs(job: Job) -> list[str]:
    return [] if job.loads else ["[[loads]]"]


def work(house: House) -> list[Sheet]:
    return [filled(house, FAMILY, TITLE, house.job.job.name, _loads)]


def _loads(s: Sheet, house: House) -> None:
    s.line("connected_va", total(each.va for each in counted(house.job.loads)))
    for load in house.job.loads:
        if load.load_va is not None:
            s.check("not_large", constant("what is large", 6000, "VA") >= read(load, "load_va", load.name), item=load.name)


def charts(house: House, sheets: object) -> list[object]:
    return []


def tables(house: House) -> list[object]:
    return []
'''
WORDS = """[connected_va]
name = "all loads"
reason = "Every nameplate is added up, whether it runs or not. That is more than the house ever draws at once."

[not_large]
name = "{item} is not large"
reason = "Nobody asked for this. It is here so that a test has something that falls short."

[caution_who_decides]
text = "Nobody decides what is large, and nobody asks for it."
"""
COMMANDS = """
import json, sys
from pathlib import Path
from click.testing import CliRunner
from calc.cli import main
from calc.show.glance import glance
done = {name: CliRunner().invoke(main, arguments) for name, arguments in json.loads(sys.argv[1]).items()}
said = {name: [each.exit_code, each.output] for name, each in done.items()}
print(json.dumps({**said, "start page": [0, json.dumps(glance(Path("house.toml"), Path("notebooks"))["rows"])]}))
"""


class Ran(NamedTuple):
    """What a command came to."""

    code: int
    said: str


def program(folder: Path, edition: str) -> Path:
    """The program in a folder of its own, with a job that adopts an edition."""
    for part in ("calc", "templates", "notebooks"):
        shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    text = (ROOT / "templates/jobs/one-family.toml").read_text()
    assert text.count('edition = "2023"') == 1
    (folder / "house.toml").write_text(text.replace('edition = "2023"', f'edition = "{edition}"'))
    return folder


def run(folder: Path, commands: Mapping[str, list[str]]) -> dict[str, Ran]:
    """What each command of that program says, and its start page, from a process of their own."""
    command = [sys.executable, "-c", COMMANDS, json.dumps(commands)]
    beside = {**os.environ, "PYTHONPATH": str(folder)}
    done = subprocess.run(command, env=beside, cwd=folder, capture_output=True, text=True, check=True)
    return {name: Ran(*each) for name, each in json.loads(done.stdout).items()}


@pytest.fixture(scope="module")
def adopted(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Ran]:
    """What is said of a job under an edition that was added."""
    folder = program(tmp_path_factory.mktemp("edition"), "2029")
    (folder / "calc/codebook/editions/2029.toml").write_text(EDITION.format(before=editions()[-1]))
    sheets = ["work", "house.toml", "--json", "--family", "dwelling-load"]
    return run(folder, {
        "check": ["check", "house.toml"],
        "work": ["work", "house.toml"],
        "sheets": sheets,
        "before": [*sheets, "--edition", editions()[-1]],
        "fixes": ["fixes", "house.toml", "--json"],
        "compare": ["compare", "house.toml"],
        "rule": ["rule", "unit_load"],
        "adopted": ["rule", "unit_load", "--job", "house.toml", "--json"],
        "schema": ["schema"],
        "practice": ["practice", "sheet", "dwelling-load", "--from", "house.toml", "--key"],
        "unknown": ["work", "house.toml", "--edition", "2031"],
    })  # fmt: skip


def test_an_edition_is_adopted_by_a_job(adopted: Mapping[str, Ran]) -> None:
    assert adopted["check"].code == 0, adopted["check"].said
    assert "(edition 2029)" in adopted["work"].said
    (sheet, *_), (before, *_) = (json.loads(adopted[command].said) for command in ("sheets", "before"))
    assert (sheet["edition"], before["edition"]) == ("2029", editions()[-1])
    lighting = [of["results"]["general_lighting_va"] for of in (sheet, before)]
    assert lighting[0] == 3.5 * lighting[1], "7 VA a square foot instead of 2"
    assert json.loads(adopted["fixes"].said)["edition"] == "2029"


def test_an_edition_is_offered_and_told_wherever_editions_are(adopted: Mapping[str, Ran]) -> None:
    assert "2029" in json.loads(adopted["schema"].said)["$defs"]["Code"]["properties"]["edition"]["enum"]
    for command in ("compare", "rule", "adopted", "practice"):
        assert adopted[command].code == 0, adopted[command].said
        assert "2029" in adopted[command].said, command
    assert adopted["unknown"].code == 2
    assert "2029" in adopted["unknown"].said


@pytest.fixture(scope="module")
def beside(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Ran]:
    """What is said of a job by a program with one family more."""
    folder = program(tmp_path_factory.mktemp("family"), "2023")
    (folder / "calc/families/large_loads").mkdir()
    (folder / "calc/families/large_loads/__init__.py").write_text(FAMILY)
    (folder / "calc/families/words/large-loads.toml").write_text(WORDS)
    notebook: dict[str, Any] = json.loads((ROOT / "notebooks/09b-panels.ipynb").read_text())
    notebook["metadata"]["studbay"]["family"] = "large-loads"
    notebook["cells"][0]["source"] = ["# Large loads"]
    (folder / "notebooks/11-large-loads.ipynb").write_text(json.dumps(notebook))
    return run(folder, {
        "check": ["check", "house.toml"],
        "work": ["work", "house.toml"],
        "sheets": ["work", "house.toml", "--json", "--family", "large-loads"],
        "fixes": ["fixes", "house.toml", "--json"],
    })  # fmt: skip


def test_a_family_is_worked_with_the_others(beside: Mapping[str, Ran]) -> None:
    (sheet,) = json.loads(beside["sheets"].said)
    assert sheet["title"] == "Large loads"
    assert sheet["results"]["connected_va"] > 0
    short = [check["key"] for check in sheet["checks"] if not check["passes"]]
    assert short == ["not_large[Range]"]
    assert "Large loads" in beside["work"].said
    assert beside["check"].code == 1, "it is in the scope of what was entered"
    assert "Large loads: 1 falls short" in beside["check"].said


def test_a_family_is_in_the_fix_list_and_on_the_start_page(beside: Mapping[str, Ran]) -> None:
    fixes = json.loads(beside["fixes"].said)
    assert "Range is not large" in [item["what"] for group in fixes["groups"] for item in group["items"]]
    (row,) = (row for row in json.loads(beside["start page"].said) if row["family"] == "large-loads")
    assert row["notebooks"] == [["11-large-loads.ipynb", "Large loads"]]
