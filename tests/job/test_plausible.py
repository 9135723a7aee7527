"""Plausible mistakes are noticed at their place, stop nothing, and stand until someone confirms that entry."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from calc.job import JobError, changed, export_parts, import_parts, job_schema, parse_job, read_job
from calc.job.plausible import notices

ROOT = Path(__file__).parents[2]
LOT_14 = read_job(ROOT / "notebooks/jobs/fernhollow-lot-14.toml")
HEAD = '[code]\nedition = "2023"\n[job]\nname = "test"\n'
HEATER = '[[loads]]\nname = "Strip heat"\nkind = "supplemental-heat"\nvolts = 240\n'


def test_a_notice_names_place_value_reason_and_what_is_likely_meant() -> None:
    (said,) = notices(parse_job(f"{HEAD}{HEATER}load_va = 960\n".encode()))
    assert (said.at, said.place) == ("loads[1].load_va", 'Load "Strip heat": nameplate load')
    assert (said.read, said.likely) == ("960 VA", "a digit too few: 9,600?")
    assert str(said).startswith('Load "Strip heat": nameplate load is 960 VA: usual for supplemental heat: 1,500 to')
    assert json.loads(json.dumps(said.as_json()))["at"] == said.at


def test_whoever_confirms_an_entry_has_its_notice_kept_as_confirmed() -> None:
    """Only that entry of that table: the same oddity beside it still stands."""
    job = parse_job(f"{HEAD}{HEATER}load_va = 960\n{HEATER.replace('Strip', 'Other')}load_va = 960\n".encode())
    first, second = notices(job)
    assert first.confirming == {"loads[1].confirmed": ["load_va"]}
    after = notices(changed(job, first.confirming))
    assert [(said.at, said.confirmed) for said in after] == [(first.at, True), (second.at, False)]


@pytest.mark.parametrize(
    ("said", "hint"),
    [('["load_v"]', 'did you mean "load_va"?'), ('["confirmed"]', ""), ('"load_va"', "put it in square brackets")],
)
def test_only_keys_of_its_own_table_can_be_confirmed(said: str, hint: str) -> None:
    with pytest.raises(JobError) as error:
        parse_job(f"{HEAD}{HEATER}load_va = 9600\nconfirmed = {said}\n".encode())
    (problem,) = error.value.problems
    assert problem.line == 10
    assert problem.hint == hint


def test_a_confirmation_goes_through_spreadsheets_and_the_schema(tmp_path: Path) -> None:
    job = changed(LOT_14, {"boxes[2].devices[1].confirmed": ["gangs"], "boxes[1].confirmed": ["marked_in3", "count"]})
    for name in ("boxes.csv", "boxes.xlsx"):
        assert import_parts(job, "boxes", export_parts(job, "boxes", tmp_path / name)).model_dump() == job.model_dump()
    schema = job_schema()
    load = {"name": "Range", "kind": "range", "volts": 240, "load_va": 12000}
    for confirmed, right in ((["load_va"], True), (["load_v"], False)):
        data = {"code": {"edition": "2023"}, "job": {"name": "x"}, "loads": [{**load, "confirmed": confirmed}]}
        assert jsonschema.Draft202012Validator(schema).is_valid(data) is right


def test_what_a_divided_box_confirms_is_not_taken_for_its_contents() -> None:
    at = next(number for number, box in enumerate(LOT_14.boxes, 1) if box.compartments)
    assert changed(LOT_14, {f"boxes[{at}].confirmed": ["marked_in3"]}).boxes[at - 1].is_empty
