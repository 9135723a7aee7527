"""What the commands give as JSON is what the published schemas say, in every demo house, and nothing beside it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from calc import remedies
from calc.cli import main
from calc.documents.owner import owner_page
from calc.documents.permit import permit_set
from calc.families import dwelling_load, families
from calc.job import JobError, read_job
from calc.job.sent_back import read_back
from calc.packet.collect import Collected, Display
from calc.packet.crew import parts_json
from calc.packet.document import sheets_json
from calc.schemas import FORMS
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.work.plain import plain
from tests import houses
from tests.job.test_taken_back import CORRECTED, NOTE, RIGHT, TORQUE, WRONG, sent

ROOT = Path(__file__).parents[1]
HOUSES = sorted((ROOT / "notebooks" / "jobs").glob("*.toml"))


def closed(schema: Any) -> Any:
    """The schema with no key allowed that it doesn't name: what is given out has to be published."""
    if isinstance(schema, list):
        return [closed(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    inside = {key: closed(value) for key, value in schema.items()}
    return {"additionalProperties": False, **inside} if isinstance(inside.get("properties"), dict) else inside


@cache
def faults_of(form: str) -> Draft202012Validator:
    return Draft202012Validator(closed(FORMS[form]()))


def faults(form: str, given: Any) -> list[str]:
    return [f"{error.json_path}: {error.message[:200]}" for error in faults_of(form).iter_errors(given)]


def given(*arguments: str) -> Any:
    result = CliRunner().invoke(main, list(arguments))
    assert result.exit_code in (0, 1), result.output
    return json.loads(result.stdout)


@pytest.mark.parametrize("form", FORMS)
def test_each_schema_is_one_and_says_what_every_form_is(form: str) -> None:
    schema = given("schema", "--of", form)
    Draft202012Validator.check_schema(schema)
    assert schema == FORMS[form]()
    assert schema["title"].startswith("Studbay ")
    for name, part in schema.get("$defs", {}).items():
        assert part.get("description"), name


def test_an_unknown_form_names_those_there_are() -> None:
    result = CliRunner().invoke(main, ["schema", "--of", "sheat"])
    assert result.exit_code == 2
    assert "sheet" in result.output


@pytest.mark.parametrize("house", HOUSES, ids=lambda path: path.stem)
def test_sheets_of_the_demo_houses_follow_their_schema(house: Path) -> None:
    sheets = given("work", str(house), "--json")
    assert sheets
    assert [fault for sheet in sheets for fault in faults("sheet", sheet)] == []


@pytest.mark.parametrize("house", HOUSES, ids=lambda path: path.stem)
def test_tables_and_page_one_of_the_demo_houses_follow_their_schemas(house: Path) -> None:
    tables = given("work", str(house), "--tables", "--json")
    assert tables
    assert [fault for table in tables for fault in faults("table", table)] == []
    assert faults("summary", json.loads(json.dumps(dwelling_load.front(houses.at(house)).as_json()))) == []


@pytest.mark.parametrize("house", HOUSES, ids=lambda path: path.stem)
def test_verdict_charts_and_walk_sheets_of_the_demo_houses_follow_their_schemas(house: Path) -> None:
    worked = houses.at(house)
    job = worked.whole_job
    assert faults("verdict", plain(standing(worked).as_json())) == []
    for sheet in remedies.walk(worked):
        assert faults("record" if sheet.part == "record" else "walk", sheet.as_json()) == []
    charts = [chart for family in families().values() if not family.needs(job)
              for chart in family.charts(worked, family.work(worked))]  # fmt: skip
    assert charts
    assert [fault for chart in charts for fault in faults("chart", chart.as_json())] == []


@pytest.mark.parametrize("house", HOUSES, ids=lambda path: path.stem)
def test_the_documents_of_the_demo_houses_follow_their_schema(house: Path) -> None:
    """Permit set and owner's page; what they say of the verdict is the verdict's own form."""
    worked = houses.at(house)
    made = [each.as_json() for each in (permit_set(worked), owner_page(worked)) if each is not None]
    assert [fault for each in made for fault in faults("document", plain(each))] == []
    assert faults("verdict", plain(made[0]["verdict"])) == []


def test_what_a_phone_sends_back_follows_its_schema(tmp_path: Path) -> None:
    """What the schema takes is taken in, and what it doesn't take is refused."""
    path = sent(tmp_path, RIGHT, WRONG, TORQUE, NOTE, CORRECTED)
    data = json.loads(path.read_text(encoding="utf-8"))
    assert faults("sent-back", data) == []
    assert len(read_back(path).entries) == 5
    for spoilt in ({"entries": [{"kind": "wrong"}]}, {"schema_version": 2}, {"more": 1}, {"made": None}):
        assert faults("sent-back", data | spoilt), spoilt
        path.write_text(json.dumps(data | spoilt), encoding="utf-8")
        with pytest.raises(JobError):
            read_back(path)


def test_the_files_beside_packets_follow_their_schemas() -> None:
    job = read_job(HOUSES[0])
    worked = House.of(job)
    sheets = [Display("sheet", sheet.as_json()) for sheet in dwelling_load.work(worked)]
    assert faults("sheets.json", json.loads(sheets_json(Collected(sheets), job.job.name, job.fingerprint))) == []
    parts = Collected([Display("walk", part.as_json()) for part in remedies.walk(worked)])
    assert faults("crew.json", json.loads(parts_json(parts, job))) == []


def test_a_fix_list_follows_its_schema() -> None:
    found = given("fixes", str(ROOT / "notebooks" / "jobs" / "cask-lane-27.toml"), "--json")
    assert found["groups"]
    assert faults("fixes", found) == []


@pytest.mark.parametrize("house", HOUSES, ids=lambda path: path.stem)
def test_the_job_file_follows_its_schema(house: Path) -> None:
    assert faults("job", json.loads(json.dumps(read_job(house).data, default=str))) == []


@pytest.mark.parametrize("asked", ["220.55", "unit_load", "310.12", "largest motor"])
def test_rules_follow_their_schema(asked: str) -> None:
    assert faults("rule", given("rule", asked, "--json")) == []


@pytest.mark.parametrize(
    "asked", ["drop 16 A 110 ft 12 AWG", "box 3 12/2 receptacle 18 in3", "fault 37.5 kVA 1.6% 35 ft 4/0 AWG Al"]
)
def test_answers_follow_their_schema(asked: str) -> None:
    found = given("quick", *asked.split(" "), "--json")
    assert found
    assert [fault for answer in found for fault in faults("answer", answer)] == []


def spoiled(sheet: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield sheet | {"status": "fine"}
    yield sheet | {"more": 1}
    yield {key: value for key, value in sheet.items() if key != "checks"}
    yield sheet | {"lines": [{**sheet["lines"][0], "value": [1]}]}
    yield sheet | {"schema_version": 0}


def test_a_sheet_of_another_form_is_told_apart() -> None:
    (sheet, *_) = given("work", str(HOUSES[0]), "--family", "dwelling-load", "--json")
    assert faults("sheet", sheet) == []
    assert all(faults("sheet", each) for each in spoiled(sheet))
