"""What is roughed in, rule by rule: neutral and ground, feeder wires, places and room, disconnects, switches."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import families
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Sheet
from tests.families.runs import failing, job, run, toml

HEAD = '[dwelling]\nkind = "one-family"\n'
METER = toml("panels", name="Meter-main", service_equipment=True, fed_from="utility")


def sheets(text: str, edition: str = "2023") -> dict[tuple[str, str], Sheet]:
    """The sheets of a job by title and subject, each replayed."""
    made = job(text, edition)
    found = families()["rough-in"].work(House.of(made))
    for s in found:
        s.as_json()
    return {(s.title, s.subject): s for s in found}


def panel(edition: str = "2023", beside: str = "", **keys: Any) -> Sheet:
    """A panel beyond a meter-main."""
    text = HEAD + METER + toml("panels", name="P", **{"fed_from": "Meter-main"} | keys) + beside
    return sheets(text, edition)["Panel", "P"]


def feeder(**keys: Any) -> str:
    return run(name="F", fed_from="Meter-main", feeds="P", calculated_a=60, breaker_a=60, neutral=True, **keys)


# -- neutral and ground -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", editions())
def test_beyond_the_service_disconnect_neutral_and_ground_are_apart(edition: str) -> None:
    """250.142(B), 408.40: trade notes row 3, the most common red tag."""
    assert failing(panel(edition, neutral_bonded=True)) == {"apart"}
    assert failing(panel(edition, neutral_bonded=False)) == set()


def test_at_the_service_disconnect_they_are_joined() -> None:
    text = HEAD + toml("panels", name="M", service_equipment=True, neutral_bonded=False)
    assert failing(sheets(text)["Panel", "M"]) == {"bonded"}
    assert failing(sheets(text.replace("false", "true"))["Panel", "M"]) == set()


def test_a_panel_in_a_job_without_a_service_disconnect_is_refused() -> None:
    """Nothing can be said of its neutral before somebody says where the service disconnect is."""
    refused = sheets(HEAD + toml("panels", name="P"))["Panel", "P"].refused
    assert refused
    assert "service_equipment" in refused.reason


def test_an_old_panel_fed_by_three_wires_from_a_new_outdoor_disconnect_needs_four() -> None:
    """The demo house of the trade notes: SEU with two legs and a bare neutral is one wire short."""
    old = toml("runs", name="F", role="feeder", fed_from="Meter-main", feeds="P", volts=240, calculated_a=90, status="existing",
               cable="2-2-4 SEU Al", breaker_a=100, equipment_ground="none")  # fmt: skip
    s = panel(beside=old, status="existing", fed_from=None)
    assert failing(s) == {"feeder_complete"}
    assert (s.results["feeder_has"], s.results["feeder_needs"]) == (3, 4)


@pytest.mark.parametrize(
    ("cable", "wires"),
    [("6/3 NM", 4), ("2-2-2-4 SER Al", 4), ("6/2 NM", 3), ("6/3 NM without ground", 3)],
    ids=["NM", "SER", "two wires, and no neutral", "no ground"],
)
def test_a_feeder_is_complete_with_two_legs_neutral_and_ground(cable: str, wires: int) -> None:
    """Counted in the cable: one of two wires brings no neutral, whatever the run is said to need."""
    s = panel(beside=feeder(cable=cable), fed_from=None)
    assert (s.results["feeder_has"], s.results["feeder_needs"]) == (wires, 4)
    assert failing(s) == (set() if wires == 4 else {"feeder_complete"})


def test_a_feeder_without_a_neutral_needs_none() -> None:
    """A panel of 240 V loads alone: two legs and a ground."""
    s = panel(beside=run(name="F", fed_from="Meter-main", feeds="P", calculated_a=40, breaker_a=60), fed_from=None)
    assert (s.results["feeder_has"], s.results["feeder_needs"]) == (3, 3)


def barn(metal: bool, bonded: bool, status: str = "existing") -> Sheet:
    text = (
        HEAD + METER + toml("buildings", name="Barn", kind="barn", metal_path_to_house=metal)
        + toml("panels", name="P", building="Barn", neutral_bonded=bonded, status="existing")
        + run(name="F", fed_from="Meter-main", feeds="P", status=status, calculated_a=20, breaker_a=40, neutral=True,
              equipment_ground="none")
    )  # fmt: skip
    return sheets(text)["Panel", "P"]


def test_an_old_three_wire_feed_of_a_building_stays_only_unmodified_and_alone() -> None:
    """250.32(B)(1) exception: existing, no metal path between the buildings; then the neutral is joined there."""
    assert failing(barn(metal=False, bonded=True)) == set()
    assert failing(barn(metal=False, bonded=False)) == {"bonded_old"}
    assert failing(barn(metal=True, bonded=True)) == {"apart", "feeder_complete"}
    assert failing(barn(metal=False, bonded=True, status="new")) == {"apart", "feeder_complete"}


# -- place and room -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["clothes-closet", "bathroom", "over-stairs"])
def test_a_panel_may_not_stand_there(place: str) -> None:
    """240.24(D), (E), (F)."""
    assert failing(panel(location=place)) == {"place_allowed"}


@pytest.mark.parametrize("place", ["basement", "garage", "hall", "outdoors", "utility"])
def test_a_panel_may_stand_there(place: str) -> None:
    assert failing(panel(location=place)) == set()


def test_the_room_that_a_panel_stands_in_counts_as_its_place() -> None:
    closet = toml("rooms", name="Closet", use="clothes-closet")
    assert failing(panel(beside=closet, room="Closet")) == {"place_allowed"}


@pytest.mark.parametrize(
    ("field", "least", "key"),
    [("working_depth_in", 36, "working_depth"), ("working_width_in", 30, "working_width"),
     ("working_height_in", 78, "working_height")],
)  # fmt: skip
def test_room_before_a_panel_to_the_inch(field: str, least: int, key: str) -> None:
    """36 x 30 x 78 in, as inspectors' lists have it (AHJ-03, AHJ-15); exactly that much passes."""
    assert failing(panel(**{field: least})) == set()
    assert failing(panel(**{field: least - 0.25})) == {key}


def test_the_panels_of_both_demo_houses() -> None:
    """Trade notes: 31 in deep in the new house, 24 in wide in the old one."""
    assert failing(panel(working_depth_in=31, working_width_in=34, working_height_in=84)) == {"working_depth"}
    assert failing(panel(working_width_in=24)) == {"working_width"}


def test_an_old_panel_of_200_a_may_have_less_headroom() -> None:
    old = {"status": "existing", "working_height_in": 70}
    circuit = toml("circuits", name="New", panel="P", purpose="general")
    assert failing(panel(beside=circuit, bus_a=200, **old)) == set()
    assert failing(panel(beside=circuit, bus_a=225, **old)) == {"working_height"}


def test_an_existing_panel_that_nobody_touches_is_left_to_the_inspector() -> None:
    old = {"status": "existing", "working_depth_in": 20, "location": "bathroom"}
    meter = METER.replace("[[panels]]\n", '[[panels]]\nstatus = "existing"\n')
    text = HEAD + meter + toml("panels", name="P", fed_from="Meter-main", **old)
    s = sheets(text)["Panel", "P"]
    assert failing(s) == set()
    assert any("not touch" in caution for caution in s.cautions)
    assert failing(panel(**old)) == {"place_allowed", "working_depth"}, "fed by a new meter-main it is touched"


# -- disconnects --------------------------------------------------------------------------------------------------


def outdoors(edition: str, work: str = "new", kind: str | None = "none", **keys: Any) -> Sheet:
    service = toml("service", work=work, emergency_disconnect=kind, **keys).replace("[[", "[").replace("]]", "]")
    return sheets(HEAD + service, edition)["Outdoor disconnect", "test"]


@pytest.mark.parametrize(
    ("edition", "work", "asked"),
    [("2017", "new", False), ("2020", "new", True), ("2020", "replaced", False), ("2023", "new", True),
     ("2023", "replaced", True), ("2023", "riser-only", False), ("2023", "kept", False), ("2026", "new", True),
     ("2026", "replaced", True)],
)  # fmt: skip
def test_which_work_brings_an_outdoor_disconnect(edition: str, work: str, asked: bool) -> None:
    """230.85 from 2020, with replacements from 2023 (trade notes row 12); 230.70(A)(1) in 2026."""
    assert bool(failing(outdoors(edition, work))) is asked


@pytest.mark.parametrize("kind", ["service-disconnect", "meter-disconnect", "not-service-equipment"])
def test_which_switch_serves_as_the_outdoor_disconnect(kind: str) -> None:
    """To 2023 any of three; from 2026 the service disconnect itself stands outdoors."""
    for edition in ("2020", "2023"):
        assert failing(outdoors(edition, kind=kind)) == set()
    assert failing(outdoors("2026", kind=kind)) == (set() if kind == "service-disconnect" else {"disconnect_outdoors"})


def test_the_outdoor_disconnect_is_at_the_house_and_marked() -> None:
    assert failing(outdoors("2023", kind="meter-disconnect", disconnect_in_sight=False)) == {"disconnect_at_house"}
    assert failing(outdoors("2020", kind="meter-disconnect", disconnect_in_sight=False)) == set()
    assert failing(outdoors("2023", kind="meter-disconnect", emergency_disconnect_marked=False)) == {
        "disconnect_marked"
    }
    inside = outdoors("2023", kind="service-disconnect", disconnect_outdoors=False)
    assert failing(inside) == {"service_disconnect_outdoors"}


def test_a_building_of_flats_has_none() -> None:
    service = '[dwelling]\nkind = "multifamily"\n[service]\nwork = "new"\nphases = 1\nemergency_disconnect = "none"\n'
    assert failing(sheets(service)["Outdoor disconnect", "test"]) == set()


def building(kind: str = "shed", circuits: int = 0, poles: int = 1, **keys: Any) -> Sheet:
    text = (
        HEAD + METER + toml("buildings", name="B", kind=kind, **keys) + toml("panels", name="P", building="B")
        + run(name="F", fed_from="Meter-main", feeds="P", calculated_a=20, breaker_a=60, neutral=True, size="6")
        + "".join(toml("circuits", name=f"C{n}", panel="P", purpose="general", poles=poles) for n in range(circuits))
    )  # fmt: skip
    return sheets(text)["Separate building", "B"]


@pytest.mark.parametrize(
    ("kind", "circuits", "poles", "least"),
    [("shed", 1, 1, 15), ("shed", 2, 1, 30), ("shed", 3, 1, 60), ("shed", 2, 2, 60), ("shed", 0, 1, 60),
     ("accessory-dwelling", 2, 1, 100)],
)  # fmt: skip
def test_the_least_rating_of_a_building_s_disconnect(kind: str, circuits: int, poles: int, least: int) -> None:
    """225.39: 15, 30, 60 and 100 A by what it serves."""
    s = building(kind, circuits, poles, disconnect="outside", disconnect_a=least)
    assert s.results["disconnect_least_a"] == least
    assert "disconnect_rated" not in failing(s)
    if least > 15:
        assert "disconnect_rated" in failing(
            building(kind, circuits, poles, disconnect="outside", disconnect_a=least - 10)
        )


def test_a_building_has_a_disconnect_of_its_own() -> None:
    """225.31: outside, or inside nearest to where the conductors come in."""
    assert "building_disconnect" in failing(building(disconnect="none"))
    assert "building_disconnect" in failing(building(disconnect="elsewhere"))
    assert "building_disconnect" not in failing(building(disconnect="inside-nearest"))


def test_a_dwelling_in_the_yard_has_its_disconnect_outdoors_from_2023() -> None:
    """225.41."""
    assert "building_emergency" in failing(building("accessory-dwelling", disconnect="inside-nearest"))
    assert "building_emergency" not in failing(building("accessory-dwelling", disconnect="outside"))
    assert "building_emergency" not in failing(building("shed", disconnect="inside-nearest"))


def test_equipment_has_its_disconnect_in_sight_and_a_heater_may_have_a_lock() -> None:
    loads = toml("loads", name="AC", kind="air-conditioner", load_va=3000, volts=240, disconnect_in_sight=False)
    loads += toml("loads", name="Heater", kind="water-heater", load_va=4500, volts=240, disconnect_in_sight=False)
    s = sheets(HEAD + METER + loads)["Disconnects of equipment", "test"]
    assert failing(s) == {"in_sight[AC]"}
    assert "lock" in s.results["appliance_disconnect[Heater]"]


# -- switches and sleeves -----------------------------------------------------------------------------------------


def switches(**keys: Any) -> set[str]:
    devices = keys.pop("devices")
    text = HEAD + toml("boxes", name="B", marked_in3=40, **keys) + f"devices = [{devices}]\n"
    return failing(sheets(text)["Switches", "test"])


THREE_WAY = '{ kind = "three-way-switch", wire = 14 }'
FOUR_WAY = '{ kind = "four-way-switch", wire = 14 }'


@pytest.mark.parametrize(
    ("cables", "devices", "short"),
    [(["14/2", "14/3"], THREE_WAY, False), (["2 x 14/2"], THREE_WAY, True), (["2 x 14/3"], FOUR_WAY, False),
     (["14/2", "14/3"], FOUR_WAY, True), (["4 x 14/2", "2 x 14/3"], f"{THREE_WAY}, {THREE_WAY}", False)],
)  # fmt: skip
def test_travellers_come_in_cables_of_three_wires(cables: list[str], devices: str, short: bool) -> None:
    """300.3(B), demo boxes B3, B4 and B6: a three-way needs one, a four-way two."""
    found = switches(cables=cables, devices=devices, neutral_at_switch=True)
    assert found == ({"travellers[B]"} if short else set())


def test_a_switch_has_a_neutral_unless_a_raceway_lets_one_in() -> None:
    """404.2(C)."""
    switch = '{ kind = "switch", wire = 14 }'
    assert in_room("bedroom", cables=["14/2"], neutral_at_switch=False) == (FALLS_SHORT, "")
    assert switches(conductors=["3 x 14 THHN"], devices=switch, neutral_at_switch=False) == set()
    assert switches(cables=["14/2"], devices=switch, neutral_at_switch=True) == set()


def in_room(use: str, finished: bool | None = None, kind: str = "switch", **box: Any) -> tuple[str, str]:
    """How the switch box of a room stands, and the entry that it names where that is not known."""
    room = toml("rooms", name="Room", use=use, **({} if finished is None else {"finished": finished}))
    text = (
        toml("boxes", name="B", marked_in3=40, room="Room", **box) + f'devices = [{{ kind = "{kind}", wire = 14 }}]\n'
    )
    s = sheets(HEAD + room + text)["Switches", "test"]
    return s.status, "".join(each.at for each in s.unknowns)


@pytest.mark.parametrize(("use", "asked"), [
    *((use, True) for use in ("bathroom", "hall", "foyer", "bedroom", "kitchen", "other", "laundry")),
    *((use, False) for use in ("garage", "closet", "clothes-closet", "storage", "utility", "crawl-space", "porch", "outdoors")),
])  # fmt: skip
def test_a_neutral_is_asked_for_by_the_room(use: str, asked: bool) -> None:
    """404.2(C): bathrooms, halls, stairs and rooms that people live in; not garages and clothes closets."""
    assert in_room(use, cables=["14/2"], neutral_at_switch=False) == (FALLS_SHORT if asked else PASSES, "")
    assert in_room(use, cables=["14/2"]) == ((NOT_SHOWN, "boxes[1].neutral_at_switch") if asked else (PASSES, ""))


@pytest.mark.parametrize("use", ["basement", "attic"])
def test_in_a_basement_or_attic_its_finish_decides(use: str) -> None:
    """Unfinished space is none that people live in; of a finish that nobody stated the neutral is not known."""
    assert in_room(use, True, cables=["14/2"], neutral_at_switch=False) == (FALLS_SHORT, "")
    assert in_room(use, False, cables=["14/2"], neutral_at_switch=False) == (PASSES, "")
    assert in_room(use, None, cables=["14/2"], neutral_at_switch=False) == (NOT_SHOWN, "rooms[1].finished")


@pytest.mark.parametrize("why", ["raceway", "reachable", "seen-from-another", "automatic", "receptacle"])
def test_what_lets_a_switch_do_without_a_neutral_can_be_said(why: str) -> None:
    """One neutral serves several switches of a light, and open framing lets one be brought later."""
    assert in_room("bedroom", cables=["14/2"], neutral_let_off=why) == (PASSES, "")
    assert in_room("bedroom", cables=["14/2"], neutral_at_switch=False, neutral_let_off=why) == (PASSES, "")


def test_a_fan_control_needs_no_neutral_and_a_switch_without_a_room_names_it() -> None:
    """The rule is for lights; where nobody says which room a switch is in, it is not known to be let off."""
    assert in_room("bedroom", kind="fan-control", cables=["14/2"])[0] == PASSES
    text = HEAD + toml("boxes", name="B", marked_in3=40, cables=["14/2"], neutral_at_switch=False)
    s = sheets(text + 'devices = [{ kind = "switch", wire = 14 }]\n')["Switches", "test"]
    assert [each.at for each in s.unknowns] == ["boxes[1].room"]


def test_a_metal_sleeve_is_bonded_at_both_ends() -> None:
    text = HEAD + "[service]\n[grounding]\nsleeve_bonded = false\n"
    assert failing(sheets(text)["Outdoor disconnect", "test"]) == {"sleeve"}


def test_what_nobody_stated_is_not_shown_and_never_passed_over() -> None:
    """No check stands on an answer that nobody gave: each names the entry that would tell, and no sheet passes."""
    box = toml("boxes", name="B", marked_in3=20, cables=["14/2"]) + f"devices = [{THREE_WAY}]\n"
    text = HEAD + "[service]\n" + METER + toml("panels", name="P", fed_from="Meter-main")
    text += toml("buildings", name="Shed", kind="shed") + box
    text += toml("loads", name="AC", kind="air-conditioner", load_va=3000, volts=240)
    found = sheets(text)
    missing = {(s.title, each.key, each.at) for s in found.values() for each in s.unknowns}
    room = ("working_depth", "working_width", "working_height")
    assert missing >= {
        ("Outdoor disconnect", "disconnect_outdoors", "service.emergency_disconnect"),
        ("Panel", "bonded", "panels[1].neutral_bonded"),
        ("Panel", "apart", "panels[2].neutral_bonded"),
        ("Panel", "feeder_complete", "panels[2].fed_from"),
        *(("Panel", "place_allowed", f"panels[{n}].location") for n in (1, 2)),
        *(("Panel", rule, f"panels[{n}].{rule}_in") for n in (1, 2) for rule in room),
        ("Separate building", "building_disconnect", "buildings[1].disconnect"),
        ("Separate building", "disconnect_rated", "buildings[1].disconnect_a"),
        ("Disconnects of equipment", "in_sight[AC]", "loads[1].disconnect_in_sight"),
        ("Switches", "neutral[B]", "boxes[1].neutral_at_switch"),
    }
    assert not any(s.passes for s in found.values())


@pytest.mark.parametrize("field", ["disconnect_outdoors", "disconnect_in_sight", "emergency_disconnect_marked"])
def test_an_outdoor_disconnect_that_is_only_half_described_is_not_shown(field: str) -> None:
    """Outdoors, at the house and marked: each is asked, and silence on one of them is no yes."""
    said = {"disconnect_outdoors": True, "disconnect_in_sight": True, "emergency_disconnect_marked": True}
    lines = "".join(f"{key} = true\n" for key in said if key != field)
    text = f'{HEAD}[service]\nemergency_disconnect = "service-disconnect"\n{lines}'
    (s,) = sheets(text).values()
    assert [each.at for each in s.unknowns] == [f"service.{field}"]
    assert s.status == "not shown"


def test_an_appliance_that_a_locked_breaker_may_turn_off_asks_for_no_answer() -> None:
    text = (
        HEAD
        + toml("panels", name="M", service_equipment=True)
        + toml("loads", name="Tank", kind="water-heater", load_va=4500, volts=240)
    )
    s = sheets(text)["Disconnects of equipment", "test"]
    assert s.status == "passes"
    assert "lock it open" in str(s.results["appliance_disconnect[Tank]"])
