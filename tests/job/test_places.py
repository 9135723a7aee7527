"""A place in a job is read in one way: by people, files and forms from 1, by the program from 0."""

import pytest

from calc.job import new_job, parse_job
from calc.job.model import Job, field_at, part_at
from calc.job.places import Loc, around, dotted, keys, steps, value_at
from calc.wiring.house import House

PLACES: list[tuple[str, Loc]] = [
    ("", ()),
    ("dwelling.floor_area_ft2", ("dwelling", "floor_area_ft2")),
    ("loads[3].load_va", ("loads", 2, "load_va")),
    ("rooms[2].walls[11].length_ft", ("rooms", 1, "walls", 10, "length_ft")),
    ("circuits[1].rooms[2]", ("circuits", 0, "rooms", 1)),
]


@pytest.mark.parametrize(("at", "loc"), PLACES)
def test_a_place_is_read_and_written(at: str, loc: Loc) -> None:
    assert steps(at) == loc
    assert dotted(loc) == at
    assert keys(at) == [step for step in loc if isinstance(step, str)]
    assert around(at) == dotted(loc[:-1])


@pytest.mark.parametrize(
    "at", ["loads[x]", "loads[3", ".name", "loads..name", "loads[1]name", "[1]", "a]b", "loads[-1]"]
)
def test_text_that_is_no_place_is_refused(at: str) -> None:
    with pytest.raises(KeyError, match="is not a place in a job"):
        steps(at)


@pytest.mark.parametrize("at", ["a[b]", "loads[3", "x y.z]", "[[[", "..."])
def test_going_outwards_ends_for_any_text(at: str) -> None:
    for _ in range(10):
        at = around(at)
    assert at == ""


def test_value_at() -> None:
    data = {"boxes": [{"devices": [{"wire": "12"}]}], "job": {"name": "x"}}
    assert value_at(data, "boxes[1].devices[1].wire") == "12"
    assert value_at(data, "job.name") == "x"
    assert [value_at(data, at) for at in ("boxes[2].name", "boxes[0]", "job.name.more", "rooms[1].walls")] == [None] * 4


def test_the_field_at_a_place() -> None:
    assert part_at("") == (Job, False)
    part, name = field_at("rooms[2].walls[1].length_ft")
    assert (part.__name__, name) == ("Wall", "length_ft")
    for at in ("rooms[2].wall", "room.name", "rooms.walls.length_ft.more"):
        with pytest.raises(KeyError):
            field_at(at)


def test_a_job_and_its_data_are_read_alike() -> None:
    job = parse_job(new_job("House").encode())
    assert value_at(job, "job.name") == value_at(job.data, "job.name") == "House"
    assert value_at(job, "loads[1].name") == job.loads[0].name
    assert value_at(job, "loads[99].name") is None


def test_what_is_no_job_is_not_taken_for_one_that_says_nothing() -> None:
    with pytest.raises(TypeError):
        value_at(House.of(parse_job(new_job("House").encode())).job, "job.name")
