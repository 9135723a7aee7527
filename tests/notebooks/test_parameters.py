"""A notebook's parameters: each is held against what it may be, and changes what it says, through papermill as by hand."""

from __future__ import annotations

import ast
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.show.desk import Desk
from calc.show.display import Shown
from calc.show.parameters import ParameterError, about, checked
from calc.workplace import shipped_notebooks
from tests.hostile.texts import FORMULAS, READABLE, UNREAD

JOB = shipped_notebooks() / "jobs" / "fernhollow-lot-14.toml"
ROOT = Path(__file__).parents[2]
CODE = "2020'; open('made', 'w') #"
REFUSED: dict[str, tuple[dict[str, Any], str]] = {
    "code as an edition": ({"edition": CODE}, r"edition: read \"2020'; open.*; allowed: 2017, 2020, 2023, 2026, or None"),
    "an edition that there isn't": ({"edition": 2021}, "edition: read 2021; allowed: 2017, 2020"),
    "an edition with a fraction": ({"edition": 2020.0}, "edition: read 2020.0; allowed"),
    "an edition as a path": ({"edition": "../editions/2020"}, "edition: read '../editions/2020'; allowed"),
    "yes as an edition": ({"edition": True}, "edition: read True; allowed"),
    "a list as a subject": ({"subject": ["R2 feeder"]}, r"subject: read \['R2 feeder'\]; allowed: the name of one sheet"),
    "a subject that there isn't": ({"subject": "R99"}, "subject: read 'R99'; allowed: R1 service, R2 feeder"),
    "a subject of two lines": ({"subject": "R1\nservice"}, r"subject: read 'R1\\nservice'; allowed: .* text of 1 to 200"),
    "text as overrides": ({"overrides": "drop_v=1"}, "overrides: read 'drop_v=1'; allowed: a table of lines by key"),
    "code as a key": ({"overrides": {"__import__('os')": 1}}, r"overrides: read \"__import__\('os'\)\"; allowed"),
    "a key that there isn't": ({"overrides": {"drop_vv": 1}}, "overrides: read 'drop_vv'; allowed: a line of these sheets, such as drop_v"),
    "text for a number": ({"overrides": {"drop_v": "4/0"}}, "overrides, drop_v: read '4/0'; allowed: a number from 0 up"),
    "code for a number": ({"overrides": {"drop_v": "exit()"}}, r"overrides, drop_v: read 'exit\(\)'; allowed: a number"),
    "no number": ({"overrides": {"drop_v": float("nan")}}, "overrides, drop_v: read nan; allowed: a number"),
    "less than nothing": ({"overrides": {"drop_v": -1}}, "overrides, drop_v: read -1; allowed: a number from 0 up"),
    "a number for a size": ({"overrides": {"size_for_limit": 4.0}}, "overrides, size_for_limit: read 4.0; allowed: a size"),
    "a number as the job's path": ({"job_path": 7}, "job_path: read 7; allowed: the path of a job file"),
}  # fmt: skip


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    found: list[Any] = []
    monkeypatch.setattr("calc.show.desk.display", lambda *each: found.extend(each))
    return found


@pytest.mark.parametrize("case", REFUSED)
def test_what_may_not_be_used_is_refused_by_name(case: str, shown: list[Any]) -> None:
    """Named: the parameter, what was read, what is allowed; before anything of it is shown."""
    given, said = REFUSED[case]
    with pytest.raises(ParameterError, match=f"^parameter {said}"):
        Desk("voltage-drop", **{"job_path": JOB, "live": False, **given})
    assert shown == []


@pytest.mark.parametrize("name", ["edition", "subject", "overrides"])
def test_hostile_text_is_only_read(name: str) -> None:
    """Papermill writes each of them into a cell as one piece of text, and the notebook refuses it."""
    from papermill.translators import PythonTranslator

    sheets = Desk("voltage-drop", JOB, live=False)._sheets
    for text in (*FORMULAS, *READABLE, *UNREAD, CODE, f'"{CODE}', f"\\{CODE}"):
        (given,) = ast.parse(PythonTranslator.codify({name: text})).body
        assert isinstance(given, ast.Assign)
        assert ast.literal_eval(given.value) == text
        with pytest.raises(ParameterError) as refused:
            about(sheets, checked(JOB, **{"edition": None, "subject": None, "overrides": None, name: text}))
        assert str(refused.value).isprintable()
        assert len(str(refused.value)) < 600


@pytest.mark.parametrize("family", families())
def test_each_family_shows_one_subject_alone_under_another_edition(family: str, shown: list[Any]) -> None:
    whole = Desk(family, JOB, live=False)
    subject = whole._sheets[-1].subject
    desk = Desk(family, JOB, live=False, edition=2020, subject=subject)
    for show in (desk.sheets, desk.charts, desk.tables):
        show()
    sheets = [each.forms["application/vnd.studbay.sheet+json"] for each in shown if _is_sheet(each)]
    assert {(sheet["subject"], sheet["edition"]) for sheet in sheets} == {(subject, "2020")}
    assert shown[0].forms["text/plain"] == "Worked under edition 2020, without amendments; the job adopts 2023."


def test_a_replaced_line_is_worked_on_with_and_said_to_be_stated(shown: list[Any]) -> None:
    """5 V of 240 V are 2.08 %, whatever the run would lose by itself."""
    desk = Desk("voltage-drop", JOB, live=False, subject="R2 feeder", overrides={"drop_v": 5})
    (sheet,) = desk._sheets
    assert round(sheet["drop_pct"], 2) == 2.08
    assert (
        shown[0].forms["text/plain"].startswith("Stated here, not worked: drop_v = 5.0. What follows is not a verdict")
    )
    assert "overrides" not in (line["kind"] for line in sheet.as_json()["lines"])
    assert [line["key"] for line in sheet.as_json()["lines"] if line["kind"] == "replaced"] == ["drop_v"]


def _is_sheet(each: Any) -> bool:
    return isinstance(each, Shown) and "application/vnd.studbay.sheet+json" in each.forms


def papermill(folder: Path, *parameters: str) -> subprocess.CompletedProcess[str]:
    """The command that the README names, in a folder with the job and the notebook."""
    shutil.copy(JOB, folder)
    shutil.copytree(JOB.parent / "amendments", folder / "amendments")
    shutil.copy(shipped_notebooks() / "03-voltage-drop.ipynb", folder)
    command = [sys.executable, "-m", "papermill", "03-voltage-drop.ipynb", "out.ipynb", "--no-progress-bar"]
    kept = {**os.environ, "PYTHONPATH": str(ROOT), "IPYTHONDIR": str(folder / "kept")}
    return subprocess.run(
        [*command, "-p", "job_path", JOB.name, *parameters], cwd=folder, env=kept, capture_output=True, text=True
    )


def test_papermill_runs_a_notebook_with_its_parameters(tmp_path: Path) -> None:
    done = papermill(
        tmp_path, "-p", "edition", "2020", "-p", "subject", "R2 feeder", "-y", "{overrides: {length_kft: 0.2}}"
    )
    assert done.returncode == 0, done.stderr
    outputs = [
        output
        for cell in json.loads((tmp_path / "out.ipynb").read_text())["cells"]
        for output in cell.get("outputs", ())
    ]
    (sheet,) = [output["data"]["application/vnd.studbay.sheet+json"] for output in outputs
                if "application/vnd.studbay.sheet+json" in output.get("data", {})]  # fmt: skip
    assert (sheet["subject"], sheet["edition"], sheet["results"]["length_kft"]) == ("R2 feeder", "2020", 0.2)
    printed = "".join("".join(output["text"]) for output in outputs if output["output_type"] == "stream")
    assert "R2 feeder: 100 x" in printed, "the step by hand is about it too"
