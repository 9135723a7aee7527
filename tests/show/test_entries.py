"""What a form draws from the job model, and how what is typed and pasted becomes what a job file says."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import changed, parse_job, read_job
from calc.job.fields import MOST_ITEMS, Part, field_info, keys_of, parts_of
from calc.job.forms import form_of, forms, left_out
from calc.job.model import Job, part_at
from calc.job.texts import from_text
from calc.show.entries import described, names_in, pasted, shown_place, spread, texts, told_change

HOUSES = sorted((Path(__file__).parents[2] / "notebooks" / "jobs").glob("*.toml"))
ROOMS = (("rooms", ("name", "use", "walls", "outlets", "counters")),)
DATA = {
    "rooms": [
        {"name": "Den", "walls": [{"name": "north", "length_ft": 12}, {"name": "east", "length_ft": 9.5}]},
        {"name": "Kitchen", "counters": [{"name": "island", "outlets": [{"at_in": 6}, {"at_in": 40}]}]},
    ],
    "panels": [{"name": "Main"}, {"name": "Shop, upstairs"}],
}


def test_a_place_knows_its_part() -> None:
    assert part_at("dwelling")[0].__name__ == "Dwelling"
    assert part_at("rooms[2].counters[1].outlets") == part_at("rooms.counters.outlets")
    assert part_at("rooms.counters.outlets")[1]
    with pytest.raises(KeyError):
        part_at("rooms.doors")


def test_lists_inside_a_list_become_groups_of_their_own() -> None:
    groups = dict(spread(ROOMS))
    assert groups["rooms"] == ("name", "use")
    assert list(groups) == [
        "rooms", "rooms.walls", "rooms.outlets", "rooms.counters", "rooms.counters.breaks", "rooms.counters.outlets",
    ]  # fmt: skip
    (outlets,) = [g for g in described(spread(ROOMS)) if g["at"] == "rooms.counters.outlets"]
    assert outlets["within"] == ["rooms", "rooms.counters"]
    assert (outlets["title"], outlets["one"]) == ("Outlets of counters", "Outlet")


def test_a_list_inside_may_choose_its_fields() -> None:
    form = (*ROOMS, ("rooms.walls", ("name", "length_ft")))
    assert dict(spread(form))["rooms.walls"] == ("name", "length_ft")
    assert [at for at, _ in spread(form)].count("rooms.walls") == 1


@pytest.mark.parametrize("name", families())
def test_each_family_has_a_form_whose_fields_are_declared(name: str) -> None:
    """Labels, help and choices come from the model: no field without a label and a line of help."""
    for group in described(spread(form_of(name))):
        assert group["title"]
        for field in group["fields"]:
            assert field["label"], (group["at"], field["key"])
            assert field["help"], (group["at"], field["key"])
            assert not (field["choices"] and field["number"]), (group["at"], field["key"])


def test_each_family_and_the_fix_list_have_a_form_and_nothing_else_has() -> None:
    assert set(forms()) == {*families(), "fixes"}


def test_every_field_of_a_job_stands_in_a_form_or_among_those_left_out() -> None:
    shown: dict[str, set[str]] = {}
    for at, names in (group for form in forms().values() for group in spread(form)):
        shown.setdefault(at, set()).update(names)

    def fields(part: type[Part], at: str) -> Iterator[tuple[str, str]]:
        for name, (inner, _) in parts_of(part).items():
            yield from fields(inner, f"{at}.{name}".lstrip("."))
        yield from ((at, name) for name in keys_of(part) if at and name not in parts_of(part))

    left = {at: set(names) for at, names in left_out().items()}
    for at, name in fields(Job, ""):
        assert (name in shown.get(at, ())) != (name in left.get(at, ())), f"{at}.{name}: in forms.toml, once"
    known = set(fields(Job, ""))
    assert {(at, name) for at, names in {**left, **shown}.items() for name in names} <= known


@pytest.mark.parametrize("name", families())
def test_no_two_fields_of_one_entry_share_a_label(name: str) -> None:
    """A screen reader tells fields apart by label alone."""
    for group in described(spread(form_of(name))):
        labels = [field["label"] for field in group["fields"]]
        assert len(set(labels)) == len(labels), (group["at"], sorted(labels))


def test_texts_have_each_shown_place_and_the_length_of_each_list() -> None:
    said = texts(DATA, spread(ROOMS))
    assert said["rooms#"] == "2"
    assert said["rooms[1].walls#"] == "2"
    assert said["rooms[1].walls[2].length_ft"] == "9.5"
    assert said["rooms[2].counters[1].outlets[2].at_in"] == "40"
    assert said["rooms[2].walls#"] == "0"
    assert "rooms.walls#" not in said
    assert set(texts({}, spread(ROOMS))) == {"rooms#"}


def test_names_to_refer_to_are_those_of_the_job_or_of_the_same_room() -> None:
    found = names_in(DATA, spread(ROOMS))
    assert found["rooms[1].walls"] == ["north", "east"]
    assert found["rooms[2].walls"] == []
    assert names_in(DATA, (("runs", ("fed_from",)),))["panels"] == ["Main", "Shop, upstairs"]


@pytest.mark.parametrize(
    ("at", "place"),
    [
        ("rooms[1].walls[2].length_ft", "rooms[1].walls[2].length_ft"),
        ("rooms[1].name", "rooms[1].name"),
        ("rooms[1].finished", "rooms[1]"),
        ("rooms[1].walls[2]", "rooms[1].walls[2]"),
        ("rooms", "rooms"),
        ("loads[1].name", ""),
        ("", ""),
    ],
)
def test_a_problem_stands_beside_the_nearest_thing_shown(at: str, place: str) -> None:
    assert shown_place(at, texts(DATA, spread(ROOMS))) == place


def every_text(data: Any) -> list[tuple[str, str]]:
    groups = [(at, tuple(part_at(at)[0].model_fields)) for at in parts_of(Job)]
    return [(at, text) for at, text in texts(data, spread(groups)).items() if text and not at.endswith("#")]


@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_typing_what_a_form_shows_says_what_the_file_says(path: Path) -> None:
    """Every field of every demo house: text out, text in, the same job."""
    job = read_job(path)
    places = every_text(job.data)
    assert len(places) > 20
    new = {}
    for at, text in places:
        outer, _, name = at.rpartition(".")
        new[at] = from_text(text, part_at(outer)[0], name)
    assert changed(job, new).model_dump() == job.model_dump()


def test_a_text_field_takes_brackets_as_text() -> None:
    """'[2] upstairs' is a name, not a list."""
    for text in ("[2]", "{x}", '["a"]', "[not closed"):
        assert from_text(text, part_at("loads")[0], "name") == text


def test_names_with_commas_stay_whole() -> None:
    names = ["Heat pump, upstairs", "Fan"]
    part = part_at("loads")[0]
    said = texts({"loads": [{"runs_with": names}]}, (("loads", ("runs_with",)),))["loads[1].runs_with"]
    assert from_text(said, part, "runs_with") == names


@pytest.mark.parametrize(
    ("text", "value"), [("1,250", 1250), ("1250.5", 1250.5), (" 12 ", 12), ("1,25", "1,25"), ("12,5", "12,5"), ("1e999", "1e999"),
                        ("nan", "nan"), ("٣٢", "٣٢"), ("1_000", "1_000"), ("", None)]
)  # fmt: skip
def test_numbers_are_read_only_where_they_can_mean_one_thing(text: str, value: Any) -> None:
    assert from_text(text, part_at("dwelling")[0], "floor_area_ft2") == value


def test_rows_from_a_spreadsheet() -> None:
    names = ("name", "kind", "load_va", "volts", "fastened")
    rows = pasted("Range\trange\t12,000\t240\n\nFan\tfan\t80\t120\tyes\n", "loads", names)
    assert rows == [
        {"name": "Range", "kind": "range", "load_va": 12000, "volts": 240},
        {"name": "Fan", "kind": "fan", "load_va": 80, "volts": 120, "fastened": True},
    ]


def test_a_heading_row_sets_the_columns() -> None:
    names = ("name", "kind", "load_va", "volts")
    title = field_info(part_at("loads")[0], "load_va").title
    assert pasted(f"{title}, VA\tLoad\n80\tFan", "loads", names) == [{"load_va": 80, "name": "Fan"}]
    assert pasted("volts\tname\n120\tFan", "loads", names) == [{"volts": 120, "name": "Fan"}]
    with pytest.raises(ValueError, match='no column is called "Price" here'):
        pasted("volts\tname\tPrice\n120\tFan\t80", "loads", names)


def test_a_cell_with_quotes_or_lines_in_it_is_one_cell() -> None:
    names = ("name", "room")
    assert pasted('"4"" box"\tDen', "boxes", names) == [{"name": '4" box', "room": "Den"}]
    assert pasted('4" box\tDen', "boxes", names) == [{"name": '4" box', "room": "Den"}]


def test_a_paste_that_no_house_has_is_refused() -> None:
    with pytest.raises(ValueError, match=f"takes up to {MOST_ITEMS:,}"):
        pasted("Fan\n" * (MOST_ITEMS + 1), "loads", ("name",))


def test_pasted_rows_make_a_job() -> None:
    rows = pasted("name\tkind\tload_va\tvolts\nFan\tfan\t80\t120", "loads", ("name", "kind", "load_va", "volts"))
    job = parse_job(b'[code]\nedition = "2023"\n[job]\nname = "x"\n')
    assert changed(job, {"loads": rows}).loads[0].load_va == 80


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ({"dwelling.floor_area_ft2": "1"}, {"dwelling.floor_area_ft2": "2"}, "Floor area"),
        ({"boxes#": "2", "boxes[1].name": "A", "boxes[2].name": "B"}, {"boxes#": "1", "boxes[1].name": "B"}, "Boxes: A removed"),
        ({"boxes#": "1", "boxes[1].name": "A"}, {"boxes#": "2", "boxes[1].name": "A", "boxes[2].name": "B"}, "Boxes: B added"),
        ({"boxes#": "2", "boxes[1].name": "A", "boxes[2].name": "B"}, {"boxes#": "2", "boxes[1].name": "B", "boxes[2].name": "A"}, "Boxes: order"),
        ({"boxes#": "1", "boxes[1].name": "A", "boxes[1].marked_in3": "1"}, {"boxes#": "1", "boxes[1].name": "A", "boxes[1].marked_in3": "2"}, "A, Marked volume"),
        ({"boxes#": "1", "boxes[1].name": "A"}, {"boxes#": "1", "boxes[1].name": "C"}, "C, Box"),
    ],
)  # fmt: skip
def test_what_undo_would_take_back_is_named(before: dict[str, str], after: dict[str, str], said: str) -> None:
    assert told_change(before, after) == said
