"""Schedules of small panels: rooms, tandems, spares, old and new; loads by their names; every space and no more."""

from __future__ import annotations

import pytest

from calc.documents.house import tables_beside
from calc.job import Job
from calc.wiring.house import House
from calc.work.table import Table
from calc.work.text import table_text
from tests.families.runs import job, run, toml

HOUSE = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1620\n'


def circuit(name: str = "C", **keys: object) -> str:
    return toml("circuits", name=name, **{"panel": "P", "purpose": "individual", **keys})


def schedule(made: Job, panel: str = "P") -> Table:
    found = tables_beside(House.of(made), "branch-circuits")
    return next(table for table in found if table.title == f"Schedule of {panel}")


def sides(table: Table) -> dict[str, tuple[str, str, str]]:
    """What each space of a grid says: name, breaker and protection, volt-amperes."""
    found = {}
    for row in (row for row in table.rows if len(row) > 1):
        number, name, _, breaker, guard, va, _, va2, guard2, breaker2, _, name2, number2 = row
        found[number] = (name, f"{breaker} {guard}".strip(), va)
        found[number2] = (name2, f"{breaker2} {guard2}".strip(), va2)
    return found


def test_a_schedule_tells_breakers_protection_old_and_new() -> None:
    """Each leg takes half of a two-pole circuit; an existing circuit is as found, an empty place a space."""
    text = HOUSE + toml("panels", name="P", spaces=6)
    text += circuit("Lights", purpose="lighting", positions=[1], breaker_a=15, breaker_type="arc-fault")
    text += circuit("Old", purpose="general", status="existing", positions=[4], breaker_a=20)
    text += circuit("Heater", poles=2, positions=[3, 5])
    text += toml("loads", name="Heater", kind="water-heater", load_va=4500, volts=240, circuit="Heater")
    assert sides(schedule(job(text))) == {
        "1": ("Lights, new", "15 AFCI", "1,620"), "2": ("space", "", ""), "3": ("Heater, new", "25\u00a02P", "2,250"),
        "4": ("Old, as found", "20", "1,620"), "5": ("second pole", "", "2,250"), "6": ("space", "", ""),
    }  # fmt: skip


def test_nothing_of_an_existing_circuit_is_made_up() -> None:
    """No place, rating or load: what nobody says is said to be missing; the range has its nameplate by its name; what goes
    is named, not dropped."""
    text = HOUSE + toml("panels", name="P", status="existing", spaces=12) + "".join((
        circuit("Range", poles=2, status="existing", breaker_a=50),
        circuit("Old one", status="existing"),
        circuit("Kept", status="existing", purpose="general", positions=[1], breaker_a=15, load_va=900),
        circuit("Furnace", status="removed", positions=[4], breaker_a=15),
        circuit("New one", purpose="general", load_va=700, breaker_a=15),
        toml("loads", kind="range", load_va=11500, volts=240, name="Range", status="existing"),
    ))  # fmt: skip
    table = schedule(job(text))
    names = [column.name for column in table.columns]
    rows = {row[1]: dict(zip(names, row, strict=True)) for row in table.rows}
    assert (rows["Range"]["Spaces"], rows["Range"]["Breaker, A"], rows["Range"]["Connected, VA"]) == (
        "not stated",
        "50",
        "11,500",
    )
    assert (rows["Old one"]["Breaker, A"], rows["Old one"]["Connected, VA"]) == ("verify", "not stated")
    assert rows["Kept"]["Spaces"] == "1"
    assert (rows["Furnace"]["Work"], rows["Furnace"]["Spaces"]) == ("removed", "4")
    assert rows["New one"]["Spaces"] == "not stated"
    assert "Ratings to be read on site: Old one." in table.notes


def test_a_spare_is_a_breaker_and_an_empty_place_is_a_space() -> None:
    """A breaker that feeds nothing has a rating; no load is missing from it."""
    text = HOUSE + toml("panels", name="P", spaces=4) + circuit("Extra", purpose="spare", positions=[1], breaker_a=20)
    found = sides(schedule(job(text + circuit("Lights", purpose="lighting"))))
    assert found["1"] == ("spare: Extra", "20", "")
    assert ("space", "", "") in found.values()


def test_connected_and_demand_load_are_called_by_their_names() -> None:
    """17,000 VA by nameplate are no load of the feeder: four appliances count at 75 %, and the head says which is which."""
    loads = "".join(
        toml("loads", name=f"Heater {n}", kind="water-heater", load_va=4250, volts=240, panel="P", circuit=f"C{n}")
        + circuit(f"C{n}", poles=2)
        for n in range(4)
    )
    text = (
        HOUSE
        + toml("panels", name="M", service_equipment=True, fed_from="utility")
        + toml("panels", name="P", spaces=20)
    )
    text += loads + toml("runs", name="F", role="feeder", fed_from="M", feeds="P", volts=240, material="copper",
                         insulation="THHN", wiring_method="EMT", neutral=True, served_area_ft2=0)  # fmt: skip
    text += toml("loads", name="Range", kind="range", load_va=8000, volts=240, panel="M")
    intro = schedule(job(text)).intro
    assert "Connected 17,000 VA; leg 1 8,500 VA, leg 2 8,500 VA" in intro
    assert "Demand 12,750 VA, 53.1 A: each group with the demand of its own rule" in intro
    assert "available" not in intro  # nothing is said of what is not this calculation's


@pytest.mark.parametrize(("spaces", "rows"), [(5, 3), (6, 3), (None, 2)])
def test_every_space_has_its_place(spaces: int | None, rows: int) -> None:
    """Five spaces are three rows to a whole row; without a stated number the schedule ends with the last one taken."""
    panel = toml("panels", name="P", spaces=spaces) if spaces else toml("panels", name="P")
    table = schedule(job(panel + circuit("a", positions=[3], load_va=120, breaker_a=15)))
    assert [row[0] for row in table.rows] == [str(n) for n in (1, 3, 5)][:rows]
    assert [row[12] for row in table.rows] == [str(n) for n in (2, 4, 6)][:rows]
    assert [row[6] for row in table.rows] == ["1", "2", "1"][:rows]
    assert [column.align == "right" for column in table.columns] == [n in (0, 5, 7, 12) for n in range(13)]


def test_spaces_after_the_last_breaker_are_told_in_a_line() -> None:
    """Forty spaces of which three are taken: rows to the last one, then how many are left; the terminal prints it too."""
    table = schedule(job(toml("panels", name="P", spaces=40) + circuit("a", positions=[3], load_va=120, breaker_a=15)))
    assert [row[0] for row in table.rows] == ["1", "3", "5 to 40: 36 spaces"]
    assert "5 to 40: 36 spaces" in table_text(table)


def test_halves_of_a_tandem_stand_in_one_space() -> None:
    """Both, with both breakers and both loads."""
    text = toml("panels", name="P", spaces=4, circuits_most=8)
    text += circuit("a", positions=[1], tandem="a", breaker_a=15, load_va=300)
    text += circuit("b", positions=[1], tandem="b", breaker_a=20, load_va=500)
    assert sides(schedule(job(text)))["1"] == ("a: a / b: b", "15 / 20", "300 / 500")


def test_a_feeder_of_which_no_load_is_known_says_so() -> None:
    """It takes two spaces all the same, and adds nothing."""
    text = toml("panels", name="P", spaces=40) + toml("panels", name="Sub")
    text += run(name="F", fed_from="P", feeds="Sub", neutral=True, breaker_a=60)
    text += circuit("a", positions=[5], load_va=1200)
    found = sides(schedule(job(text)))
    (feeder,) = [cells for cells in found.values() if cells[0] == "Sub (F)"]
    assert feeder[1:] == ("60\u00a02P", "not stated")


def test_volt_amperes_are_rounded_as_a_person_rounds() -> None:
    """Half a volt-ampere goes up."""
    text = toml("panels", name="P", spaces=4) + circuit("a", positions=[1], load_va=1462.5)
    assert sides(schedule(job(text)))["1"][2] == "1,463"


def test_three_legs_are_not_drawn_as_two() -> None:
    """A three-phase panel is a list with the reason, not a grid that puts a load on a leg where it is not."""
    text = '[service]\nsystem = "208Y/120"\nphases = 3\n' + toml("panels", name="P", spaces=12)
    table = schedule(job(text + circuit("a", positions=[1], load_va=100, breaker_a=15)))
    assert "Leg" not in [column.name for column in table.columns]
    assert "leg 1" not in table.intro
    assert any("three-phase" in note for note in table.notes)
    assert (table.rows[0][0], table.rows[0][1]) == ("1", "a")
