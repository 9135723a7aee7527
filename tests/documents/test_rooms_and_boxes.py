"""Rooms and boxes: one row each, what decides first, amounts that never round a shortfall away."""

from __future__ import annotations

import pytest

from calc.documents.house import box_table, room_table
from calc.work import STATUSES, loud
from calc.work.table import Table
from tests.documents.houses import DEMO, demo, large, with_changes


def rows(table: Table | None) -> list[dict[str, str]]:
    if table is None:
        return []
    names = [column.name for column in table.columns]
    return [dict(zip(names, row, strict=True)) for row in table.rows]


@pytest.mark.parametrize("name", [*DEMO, "large"])
def test_every_box_and_room_in_scope_has_one_row(name: str) -> None:
    """As many rows as sheets, in both tables, each with its sheet."""
    house, stands = large() if name == "large" else demo(name)
    for family, table in (("box-fill", box_table(house, stands)), ("receptacles", room_table(house, stands))):
        sheets = stands.sheets.get(family, ())
        assert sorted(next(iter(row.values())).partition(" x ")[0] for row in rows(table)) == sorted(
            s.subject for s in sheets
        )
        if table is not None:
            assert len(table.sheets) == len(table.rows)


def test_the_tightest_box_comes_first() -> None:
    """The landing's box is full to the last cubic inch; one that is over reads more than 100 %."""
    found = rows(box_table(*demo("fernhollow-lot-14")))
    assert found[0]["Box"] == "B4 stair, landing"
    used = [int(row["Used, %"]) for row in found]
    assert used == sorted(used, reverse=True)
    assert (found[0]["Requires, in³"], found[0]["Has, in³"], found[0]["Used, %"]) == ("18.00", "18.00", "100")
    worst = rows(box_table(*demo("fernhollow-lot-12")))[0]
    assert int(worst["Used, %"]) > 100
    assert worst["State"] == "FALLS SHORT"


def test_a_box_that_is_hardly_over_is_not_100_percent() -> None:
    """20.25 in³ required of 20.2 is 101 %, not the 100 that rounding to the nearest would give."""
    house, stands = with_changes("fernhollow-lot-14", {"boxes[2].box": None, "boxes[2].marked_in3": 20.2})
    (row,) = [row for row in rows(box_table(house, stands)) if row["Box"].startswith("B2 ")]
    assert (row["Used, %"], row["State"]) == ("101", "FALLS SHORT")


def test_the_room_that_decides_comes_first() -> None:
    """Worst state first; among those that pass, the one whose farthest point has least left."""
    for name in ("fernhollow-lot-12", "fernhollow-lot-14"):
        found = rows(room_table(*demo(name)))
        states = [[loud(status) for status in STATUSES].index(row["State"]) for row in found]
        assert states == sorted(states)
    found = rows(room_table(*demo("fernhollow-lot-14")))
    left = [int(row["Left, %"]) for row in found if row["Left, %"]]
    assert left == sorted(left)
    assert found[0]["Farthest point, in, of limit"] == "72 of 72"


def test_a_room_tells_its_walls_counters_receptacles_and_lights() -> None:
    """The kitchen: three wall spaces, three of counters, seven receptacles, lights there."""
    (row,) = [row for row in rows(room_table(*demo("fernhollow-lot-14"))) if row["Room"] == "Kitchen"]
    told = tuple(row[key] for key in ("Wall spaces", "Counter spaces", "Receptacles required", "There", "Lighting"))
    assert told == ("3", "3", "7", "7", "there")


def test_a_room_without_walls_does_not_pass() -> None:
    """What can't be told without an entry is not shown, and the note names it."""
    house, stands = with_changes(
        "fernhollow-lot-14",
        {"rooms[1].walls": None, "rooms[1].outlets": None, "rooms[1].openings": None, "rooms[1].breaks": None},
    )
    table = room_table(house, stands)
    (row,) = [row for row in rows(table) if row["Room"] == "Family room"]
    assert row["State"] == "NOT SHOWN"
    assert table is not None
    assert any(note.startswith("Family room NOT SHOWN: ") and "walls" in note for note in table.notes)


def test_like_reasons_stand_in_one_note() -> None:
    """Eighty rooms without walls are one note that names them, not eighty notes."""
    table = room_table(*large())
    assert table is not None
    notes = [note for note in table.notes if "walls" in note and "NOT SHOWN" in note]
    assert len(notes) == 1
    assert notes[0].startswith("Room 0 ")
