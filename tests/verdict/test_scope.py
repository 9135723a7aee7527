"""What a job covers, and the verdict over exactly that."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.families import families
from calc.job import Job, JobError, changed, parse_job, read_job
from calc.job.places import value_at
from calc.remedies import fixes_sheet
from calc.verdict.scope import DATA, scope_of
from calc.verdict.standing import Standing, standing, standing_text
from calc.wiring.house import House
from calc.work import NOT_SHOWN, PASSES, STATUSES, worst
from calc.workplace import shipped_notebooks

JOBS = shipped_notebooks() / "jobs"
BARE = '[code]\nedition = "2023"\n[job]\nname = "hill"\n'
HOUSE = BARE + '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1500\n'


def stands(job: Job) -> Standing:
    return standing(House.of(job))


def scoped(text: str, *covers: str) -> Job:
    listed = ", ".join(f'"{each}"' for each in covers)
    return parse_job(f"{text}\n[scope]\ncovers = [{listed}]\n".encode())


def demo(name: str, changes: dict[str, Any] | None = None) -> Job:
    return changed(read_job(JOBS / f"{name}.toml"), changes or {})


def test_a_job_of_nothing_has_no_passing_verdict() -> None:
    """Nothing entered is nothing shown."""
    found = stands(parse_job(BARE.encode()))
    assert found.status == NOT_SHOWN
    assert not found.passes
    assert found.verdict == "Nothing: not shown"


def test_what_was_entered_is_the_scope_where_none_is_stated() -> None:
    """A dwelling and its loads cover the load calculation; nothing is claimed about conductors."""
    found = stands(parse_job(HOUSE.encode()))
    assert found.verdict == "Load calculation: passes"
    assert "Conductors" in found.outside
    assert not found.scope.stated


def test_whoever_covers_the_house_is_told_everything_that_is_not_shown() -> None:
    """The same entries under a wider claim don't pass: each calculation without a part is named with what it needs."""
    found = stands(scoped(HOUSE, "house"))
    assert found.status == NOT_SHOWN
    told = {each.family: each.what for each in found.open}
    assert set(told) == {"feeder", "voltage-drop", "fault-current", "grounding", "branch-circuits", "box-fill",
                         "receptacles", "panels", "rough-in"}  # fmt: skip
    assert "[[boxes]]" in told["box-fill"]


@pytest.mark.parametrize("said", ["kichen", "dwelling_load"])
def test_a_scope_that_is_not_known_names_what_is(said: str) -> None:
    """As bad input, whoever asks first: the scope alone, or all that is worked for a verdict."""
    for ask in (scope_of, stands):
        with pytest.raises(JobError, match=r"covers\[1\].*not known here"):
            ask(scoped(HOUSE, said))


def test_a_scope_of_a_file_says_its_line(tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    path.write_text(HOUSE + '[scope]\ncovers = ["dwelling-lode"]\n')
    with pytest.raises(JobError, match=rf'{path.name}:9: scope: covers\[1\].*did you mean "dwelling-load"'):
        scope_of(read_job(path))


def test_a_room_is_covered_with_its_circuits_and_boxes_and_nothing_else() -> None:
    """A kitchen claims nothing about the bedrooms, and its shortfalls are those of the whole house that are in it."""
    whole = stands(demo("fernhollow-lot-12"))
    kitchen = stands(demo("fernhollow-lot-12", {"scope": {"covers": ["Kitchen"]}}))
    assert kitchen.scope.title == "Kitchen"
    inside = {(each.family, each.about, each.what) for each in kitchen.open}
    everything = {(each.family, each.about, each.what) for each in whole.open}
    assert inside
    assert inside < everything
    assert not any("Bedroom" in about for _, about, _ in inside)
    assert {s.subject for s in kitchen.sheets["receptacles"]} == {"Kitchen"}
    assert kitchen.sheets["dwelling-load"] == []


@pytest.mark.parametrize(
    ("parts", "title"),
    [
        (2, "Raceway fill, Box fill"),
        (3, "Load calculation, Raceway fill, Box fill"),
        (4, "What was entered"),
    ],
)
def test_up_to_three_calculations_that_were_entered_are_named(parts: int, title: str) -> None:
    """More of them are no name."""
    entered = [
        '[[raceways]]\nname = "R"\nkind = "EMT"\nholds = ["3 x 12 THHN"]\n',
        '[[boxes]]\nname = "B"\nmarked_in3 = 18\ncables = ["14/2"]\n',
        '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1500\n',
        '[[panels]]\nname = "P"\nspaces = 20\nbus_a = 100\nmain_a = 100\nservice_equipment = true\n',
    ]
    assert scope_of(parse_job((BARE + "".join(entered[:parts])).encode())).title == title


def test_a_room_that_is_removed_stands_for_none() -> None:
    """A house has a kitchen; the one that is torn out is none of it."""
    rooms = {room.name: n for n, room in enumerate(read_job(JOBS / "fernhollow-lot-14.toml").rooms, 1)}
    whole = stands(demo("fernhollow-lot-14"))
    gone = stands(demo("fernhollow-lot-14", {f"rooms[{rooms['Kitchen']}].status": "removed"}))
    assert not any("of use kitchen" in each.what for each in whole.open)
    assert any("of use kitchen" in each.what for each in gone.open)


def test_what_the_scope_has_nothing_to_do_with_is_not_said_to_lack_the_houses_part() -> None:
    """A kitchen alone leaves out the house's own circuits; of raceways, which it has none of, nothing is said."""
    found = stands(scoped(HOUSE, "dwelling-load"))
    assert found.of_the_house == ()
    text = standing_text(found)
    assert "Dwelling load: passes" in text
    assert "Box fill" not in text.split("\n")[1]


def test_items_of_a_scope_are_counted_apart() -> None:
    job = demo("fernhollow-lot-12", {"scope": {"covers": ["dwelling-load", "box-fill"]}})
    says = {item.title: words for item, _, words in stands(job).of_each}
    assert says == {"Load calculation": "passes", "Box fill": "5 fall short"}


def test_one_open_question_keeps_the_whole_from_passing() -> None:
    """A verdict passes only where each sheet does."""
    for name in ("fernhollow-lot-14", "cask-lane-27", "tinkers-row-4"):
        found = stands(demo(name))
        assert found.status == worst(s.status for sheets in found.sheets.values() for s in sheets)
        assert found.passes == (not found.open)
        assert (found.status == PASSES) == all(s.passes for sheets in found.sheets.values() for s in sheets)


def test_every_kind_names_calculations_that_there_are() -> None:
    """Every calculation is part of a house; what a kind asks for exists."""
    import tomllib

    data = tomllib.loads(DATA.read_text())
    known = set(families())
    for kind in ("house", "service", "new-circuits", "place"):
        assert set(data[kind]["asks"]) <= known
    assert known <= {*data["house"]["asks"], *data["house"]["also"]}
    assert set(data["entered"]) <= known


def test_the_text_says_scope_verdict_and_each_missing_entry() -> None:
    text = standing_text(stands(scoped(HOUSE, "house")))
    assert text.startswith("Scope: House (as [scope] says).")
    assert "not shown: hill: Box fill: the job covers it and has no part for it yet" in text
    assert text.rstrip().endswith("House: 9 not shown.")


def test_the_fix_list_never_says_that_nothing_falls_short_of_what_nobody_entered() -> None:
    """Its sentence is the verdict, with its scope and what nothing is claimed of."""
    said = fixes_sheet(House.of(parse_job(HOUSE.encode())))
    assert said.groups == []
    assert said.intro.startswith("Load calculation: passes. Nothing is claimed here of: Conductors")
    said = fixes_sheet(House.of(parse_job(BARE.encode())))
    assert said.status == NOT_SHOWN
    assert said.intro.startswith("Nothing: not shown.")


def test_states_are_ordered_worst_first() -> None:
    assert worst([PASSES, NOT_SHOWN]) == NOT_SHOWN
    assert worst(STATUSES) == STATUSES[0]
    assert worst([]) == PASSES


@pytest.mark.parametrize(("part", "family"), [("alarms", "rough-in"), ("grounding", "grounding")])
def test_a_house_without_alarms_or_earth_is_not_shown_though_its_other_sheets_are_worked(
    part: str, family: str
) -> None:
    """Other sheets of the calculation, such as a workshop's electrodes, don't stand for the part that is missing."""
    house = demo("fernhollow-lot-14", {"scope.covers": ["house"]})
    found = stands(changed(house, {part: None}))
    new = set(found.open) - set(stands(house).open)
    assert (family, part) in {(each.family, each.at) for each in new}
    assert found.status != PASSES


def test_a_house_whose_kitchen_nobody_entered_is_not_shown() -> None:
    """Every dwelling has a kitchen, a bathroom and a place outdoors; rooms that are entered don't stand for those."""
    house = demo("fernhollow-lot-14")
    at = next(number for number, room in enumerate(house.rooms, 1) if room.use == "kitchen")
    found = stands(changed(house, {f"rooms[{at}].use": "office"}))
    assert any(each.family == "receptacles" and "[[rooms]] of use kitchen" in each.what for each in found.open)
    assert not found.passes


def test_new_circuits_are_covered_with_their_loads_and_runs_and_old_ones_are_not() -> None:
    """A new load on no circuit counts as one of its own; what hangs on an old circuit stays outside, new or not."""
    text = BARE
    for name, status in (("Fresh", "new"), ("Old", "existing")):
        text += f'[[circuits]]\nname = "{name}"\npurpose = "individual"\nstatus = "{status}"\n'
    loads = [("On fresh", "new", "Fresh"), ("Kept on fresh", "existing", "Fresh"), ("On old", "existing", "Old"),
             ("New on old", "new", "Old"), ("Free", "new", None), ("Free and old", "existing", None)]  # fmt: skip
    for name, status, circuit in loads:
        on = f'circuit = "{circuit}"\n' if circuit else ""
        text += f'[[loads]]\nname = "{name}"\nkind = "disposer"\nload_va = 900\nvolts = 120\nstatus = "{status}"\n{on}'
    for name, feeds in (("To fresh", "Fresh"), ("To old", "Old"), ("To free", "Free")):
        text += f'[[runs]]\nname = "{name}"\nrole = "branch"\nmaterial = "copper"\nfed_from = "utility"\nvolts = 120\nfeeds = "{feeds}"\n'
    (item,) = scope_of(scoped(text, "new-circuits")).items
    assert item.about == {"Fresh", "On fresh", "Kept on fresh", "Free", "To fresh", "To free"}


def test_the_service_is_covered_with_its_runs_and_the_panels_with_its_disconnect() -> None:
    """The panel that the utility feeds and the one marked as service equipment, their run and what it feeds; not a subpanel."""
    text = HOUSE
    for name, more in (("Meter-main", 'fed_from = "utility"'), ("Inside", "service_equipment = true"), ("Sub", "")):
        text += f'[[panels]]\nname = "{name}"\n{more}\n'
    text += '[[panels]]\nname = "Fed"\n[[runs]]\nname = "S"\nrole = "service"\nmaterial = "copper"\nfed_from = "utility"\nvolts = 240\nfeeds = "Fed"\n'
    text += '[[runs]]\nname = "F"\nrole = "feeder"\nmaterial = "copper"\nfed_from = "Fed"\nvolts = 240\nfeeds = "Sub"\n'
    (item,) = scope_of(scoped(text, "service")).items
    assert item.about == {"hill", "Meter-main", "Inside", "S", "Fed"}


def test_a_place_is_covered_with_what_stands_in_it_and_what_feeds_that() -> None:
    """The panel in a room, its circuits, their loads, their runs and the boxes of the room; nothing of the room beside it."""
    text = BARE
    for room in ("Shed", "Den"):
        text += f'[[rooms]]\nname = "{room}"\nuse = "other"\n[[panels]]\nname = "P {room}"\nroom = "{room}"\n'
        text += f'[[circuits]]\nname = "C {room}"\npurpose = "individual"\npanel = "P {room}"\n'
        text += f'[[loads]]\nname = "L {room}"\nkind = "disposer"\nload_va = 900\nvolts = 120\ncircuit = "C {room}"\n'
        text += f'[[runs]]\nname = "R {room}"\nrole = "feeder"\nmaterial = "copper"\nfed_from = "utility"\nvolts = 240\nfeeds = "P {room}"\n'
        text += f'[[boxes]]\nname = "B {room}"\nroom = "{room}"\n'
    (item,) = scope_of(scoped(text, "Den")).items
    assert item.about == {"Den", "P Den", "C Den", "L Den", "R Den", "B Den"}
    assert "receptacles" in item.asks
    (panel,) = scope_of(scoped(text, "P Den")).items
    assert "receptacles" not in panel.asks


def test_a_title_names_up_to_three_calculations_that_were_entered_and_all_that_was_asked_for() -> None:
    """More than three that nobody listed are 'What was entered'; a list of one's own is never shortened."""
    names = ("dwelling-load", "feeder", "grounding", "raceway")
    stated = scope_of(scoped(HOUSE, *names))
    assert len(stated.title.split(", ")) == 4
    entered = HOUSE + '[[panels]]\nname = "P"\n[[boxes]]\nname = "B"\n[[stairs]]\nname = "St"\nrisers = 8\n'
    entered += '[[circuits]]\nname = "C"\npurpose = "individual"\npanel = "P"\n'
    found = scope_of(parse_job(entered.encode()))
    assert len(found.items) > 3
    assert found.title == "What was entered"
    assert scope_of(scoped(HOUSE, *names[:3])).title.count(",") == 2


def test_a_room_named_as_a_place_alone_is_no_receptacle_work() -> None:
    """Receptacles count as entered by walls, counters, outlets or a stair; rough-in by panels, buildings or boxes."""
    room = '[[rooms]]\nname = "Den"\nuse = "den"\n'
    for more, entered in (
        ("", False),
        ('outlets = [{ circuit = "C" }]\n', True),
        ('[[rooms.walls]]\nname = "w"\nlength_ft = 9\n', True),
        ('[[rooms.counters]]\nname = "c"\nlength_in = 30\n', True),
    ):
        found = scope_of(
            parse_job((BARE + '[[circuits]]\nname = "C"\npurpose = "individual"\n' + room + more).encode())
        )
        assert ("receptacles" in found.calculations) is entered, more
    circuits = {"branch-circuits"}
    load = '[[loads]]\nname = "L"\nkind = "dryer"\nload_va = 5000\nvolts = 240\n'
    assert not circuits & scope_of(parse_job((BARE + load).encode())).calculations
    assert (
        circuits
        <= scope_of(
            parse_job((BARE + load + '[[circuits]]\nname = "C"\npurpose = "individual"\n').encode())
        ).calculations
    )


def test_a_room_says_that_what_the_house_needs_is_not_claimed() -> None:
    """The two circuits of the counters are asked of the dwelling, not of a room: outside, and the verdict says so."""
    text = (shipped_notebooks().parent / "templates" / "jobs" / "kitchen.toml").read_text(encoding="utf-8")
    kitchen = parse_job(text.replace('name = "Kitchen"\n# address', 'name = "Remodel"\n# address').encode())
    assert kitchen.job.name == "Remodel"
    room = changed(kitchen, {"scope.covers": ["Kitchen"]})
    assert "Branch circuits that the house as a whole needs" in stands(room).outside
    assert "Branch circuits that the house as a whole needs" not in stands(kitchen).outside


def test_the_starter_of_a_kitchen_asks_for_both_circuits_of_the_counters() -> None:
    """210.11(C)(1): with one of the two taken for something else, it does not pass."""
    text = (shipped_notebooks().parent / "templates" / "jobs" / "kitchen.toml").read_text(encoding="utf-8")
    one = parse_job(text.replace('"small-appliance"', '"lighting"', 1).encode())
    assert any(each.about == "Kitchen" and each.status == "falls short" for each in stands(one).open)
    none = parse_job(text.replace('"small-appliance"', '"lighting"').encode())
    short = [each.what for each in stands(none).open if each.status == "falls short"]
    assert any("small-appliance circuit" in what for what in short)


def test_everything_that_falls_short_is_named_with_its_entry() -> None:
    """A count alone sends nobody anywhere: each is a line, with what is there and needed, and a place that the job has."""
    found = stands(demo("fernhollow-lot-12"))
    short = [each for each in found.open if each.status == "falls short"]
    text = standing_text(found)
    assert text.count("   falls short: ") == len(short) > 30
    assert (
        "   falls short: B2 bedroom, north wall: box is large enough: 18 in3 provided, 20.25 in3 required (boxes[2].marked_in3)\n"
        in text
    )
    for each in short:
        assert not each.at or value_at(found.job, each.at) is not None, each
    assert sum(not each.at for each in short) <= 2


@pytest.mark.parametrize(
    ("rooms", "lacking"),
    [
        ((("bedroom", "1"), ("bathroom", "1")), False),
        ((("bedroom", "1"), ("bathroom", "2")), True),
        ((("bedroom", "1"), ("bathroom", "")), False),
        ((("bedroom", "1"), ("attic", "2"), ("crawl-space", "0")), False),
        ((("bedroom", "1"), ("garage", "2 of the shed")), False),
    ],
)
def test_stairs_are_asked_for_between_two_storeys_of_the_house(
    rooms: tuple[tuple[str, str], ...], lacking: bool
) -> None:
    """210.70(A)(2): not for one storey or one that nobody named, nor for a ladder's place or another building's storey."""
    text = HOUSE + '[[buildings]]\nname = "Shed"\nkind = "shed"\n'
    for use, storey in rooms:
        text += f'[[rooms]]\nname = "{use}"\nuse = "{use}"\n' + (f'storey = "{storey}"\n' if storey else "")
        text += 'building = "Shed"\n' if "shed" in storey else ""
    open_ones = stands(scoped(text, "house")).open
    assert any("[[stairs]] between its storeys" in each.what for each in open_ones) is lacking
    assert any("[[rooms]] of use kitchen" in each.what for each in open_ones)


def test_a_room_leaves_out_what_it_covers_in_part_and_says_what_the_rest_would_take() -> None:
    """Of what the house needs the circuits alone are asked for; where the job has no part, the text says which it takes."""
    text = (
        HOUSE
        + '[[rooms]]\nname = "Den"\nuse = "den"\n[[loads]]\nname = "L"\nkind = "disposer"\nload_va = 900\nvolts = 120\nroom = "Den"\n'
    )
    found = stands(scoped(text, "Den"))
    assert found.of_the_house == ("branch-circuits",)
    (item,) = found.scope.items
    assert item.asks == ("branch-circuits", "receptacles")
    assert {"feeder", "box-fill", "panels"} <= set(item.also)
    assert "receptacles" not in item.also
    said = standing_text(found)
    assert "Dwelling load: outside the scope\n" in said
    assert "Box fill: outside the scope; it needs [[boxes]]" in said
    assert "Branch circuits: outside" not in said


def test_what_looks_like_a_slip_is_to_be_confirmed_until_it_is() -> None:
    """A range of 900 VA is a digit short: it stands in the text, and in the public form of the verdict."""
    range_of = '[[loads]]\nname = "Oven"\nkind = "range"\nload_va = 900\nvolts = 240\n'
    odd, fine = (stands(parse_job((HOUSE + range_of + more).encode())) for more in ("", 'confirmed = ["load_va"]\n'))
    form = odd.as_json()
    assert form["schema_version"] == 1
    assert "loads[1].load_va" in [each["at"] for each in form["to_confirm"]]
    assert "(loads[1].load_va)" in standing_text(odd)
    assert "loads[1].load_va" not in [each["at"] for each in fine.as_json()["to_confirm"]]
