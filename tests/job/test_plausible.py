"""Plausible mistakes are noticed at their place, stop nothing, and stand until someone confirms that entry."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from calc.job import (
    Job,
    JobError,
    changed,
    export_parts,
    field_info,
    import_parts,
    job_schema,
    notices,
    parse_job,
    read_job,
)
from calc.job.model import part_at
from calc.job.plausible import RULES
from calc.job.plausible.named import rows
from calc.job.plausible.usual import Usual, usual
from tests.mistakes import STATES, Mistake, came, home, mistakes, named
from tests.published.harness import examples, job_text

ROOT = Path(__file__).parents[2]
LOT_14 = read_job(ROOT / "notebooks/jobs/fernhollow-lot-14.toml")
HEAD = '[code]\nedition = "2023"\n[job]\nname = "test"\n'
HEATER = '[[loads]]\nname = "Strip heat"\nkind = "supplemental-heat"\nvolts = 240\n'


def test_a_notice_names_place_value_reason_and_what_is_likely_meant() -> None:
    (said,) = notices(parse_job(f"{HEAD}{HEATER}load_va = 960\n".encode()))
    assert (said.at, said.place) == ("loads[1].load_va", 'Load "Strip heat", nameplate load')
    assert (said.read, said.likely) == ("960 VA", "9,600, with a digit more")
    assert str(said).startswith('Load "Strip heat", nameplate load: 960 VA. Usual for supplemental heat: 1,500 to')
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


@pytest.mark.parametrize("mistake", mistakes(), ids=lambda mistake: f"{mistake.house}: {mistake.typed}")
def test_what_comes_of_a_plausible_mistake(mistake: Mistake) -> None:
    """Noticed there and nowhere else, refused there, short, not shown; or silent, and then nothing changes at all."""
    found = came(mistake, with_sheets=mistake.outcome not in ("noticed", "refused"))
    if mistake.outcome == "noticed":
        assert found.noticed == {named(mistake, at) for at in (mistake.noticed, *mistake.also)}
    elif mistake.outcome == "refused":
        assert named(mistake, mistake.refused) in found.refused
    elif mistake.outcome == "silent":
        assert (found.noticed, found.refused, found.open) == (set(), set(), set())
    else:
        families = {each.family for each in found.open if each.status == STATES[mistake.outcome]}
        assert getattr(mistake, mistake.outcome) in families


def test_few_plausible_mistakes_stay_silent() -> None:
    """`python -m tests.mistakes` counts them and gives the reason of each that nothing can be said of."""
    silent = [mistake for mistake in mistakes() if mistake.silent]
    assert len(mistakes()) >= 137
    assert len(silent) * 15 <= len(mistakes())


def test_each_rule_notices_some_mistake() -> None:
    idle = {rule.__qualname__: rule for rule in RULES}
    for mistake in mistakes():
        if mistake.noticed:
            job = changed(home(mistake.house), mistake.changes)
            idle = {name: rule for name, rule in idle.items() if not any(rule(job))}
    assert not idle


EVERY_ROW = [row for rows_of in usual().values() for row in rows_of]


@pytest.mark.parametrize("row", EVERY_ROW, ids=lambda row: f"{row.entry} {row.when}")
def test_a_usual_range_speaks_of_an_entry_that_can_lie_outside_it(row: Usual) -> None:
    """Its entry and the entries that it depends on are declared; the range is narrower than the limits, and holds the default."""
    path, _, key = row.entry.rpartition(".")
    part = part_at(path)[0]
    facts = field_info(part, "load_va" if key == "va" else key)
    assert facts.least is not None
    assert facts.most is not None
    assert (facts.least, facts.most) != (row.low, row.high)
    assert facts.least <= row.low < row.high <= facts.most
    assert facts.default is None or facts.required or row.low <= facts.default <= row.high
    for name, wanted in row.when.items():
        allowed = field_info(part, name).choices or (True, False)
        assert set(wanted if isinstance(wanted, list) else [wanted]) <= set(allowed)
    assert row.impossible_below < row.low or row.impossible_below == 0


@pytest.mark.parametrize("row", rows(), ids=lambda row: " ".join(row.words))
def test_a_name_speaks_of_kinds_that_there_are(row: object) -> None:
    entry, fits = row.entry, row.fits  # type: ignore[attr-defined]
    path, _, key = entry.rpartition(".")
    assert set(fits) <= set(field_info(part_at(path)[0], key).choices)


TRUE = {
    "X15": {"loads[1].load_va": "the source gives its dishwasher 168 VA"},
    **{
        source: dict.fromkeys(places, "the source's building of many units stands in a one-family dwelling")
        for source, places in {
            "AD-D6-A": ["loads[1].count"], "AD-D6-B": ["loads[1].count", "loads[3].count"], "X23": ["loads[1].count"],
            "X24-35x8.85": ["loads[1].count"], "X65": ["loads[1].count", "loads[3].count"],
        }.items()
    },
}  # fmt: skip
"""Notices of the published examples that are no false alarms, with what is true of them."""

KEPT = sorted(path for folder in ("notebooks/jobs", "templates/jobs") for path in (ROOT / folder).glob("*.toml"))
PUBLISHED = list({job_text(example): example for example in examples()}.items())


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_demo_houses_and_starters_raise_no_false_alarm(path: Path) -> None:
    assert [str(said) for said in notices(read_job(path)) if not said.confirmed] == []


def test_published_examples_raise_no_false_alarm() -> None:
    for text, example in PUBLISHED:
        assert {said.at for said in notices(parse_job(text.encode()))} == set(TRUE.get(example.id, ())), example.id


def test_samples_can_be_noticed_and_confirmed_throughout() -> None:
    """Whatever is noticed in the test samples has a place in words, and stands as confirmed once someone says so."""
    seen = 0
    for path in sorted((ROOT / "tests/samples").glob("*.toml")):
        job: Job = read_job(path)
        for said in notices(job):
            seen += 1
            assert said.place
            assert said.odd
            after = changed(job, said.confirming)
            assert next(other for other in notices(after) if other.at == said.at).confirmed
    assert seen > 5
