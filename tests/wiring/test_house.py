"""The worked house: each thing once, again only where what it read has changed, and then the same as working it anew."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import is_dataclass
from pathlib import Path
from threading import Event

import pytest

from calc.families import families, feeder, voltage_drop
from calc.job import Job, changed, read_job
from calc.job.fields import Part
from calc.verdict.standing import standing
from calc.wiring.house import House, _Read, remembered
from calc.work import Missing, Refused, Sheet
from tests.families.runs import LUGS_75, job, run
from tests.wiring.changes import compared

ASKED: list[str] = []


@remembered
def names(house: House) -> tuple[str, ...]:
    """The names of the runs."""
    ASKED.append("names")
    return tuple(each.name for each in house.job.runs)


@remembered
def greeting(house: House, word: str) -> str:
    """A word for each run."""
    ASKED.append("greeting")
    return " ".join(f"{word} {name}" for name in names(house))


@remembered
def refusing(house: House) -> None:
    """Refuses for the length of the first run."""
    ASKED.append("refusing")
    raise Missing(f"{house.job.runs[0].length_ft} ft", at="runs[1]")


@pytest.fixture
def house() -> House:
    """A house of one run, asked nothing yet."""
    ASKED.clear()
    return House.of(one_run())


def one_run(**keys: object) -> Job:
    """A job of one run."""
    return job(run(**{"size": "8", "calculated_a": 30, "length_ft": 50, **LUGS_75, **keys}), "2023")


def test_what_is_asked_twice_is_worked_once_for_the_same_values(house: House) -> None:
    assert greeting(house, "to") == greeting(house, "to") == "to R"
    assert greeting(house, "at") == "at R"
    assert ASKED == ["greeting", "names", "greeting"]


def test_what_did_not_read_the_change_is_taken_over(house: House) -> None:
    greeting(house, "to")
    other = house.with_job(changed(house.whole_job, {"dwelling": {"kind": "one-family", "floor_area_ft2": 900}}))
    assert greeting(other, "to") == "to R"
    assert ASKED == ["greeting", "names"]


def test_what_read_the_same_of_a_changed_part_is_taken_over_too(house: House) -> None:
    """The runs are read anew; since their names are what they were, the greeting is not worked again."""
    greeting(house, "to")
    other = house.with_job(one_run(length_ft=60))
    assert greeting(other, "to") == "to R"
    assert ASKED == ["greeting", "names", "names"]
    assert greeting(other.with_job(one_run(name="S")), "to") == "to S"


def test_a_refusal_is_remembered_and_raised_for_each_who_asks(house: House) -> None:
    for _ in range(2):
        with pytest.raises(Refused, match="50"):
            refusing(house)
    with pytest.raises(Refused, match="60"):
        refusing(house.with_job(one_run(length_ft=60)))
    assert ASKED == ["refusing", "refusing"]


def test_a_file_that_changes_is_read_again(house: House, tmp_path: Path) -> None:
    path = tmp_path / "record.csv"
    path.write_text("1")

    @remembered
    def text(house: House) -> str:
        return house.file(path).read_text()

    assert text(house) == "1"
    path.write_text("22")
    assert text(house.with_job(house.whole_job)) == "22"


def test_a_utility_s_record_that_is_replaced_is_worked_again(tmp_path: Path) -> None:
    for name in ("measured-readings.toml", "measured-readings.csv"):
        (tmp_path / name).write_bytes((Path("tests/samples") / name).read_bytes())
    house = House.of(read_job(tmp_path / "measured-readings.toml"))
    (tmp_path / "measured-readings.csv").write_text("time,kw\n")
    before = families()["dwelling-load"].work(house)[0].status
    (tmp_path / "measured-readings.csv").write_bytes(Path("tests/samples/measured-readings.csv").read_bytes())
    after = families()["dwelling-load"].work(house.after(house.whole_job))[0].status
    assert (before, after) == ("not shown", "falls short")


def test_lines_replaced_leave_the_house_alone(house: House) -> None:
    (sheet,) = feeder.work(house)
    assert feeder.work(house)[0] is sheet
    (other,) = feeder.work(house.with_lines("feeder", {"calculated_a": 35.0}))
    assert (other.results["calculated_a"], sheet.results["calculated_a"]) == (35, 30)
    assert voltage_drop.work(house)[0] is voltage_drop.work(house)[0]
    assert house.with_lines("box-fill", {"grounds_in3": 9.0}).unchanged.job.runs == house.job.runs


def test_a_day_of_edits_keeps_no_more_than_a_dozen_houses(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("calc.wiring.house.MOST_BEFORE", 4)
    for number in range(40):
        greeting(house, f"to{number}")
        house = house.with_job(one_run(length_ft=51 + number))
        assert len(house._before) <= 4 + 2
    assert greeting(house, "to39") == "to39 R"
    assert ASKED.count("greeting") == 40


def test_two_threads_that_work_one_house_keep_what_they_read_apart(house: House) -> None:
    """A page works its fix list beside its walk sheets: what one reads must not be noted, or lost, with the other."""
    begun, go_on = Event(), Event()

    @remembered
    def slow(house: House) -> int:
        begun.set()
        go_on.wait(5)
        return len(house.job.loads)

    with ThreadPoolExecutor(1) as beside:
        waiting = beside.submit(slow, house)
        assert begun.wait(5)
        assert house.job.rooms == ()  # read by nobody who is being worked
        go_on.set()
        assert waiting.result(5) == 0
    assert greeting(house, "to") == "to R"
    reads = {key.of[0].__name__: [part.of for part in found.reads] for key, found in house._known.items()}
    assert reads["slow"] == [("part", "loads")]
    assert reads["names"] == [("part", "runs")]


def test_names_of_values_are_not_taken(house: House) -> None:
    with pytest.raises(TypeError, match="name none"):
        greeting(house, word="to")


@pytest.mark.parametrize("house_name", ["fernhollow-lot-12", "fernhollow-lot-14", "cask-lane-27-new-service"])
def test_a_changed_house_says_what_a_new_one_says(house_name: str) -> None:
    """Random changes one after another; `python -m tests.wiring.changes` makes thousands."""
    same, refused = compared(Path("notebooks/jobs") / f"{house_name}.toml", seed=1, count=12)
    assert same + refused == 12
    assert same > 4


def test_an_edit_works_again_only_what_it_can_touch() -> None:
    """A box of the demo house changes: no sheet of another family is another one."""
    before = House.of(read_job(Path("notebooks/jobs/fernhollow-lot-14.toml")))
    first = standing(before).sheets
    after = before.with_job(changed(before.whole_job, {"boxes[1].marked_in3": 30.0}))
    again = standing(after).sheets
    kept = {name for name in families() if all(a is b for a, b in zip(first[name], again[name], strict=True))}
    assert set(families()) - kept <= {"box-fill"}


@pytest.mark.parametrize(
    ("house_name", "change", "family", "subjects"),
    [
        ("tinkers-row-4", {"service.rating_a": 400}, "dwelling-load", ["Two-bedroom flats", "Studio"]),
        ("fernhollow-lot-12", {"circuits[1].breaker_a": 25}, "feeder", ["R7 strip heat and blower"]),
    ],
)
def test_a_change_elsewhere_leaves_a_sheet_as_it_is(
    house_name: str,
    change: Mapping[str, object],
    family: str,
    subjects: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Another service is no other load of a flat, and another circuit no other conductors of a run."""
    made: list[str] = []
    sheet = House.sheet

    def noted(house: House, family: str, title: str, subject: str, *rest: object, **named: object) -> Sheet:
        made.append(f"{title} {subject}")
        return sheet(house, family, title, subject, *rest, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(House, "sheet", noted)
    before = House.of(read_job(Path(f"notebooks/jobs/{house_name}.toml")))
    families()[family].work(before)
    assert all(any(about in each for each in made) for about in subjects)
    made.clear()
    families()[family].work(before.with_job(changed(before.whole_job, dict(change))))
    assert [each for each in made if any(about in each for about in subjects)] == []


def test_no_result_holds_a_house() -> None:
    """A result may outlive the house that it was worked in: a house inside it would answer for another job."""
    for name in ("fernhollow-lot-12", "cask-lane-27-new-service", "tinkers-row-4"):
        house = House.of(read_job(Path(f"notebooks/jobs/{name}.toml")))
        standing(house)
        for key, result in house._known.items():
            assert not any(isinstance(each, House | _Read) for each in inside(result.value)), key.of[0].__name__


def inside(value: object, seen: set[int] | None = None) -> Iterator[object]:
    """All that a result is made of, but for the parts of the job."""
    seen = set() if seen is None else seen
    if id(value) in seen or isinstance(value, str | Part):
        return
    seen.add(id(value))
    yield value
    parts: Iterable[object] = ()
    if is_dataclass(value) and not isinstance(value, type):
        parts = vars(value).values() if hasattr(value, "__dict__") else ()
    elif isinstance(value, Mapping):
        parts = [*value.keys(), *value.values()]
    elif isinstance(value, list | tuple | set | frozenset):
        parts = value
    for part in parts:
        yield from inside(part, seen)
