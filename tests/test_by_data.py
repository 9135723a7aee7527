"""An edition is added by its file alone: nothing in the program lists the editions that there are."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import pytest

from calc.codebook import editions

ROOT = Path(__file__).parents[1]
EDITION = """title = "An edition that nobody wrote"
inherits = "{before}"

[rules.unit_load]
value = 7
source = "recall"
"""
COMMANDS = """
import json, sys
from click.testing import CliRunner
from calc.cli import main
done = [CliRunner().invoke(main, arguments) for arguments in json.loads(sys.argv[1])]
print(json.dumps([[each.exit_code, each.output] for each in done]))
"""


class Ran(NamedTuple):
    """What a command came to."""

    code: int
    said: str


def run(tree: Path, *commands: Sequence[str]) -> list[Ran]:
    """Commands of the program in a tree, one after another in a process of their own."""
    beside = {**os.environ, "PYTHONPATH": str(tree)}
    done = subprocess.run([sys.executable, "-c", COMMANDS, json.dumps(commands)], env=beside, cwd=tree,
                          capture_output=True, text=True, check=True)  # fmt: skip
    return [Ran(*each) for each in json.loads(done.stdout)]


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program in a folder of its own, with files added to it."""
    folder = tmp_path_factory.mktemp("tree")
    for part in ("calc", "templates", "notebooks"):
        shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "calc/codebook/editions/2029.toml").write_text(EDITION.format(before=editions()[-1]))
    text = (ROOT / "templates/jobs/one-family.toml").read_text()
    assert text.count('edition = "2023"') == 1
    (folder / "house.toml").write_text(text.replace('edition = "2023"', 'edition = "2029"'))
    return folder


@pytest.fixture(scope="module")
def ran(tree: Path) -> Mapping[str, Ran]:
    """What each command says of a job under the edition that was added."""
    commands = {
        "check": ["check", "house.toml"],
        "work": ["work", "house.toml"],
        "sheets": ["work", "house.toml", "--json", "--family", "dwelling-load"],
        "fixes": ["fixes", "house.toml", "--json"],
        "compare": ["compare", "house.toml"],
        "rule": ["rule", "unit_load"],
        "adopted": ["rule", "unit_load", "--job", "house.toml", "--json"],
        "schema": ["schema"],
        "practice": ["practice", "dwelling-load", "--from", "house.toml", "--key"],
        "before": ["work", "house.toml", "--json", "--family", "dwelling-load", "--edition", editions()[-1]],
        "unknown": ["work", "house.toml", "--edition", "2031"],
    }
    return dict(zip(commands, run(tree, *commands.values()), strict=True))


def test_an_edition_is_adopted_by_a_job(ran: Mapping[str, Ran]) -> None:
    assert ran["check"].code in (0, 1), ran["check"].said
    assert "(edition 2029)" in ran["work"].said
    (sheet, *_), (before, *_) = (json.loads(ran[command].said) for command in ("sheets", "before"))
    assert (sheet["edition"], before["edition"]) == ("2029", editions()[-1])
    assert sheet["results"]["general_lighting_va"] == 3.5 * before["results"]["general_lighting_va"], (
        "7 VA a square foot instead of 2"
    )
    assert json.loads(ran["fixes"].said)["edition"] == "2029"


def test_an_edition_is_offered_and_told_wherever_editions_are(ran: Mapping[str, Ran]) -> None:
    assert "2029" in json.loads(ran["schema"].said)["$defs"]["Code"]["properties"]["edition"]["enum"]
    for command in ("compare", "rule", "adopted", "practice"):
        assert ran[command].code == 0, ran[command].said
        assert "2029" in ran[command].said, command
    assert ran["unknown"].code == 2
    assert "2029" in ran["unknown"].said
