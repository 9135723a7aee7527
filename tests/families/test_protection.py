"""Protection of circuits by what a room is used as, in each edition; and that what nobody stated is never 'not required'."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from calc.families import branch_circuits
from calc.job import Room, parse_job
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, toml
from tests.families.test_branch_circuits import EDITIONS, PANEL, circuit, load, sheet

USES = get_args(Room.model_fields["use"].annotation)

# Which uses are which of the places that published lists name. Arc-fault, 210.12: kitchens, family, dining, living rooms,
# parlors, libraries, dens, bedrooms, sunrooms, recreation rooms, closets, hallways, laundry areas and similar rooms, in
# all four editions (S12, S28, S29; onesto-ep.com for 2026). Similar rooms are those that the wall spacing of 210.52(A)
# takes in, with pantry and foyer; a basement or attic when finished.
# Ground-fault, 210.8(A): bathrooms, garages, outdoors, crawl spaces, basements (unfinished up to 2017), kitchens (at the
# counter up to 2020), laundry areas (S12, S30 'list of 12 dwelling locations', S37 Eaton 2020 and 2023; ecmweb.com 2017).
ARC_FAULT = {
    "family", "living", "dining", "kitchen", "breakfast", "pantry", "den", "library", "office", "recreation", "sunroom",
    "bedroom", "hall", "foyer", "laundry", "closet", "clothes-closet", "other", "basement", "attic",
}  # fmt: skip
NO_ARC_FAULT = {
    "bathroom",
    "utility",
    "storage",
    "garage",
    "workshop",
    "crawl-space",
    "porch",
    "deck",
    "balcony",
    "outdoors",
}
GROUND_FAULT = {"bathroom", "garage", "outdoors", "porch", "deck", "balcony", "crawl-space", "laundry"}
BY_EDITION = {"kitchen": "2023 2026", "basement": "2020 2023 2026"}  # finished, and not at the counter
TAMPER_BY_EDITION = {"attic": "2020 2023 2026", "crawl-space": "2020 2023 2026"}  # 406.12: S29


def asked(use: str, edition: str, **keys: Any) -> dict[str, str]:
    """What a general circuit of a finished room of this use needs, and the row of the room in the table by place."""
    room = toml("rooms", name="R", use=use, finished=True)
    text = PANEL + room + circuit(purpose="general", rooms=["R"], load_va=1000, outlets=["receptacles"], **keys)
    made = job(text, edition)
    found = branch_circuits.work(House.of(made))
    results = next(s for s in found if s.subject == "C").results
    (row,) = branch_circuits.tables(House.of(made))[-1].rows
    return {
        "arc": results["arc_fault"], "ground": results["ground_fault"],
        "arc row": row[1], "ground row": row[2], "tamper row": row[3],
    }  # fmt: skip


def test_every_use_is_in_the_lists() -> None:
    """A use that is added to the job file has to be decided for every rule."""
    assert set(USES) == ARC_FAULT | NO_ARC_FAULT


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("use", USES)
def test_protection_by_use_and_edition(use: str, edition: str) -> None:
    """Circuit and table by place say the same, and what the published lists say."""
    said = asked(use, edition)
    ground = use in GROUND_FAULT or edition in BY_EDITION.get(use, "")
    assert (said["arc"].startswith("required"), said["arc row"].startswith("yes")) == (use in ARC_FAULT,) * 2
    assert said["ground"].startswith("required") is ground
    assert said["ground row"].startswith("yes") is (ground or use == "kitchen")  # its counter, in every edition
    assert bool(said["tamper row"]) is (edition in TAMPER_BY_EDITION.get(use, edition))


def test_an_unfinished_basement_or_attic_needs_no_arc_fault_and_one_not_stated_is_not_known() -> None:
    """Whether it is finished decides, and silence is neither."""
    for use in ("basement", "attic"):
        for finished, said in ((False, "not required"), (None, "not known: whether R is finished (finished)")):
            room = toml("rooms", name="R", use=use, finished=finished)
            s = sheet(PANEL + room + circuit(purpose="lighting", outlets=["lighting"], rooms=["R"], load_va=500))
            assert s.results["arc_fault"] == said
            assert (s.status == "not shown") is (finished is None)


@pytest.mark.parametrize(("finished", "said"), [(None, "not known"), (False, "required"), (True, "not required")])
def test_in_2017_the_finish_of_a_basement_decides_its_ground_fault_protection(finished: bool | None, said: str) -> None:
    room = toml("rooms", name="R", use="basement", finished=finished)
    text = PANEL + room + circuit(purpose="general", outlets=["receptacles"], rooms=["R"], load_va=500)
    assert sheet(text, edition="2017").results["ground_fault"].startswith(said)


# ---- what nobody stated


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("keys", "text", "known"),
    [
        ({"purpose": "general"}, "", False),
        ({"purpose": "lighting", "outlets": ["lighting"]}, "", False),
        ({"purpose": "individual", "outlets": ["freezer"], "load_va": 500}, "", False),
        ({"purpose": "individual"}, load("furnace", 800, 120, circuit="C", fuel_burning=True), False),
        ({"purpose": "laundry"}, "", True),
        ({"purpose": "outdoor"}, "", True),
        ({"purpose": "individual"}, load("microwave", 1200, 120, circuit="C"), True),
    ],
)
def test_a_circuit_without_rooms_is_not_known(keys: dict[str, Any], text: str, known: bool, edition: str) -> None:
    """A circuit whose purpose or equipment tells no place is 'not shown' until its rooms are named, or it is protected."""
    s = sheet(PANEL + circuit(load_va=keys.get("load_va", None if text else 500), **{k: v for k, v in keys.items() if k != "load_va"}) + text,
              edition=edition)  # fmt: skip
    missing = {unknown.key for unknown in s.unknowns}
    assert ("arc_fault_provided" in missing) is not known
    protected = sheet(PANEL + circuit(breaker_type="dual-function", load_va=500 if not text else None, **{k: v for k, v in keys.items() if k != "load_va"})
                      + text, edition=edition)  # fmt: skip
    assert not protected.unknowns


def test_the_room_of_one_load_does_not_speak_for_a_whole_circuit() -> None:
    """Lights and receptacles of a general circuit may be anywhere, whatever room a load on it names."""
    room = toml("rooms", name="Utility", use="utility")
    s = sheet(
        PANEL
        + room
        + circuit(purpose="general", load_va=500)
        + load("other", 200, 120, circuit="C", room="Utility", fastened=True)
    )
    assert {unknown.key for unknown in s.unknowns} == {"arc_fault_provided", "ground_fault_provided"}


# ---- laundry areas


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("use", ["utility", "hall", "closet", "bathroom", "basement"])
def test_where_the_washer_stands_is_a_laundry_area(use: str, edition: str) -> None:
    """Its circuit has ground-fault and arc-fault protection, whatever else the room is."""
    room = toml("rooms", name="R", use=use, finished=True)
    s = sheet(
        PANEL + room + circuit(purpose="laundry", rooms=["R"], outlets=["receptacles", "washer"]), edition=edition
    )
    assert {"arc_fault_provided", "ground_fault_provided"} <= failing(s)


def test_the_lights_of_a_utility_room_with_the_laundry_are_in_a_laundry_area() -> None:
    """A utility room is a laundry area once washer or dryer stand in it; a hall with a closet for them stays a hall."""
    room = toml("rooms", name="R", use="utility")
    lights = circuit(name="Lights", purpose="lighting", rooms=["R"], outlets=["lighting"], load_va=300)
    bare = sheet(PANEL + room + lights, "Lights")
    assert bare.results["arc_fault"] == "not required"
    washer = circuit(purpose="laundry", rooms=["R"])
    assert sheet(PANEL + room + lights + washer, "Lights").results["arc_fault"] == "required: R"


@pytest.mark.parametrize(("edition", "asked"), [("2017", False), ("2020", True), ("2023", True), ("2026", True)])
def test_a_dryer_of_which_nothing_is_said_is_plugged_in_a_laundry(edition: str, asked: bool) -> None:
    """From 2020 the rule for receptacles reaches 250 V; a dryer is on a cord as a rule."""
    s = sheet(PANEL + circuit(poles=2) + load("dryer", 5000, circuit="C"), edition=edition)
    assert ("ground_fault_provided" in failing(s)) is asked


@pytest.mark.parametrize(("edition", "asked"), [("2017", False), ("2020", True), ("2023", True), ("2026", True)])
@pytest.mark.parametrize("connected", ["cord", None])
def test_a_disposer_on_a_cord_is_within_reach_of_the_sink(edition: str, connected: str | None, asked: bool) -> None:
    """From 2020 on a cabinet's door no longer ends the 6 ft (210.8)."""
    room = toml("rooms", name="K", use="kitchen")
    unit = load("disposer", 1176, 120, circuit="C", connected_by=connected, room="K")
    text = PANEL + room + circuit(rooms=["K"], receptacle_a=20, single_receptacle=True) + unit
    assert ("ground_fault_provided" in failing(sheet(text, edition=edition))) is asked


# ---- hard-wired equipment


def reading(text: str, garage_outlets: str, edition: str) -> Sheet:
    head = (
        f'[code]\nedition = "{edition}"\nreadings = {{ garage_outlets = "{garage_outlets}" }}\n[job]\nname = "test"\n'
    )
    made = parse_job((head + text).encode())
    return next(s for s in branch_circuits.work(House.of(made)) if s.subject == "C")


@pytest.mark.parametrize(
    ("edition", "taken", "asked"),
    [
        ("2017", "in-and-outdoors", False),
        ("2020", "in-and-outdoors", False),
        ("2023", "in-and-outdoors", True),
        ("2023", "outdoors-only", False),
        ("2026", "in-and-outdoors", False),
    ],
)
@pytest.mark.parametrize("kind", ["water-heater", "ev-supply"])
def test_hard_wired_equipment_in_a_garage_by_the_reading_taken(
    kind: str, edition: str, taken: str, asked: bool
) -> None:
    """2023 names garages, accessory buildings and boathouses in 210.8(F): in them or outdoors at them, read both ways (S37)."""
    room = toml("rooms", name="Garage", use="garage")
    unit = load(kind, 4500, circuit="C", room="Garage", connected_by="hardwired")
    s = reading(PANEL + room + circuit(poles=2) + unit, taken, edition)
    assert ("ground_fault_provided" in failing(s)) is asked
    assert any("garage" in text for _, text in s.remarks) is (edition == "2023")


@pytest.mark.parametrize(("edition", "most"), [("2020", 50), ("2023", 50), ("2026", 60)])
def test_hard_wired_outdoors_up_to_50_a_and_from_2026_60_a(edition: str, most: int) -> None:
    """S38: 2026 raises 210.8(F) from 50 to 60 A."""
    unit = load("ev-supply", 9600, circuit="C", outdoors=True, connected_by="hardwired")
    for breaker in (50, 60, 70):
        s = sheet(PANEL + circuit(poles=2, breaker_a=breaker, cable="4/3 NM") + unit, edition=edition)
        assert ("ground_fault_provided" in failing(s)) is (breaker <= most)


def test_loads_on_a_panel_in_an_accessory_building_stand_there() -> None:
    """Nothing is said of the room, but the building of the panel is known."""
    shop = '[[buildings]]\nname = "Shop"\nkind = "workshop"\n' + toml("panels", name="P", spaces=12, building="Shop")
    unit = load("space-heat", 4000, circuit="C")
    assert "ground_fault_provided" in failing(sheet(shop + circuit(poles=2) + unit))
    assert "ground_fault_provided" in failing(sheet(shop + circuit(purpose="general", load_va=500), edition="2017"))


@pytest.mark.parametrize("edition", ["2020", "2023"])
def test_where_equipment_stands_is_asked_for_where_it_decides(edition: str) -> None:
    """A mini-split may be outdoors or in; a water heater may be in a garage, which 2023 can be read to ask about."""
    split = sheet(
        PANEL + circuit(poles=2) + load("mini-split", 1900, circuit="C", mca_a=15, mocp_a=20), edition=edition
    )
    assert [unknown.missing for unknown in split.unknowns] == ["where mini-split stands (room or outdoors)"]
    assert split.status == "not shown"
    heater = sheet(PANEL + circuit(poles=2) + load("water-heater", 4500, circuit="C"), edition=edition)
    assert bool(heater.unknowns) is (edition == "2023")
    unit = sheet(
        PANEL + circuit(poles=2) + load("air-conditioner", 4080, circuit="C", mca_a=21, mocp_a=35), edition=edition
    )
    assert "ground_fault_provided" in failing(unit)


@pytest.mark.parametrize(("poles", "volts", "va"), [(2, 240, 12000), (1, 120, 1440)])
def test_no_first_outlet_protects_a_240_v_circuit(poles: int, volts: int, va: int) -> None:
    """Receptacles that protect people ahead of an appliance are made for 120 V; a hard-wired range has none ahead of it."""
    kind = "range" if volts == 240 else "dishwasher"
    unit = load(kind, va, volts, circuit="C", connected_by="hardwired")
    s = sheet(PANEL + circuit(poles=poles, first_outlet="ground-fault") + unit)
    assert ("ground_fault_provided" in failing(s)) is (poles == 2)


def test_protected_receptacles_do_not_protect_a_hard_wired_appliance() -> None:
    """Each receptacle protects what is plugged in there; a dishwasher wired to the same circuit is not behind it."""
    room = toml("rooms", name="K", use="kitchen") + 'outlets = [{ circuit = "C", ground_fault = true }]\n'
    unit = load("dishwasher", 1200, 120, circuit="C", connected_by="hardwired", room="K")
    assert "ground_fault_provided" in failing(
        sheet(PANEL + room + circuit(purpose="general", rooms=["K"], load_va=300) + unit)
    )


@pytest.mark.parametrize(("edition", "asked"), [("2017", False), ("2020", True), ("2023", True), ("2026", True)])
def test_the_service_receptacle_of_equipment_is_protected_from_2020(edition: str, asked: bool) -> None:
    """The receptacle of 210.63, wherever it is: 210.8(E) (S12 S29)."""
    room = (
        toml("rooms", name="Utility", use="utility") + 'outlets = [{ circuit = "C", purpose = "equipment-service" }]\n'
    )
    s = sheet(PANEL + room + circuit(purpose="general", rooms=["Utility"], load_va=300), edition=edition)
    assert ("ground_fault_provided" in failing(s)) is asked


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("outlets", "keys", "short", "told"),
    [
        ("{ circuit = 'C', water_ft = 6 }", {}, True, False),
        ("{ circuit = 'C', water_ft = 6.1 }", {}, False, False),
        ("{ circuit = 'C' }", {}, False, True),
        ("{ circuit = 'C', water_ft = 3, ground_fault = true }", {}, False, False),
        ("{ circuit = 'C', water_ft = 3, ground_fault = true }, { circuit = 'C', water_ft = 9 }", {}, False, False),
        ("{ circuit = 'C', water_ft = 3 }, { circuit = 'C' }", {}, True, True),
        ("{ circuit = 'C', water_ft = 3 }", {"breaker_type": "dual-function"}, False, False),
        ("{ circuit = 'C', water_ft = 3 }", {"first_outlet": "ground-fault"}, False, False),
        ("{ circuit = 'C', water_ft = 3, status = 'existing' }", {}, False, True),
    ],
)
def test_a_receptacle_within_6_ft_of_water_is_protected_in_any_room(
    outlets: str, keys: dict[str, Any], short: bool, told: bool, edition: str
) -> None:
    """210.8(A): sinks, tubs, shower stalls; itself or by its circuit. Where the distance isn't entered it is told instead."""
    room = toml("rooms", name="R", use="den") + f"outlets = [{outlets}]\n"
    s = sheet(
        PANEL + room + circuit(**{"purpose": "general", "rooms": ["R"], "breaker_type": "arc-fault", **keys}),
        edition=edition,
    )
    assert ("near_water_protected" in failing(s)) is short
    assert any("within 6 ft" in text for text in s.cautions) is told
    garage = room.replace('"den"', '"garage"')
    s = sheet(PANEL + garage + circuit(purpose="general", rooms=["R"], breaker_type="ground-fault"), edition=edition)
    assert "near_water_protected" not in {check.key for check in s.checks}


def test_outlets_added_to_an_old_circuit_are_protected_as_new_ones() -> None:
    """A new receptacle in a garage has ground-fault protection, though its circuit is old; one in a bedroom arc-fault."""
    for use, key in (("garage", "ground_fault_provided"), ("bedroom", "arc_fault_provided")):
        room = toml("rooms", name="R", use=use)
        old = PANEL + circuit(purpose="general", status="existing", rooms=["R"], load_va=300, cable="12/2 NM")
        assert sheet(old + room + 'outlets = [{ circuit = "C", status = "existing" }]\n').passes
        assert key in failing(sheet(old + room + 'outlets = [{ circuit = "C", status = "new" }]\n'))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("use", "short"), [("outdoors", True), ("porch", True), ("deck", True), ("balcony", True), ("garage", False)]
)
def test_receptacles_outdoors_bear_the_weather(use: str, short: bool, edition: str) -> None:
    """406.9(A) and (B): the weather-resistant kind in damp and wet places."""
    for said in (False, True):
        room = (
            toml("rooms", name="R", use=use)
            + f'outlets = [{{ circuit = "C", weather_resistant = {str(said).lower()} }}]\n'
        )
        s = sheet(PANEL + room + circuit(purpose="outdoor", rooms=["R"], breaker_type="ground-fault"), edition=edition)
        assert ("weather_resistant_provided" in failing(s)) is (short and not said)
