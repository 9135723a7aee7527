"""A field is declared once: form, schema, message and given read the same."""

import datetime
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from calc.job import (
    Electrode,
    Job,
    JobError,
    Load,
    Part,
    Run,
    field_info,
    job_schema,
    new_job,
    parse_job,
    place,
    read_job,
    starters,
)
from calc.job.fields import parts_of
from calc.job.read import make_job

HOUSES = sorted((Path(__file__).parent / "houses").glob("*.toml"))
# a key that ends in one of these has that unit
UNITS = {
    "_va": "VA", "_kva": "kVA", "_kw": "kW", "_a": "A", "_ft": "ft", "_ft2": "ft2", "_in": "in", "_in3": "in3",
    "_pct": "%", "_c": "°C", "_f": "°F", "_min": "min", "_ohm": "ohm", "_hp": "hp", "_gal": "gal", "_deg": "deg",
}  # fmt: skip


def every_part(part: type[Part] = Job) -> Iterator[type[Part]]:
    yield part
    for inner, _ in parts_of(part).values():
        yield from every_part(inner)


EVERY_FIELD = sorted({(part, name) for part in every_part() for name in part.model_fields}, key=str)


@pytest.mark.parametrize(("part", "name"), EVERY_FIELD, ids=lambda x: getattr(x, "__name__", x))
def test_every_field_says_what_it_is(part: type[Part], name: str) -> None:
    """A title, a line of help, the unit that the key ends in, and limits wherever there is a number."""
    facts = field_info(part, name)
    assert facts.title != name
    assert facts.title[0].isupper()
    assert facts.help
    assert len(facts.help) <= 120
    assert facts.allowed
    unit = next((u for end, u in UNITS.items() if name.endswith(end)), None)
    if unit and facts.kind in ("number", "whole number", "length"):
        assert facts.unit == unit
    if facts.kind in ("number", "whole number", "length"):
        assert facts.least is not None
        assert facts.most is not None
        assert facts.least < facts.most
    assert facts.kind in (
        *("number", "whole number", "yes or no", "text", "paragraphs", "date", "choice", "table"),
        *("length", "conductor size", "cable", "list of text", "list of table", "list of cable", "list of choice"),
        *("list of conductor size", "list of space", "list of paragraphs"),
    )


def test_the_facts_of_a_field() -> None:
    facts = field_info(Load, "load_va")
    assert (facts.title, facts.unit, facts.least, facts.most, facts.kind) == (
        "Nameplate load",
        "VA",
        1,
        100_000,
        "number",
    )
    assert facts.allowed == "1 to 100,000 VA"
    assert not facts.required
    assert field_info(Load, "volts").choices == (120, 208, 240)
    assert field_info(Load, "volts").required
    assert field_info(Load, "status").default == "new"
    assert field_info(Load, "runs_with").refers_to == ("loads",)
    assert field_info(Run, "length_ft").kind == "length"


def test_a_place_counts_from_one_and_a_what_if_keeps_it() -> None:
    job = parse_job(new_job("A house").encode())
    assert place(job.loads[2], "load_va") == "loads[3].load_va"
    assert job.dwelling is not None
    assert place(job.dwelling, "floor_area_ft2") == "dwelling.floor_area_ft2"
    assert place(job.code.readings, "moulded_clamps") == "code.readings.moulded_clamps"
    assert place(job) == ""


def test_nested_places() -> None:
    job = read_job(next(h for h in HOUSES if "fernhollow" in h.name))
    kitchen = job.room("Kitchen")
    assert place(kitchen.counters[0].breaks[1], "behind_in") == "rooms[2].counters[1].breaks[2].behind_in"


def plain(value: Any) -> Any:
    """TOML data as JSON has it: dates as text."""
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, list):
        return [plain(v) for v in value]
    return value.isoformat() if isinstance(value, datetime.date) else value


VALIDATOR = jsonschema.Draft202012Validator(job_schema())


def test_the_schema_is_a_schema() -> None:
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"].endswith("2020-12/schema")
    assert json.loads(json.dumps(schema)) == schema
    load = schema["$defs"]["Load"]["properties"]["load_va"]
    assert load["title"] == "Nameplate load"
    assert (load["unit"], load["minimum"], load["maximum"]) == ("VA", 1, 100_000)
    length = schema["$defs"]["Run"]["properties"]["length_ft"]
    assert (length["minimum"], length["maximum"], length["unit"]) == (0.5, 10_000, "ft")


def test_every_field_of_the_schema_has_title_and_help() -> None:
    schema = job_schema()
    for table in (schema, *schema["$defs"].values()):
        for key, value in table.get("properties", {}).items():
            title = value.get("title") or schema["$defs"][value["$ref"].split("/")[-1]]["title"]
            assert title != key
            assert value["description"], key


@pytest.mark.parametrize("text", [*(h.read_text() for h in HOUSES), *(new_job("A house", s) for s in starters())])
def test_good_jobs_fit_the_schema(text: str) -> None:
    assert [e.message for e in VALIDATOR.iter_errors(plain(tomllib.loads(text)))] == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"loads": [{"name": "R", "kind": "range", "volts": 240}]},
        {"loads": [{"name": "R", "kind": "range", "volts": 240, "load_va": 1, "nameplate_a": 1}]},
        {"loads": [{"name": "R", "kind": "range", "volts": 240, "load_va": -1}]},
        {"loads": [{"name": "R", "kind": "rnge", "volts": 240, "load_va": 1000}]},
        {"fault": {"transformer_kva": 25}},
        {"dweling": {}},
        {"runs": [{"name": "R", "role": "branch", "fed_from": "utility", "volts": 120, "cable": "12/2", "calculated_a": 5, "length_ft": 0.1}]},
    ],
)  # fmt: skip
def test_what_the_reader_refuses_the_schema_refuses(wrong: dict[str, Any]) -> None:
    from calc.job.read import make_job

    data = {"code": {"edition": "2023"}, "job": {"name": "J"}, **wrong}
    assert not VALIDATOR.is_valid(data)
    with pytest.raises(JobError):
        make_job(data)


def test_tables_are_equal_that_say_the_same_at_the_same_place() -> None:
    said = {"kind": "rod", "count": 1}
    head = {"code": {"edition": "2023"}, "job": {"name": "House"}}

    def rods(*electrodes: dict[str, object]) -> tuple[Electrode, ...]:
        job = make_job({**head, "grounding": {"electrodes": list(electrodes)}})
        assert job.grounding is not None
        return job.grounding.electrodes

    first, second = rods(said, dict(said))
    assert first != second
    assert first == rods(said)[0]
    assert hash(first) == hash(rods(said)[0])
    assert first != rods({"kind": "rod"})[0]  # left out is not the same as entered
    assert first != rods({"kind": "pipe", "count": 1})[0]
    assert len({first, second, rods(said)[0]}) == 2


def test_nothing_at_all_is_not_the_same_as_a_list_left_out() -> None:
    job = make_job({"code": {"edition": "2023"}, "job": {"name": "House"}})
    with pytest.raises(JobError, match="loads is None; allowed: a list"):
        make_job({**job.data, "loads": None}, before=job)
