"""What is roughed in, and ratings of panels, each at the entry that turns it; ground and fault current beside them."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import families
from calc.families.fault_current.ratings import nowhere, panels_at
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, run, toml
from tests.families.test_panels import HEAD as HOUSE
from tests.families.test_panels import METER as MAIN
from tests.families.test_panels import panel as ratings
from tests.families.test_panels import service, tied, unknown
from tests.families.test_rough_in import HEAD, METER, feeder, panel, sheets

EDITIONS = editions()


def keys(s: Sheet) -> set[str]:
    """What a sheet checks or leaves open."""
    return {each.key for each in (*s.checks, *s.unknowns)}


# ---- panels that this job touches


@pytest.mark.parametrize(
    ("own", "beside", "touched"),
    [
        ({"status": "new"}, "", True),
        ({"status": "existing"}, "", False),
        ({"status": "existing"}, toml("circuits", name="C", panel="P", purpose="general"), True),
        ({"status": "existing"}, toml("circuits", name="C", panel="P", purpose="general", status="existing"), False),
        ({"status": "existing"}, toml("circuits", name="C", panel="Meter-main", purpose="general"), False),
        ({"status": "existing", "fed_from": None}, feeder(), True),
        ({"status": "existing", "fed_from": None}, feeder(status="existing"), False),
    ],
)
def test_room_is_asked_of_a_panel_that_this_work_brings_feeds_or_adds_to(
    own: dict[str, Any], beside: str, touched: bool
) -> None:
    """An old panel left alone is not; nor by a circuit elsewhere, or one that was there."""
    meter_old = METER + 'status = "existing"\n'
    text = HEAD + meter_old + toml("panels", name="P", **{"fed_from": "Meter-main"} | own) + beside
    s = sheets(text)["Panel", "P"]
    assert ("working_depth" in keys(s)) is touched
    assert any("P" in text for text in s.cautions) is not touched


def test_a_new_panel_ahead_touches_the_old_one_behind_it() -> None:
    """Its feed is new work."""
    s = panel(status="existing")
    assert "working_depth" in keys(s)


@pytest.mark.parametrize(
    ("bus", "height", "status", "asked"),
    [(200, 70, "existing", False), (201, 70, "existing", True), (200, 70, "new", True), (None, 70, "existing", True)],
)
def test_an_old_panel_of_200_a_may_have_less_headroom(bus: int | None, height: int, status: str, asked: bool) -> None:
    """110.26(A)(3) exception 1, in a dwelling; more, a new one, or one whose rating nobody read, has 6 ft 6 in."""
    s = panel(
        status=status,
        bus_a=bus,
        working_height_in=height,
        beside=toml("circuits", name="C", panel="P", purpose="general"),
    )
    assert ("working_height" in failing(s)) is asked
    assert ("old_headroom" in s.results) is not asked


def test_a_feed_without_ground_that_stays_says_so_and_is_asked_for_its_bond_alone() -> None:
    """An old three-wire feed to a barn without a metal path: neither four wires nor a neutral apart."""
    text = HEAD + METER + toml("buildings", name="Barn", kind="barn", metal_path_to_house=False)
    text += toml("panels", name="P", building="Barn", neutral_bonded=True, status="existing")
    fed = run(name="F", fed_from="Meter-main", feeds="P", status="existing", calculated_a=20, breaker_a=40, neutral=True,
              equipment_ground="none")  # fmt: skip
    s = sheets(text + fed)["Panel", "P"]
    assert s.results["old_three_wire"] == "stays, unmodified"
    assert {"bonded_old"} == {key for key in keys(s) if key in ("bonded_old", "apart", "feeder_complete")}
    conductors = next(each for each in families()["feeder"].work(House.of(job(text + fed))) if each.subject == "F")
    assert conductors.results["equipment_ground_size"].startswith("none")
    assert "equipment_ground_present" not in failing(conductors)


# ---- switches


def switch(**keys_: Any) -> Sheet:
    room = (
        toml("rooms", name="R", use="bedroom")
        + toml("rooms", name="Bath", use="bathroom")
        + toml("rooms", name="Store", use="storage")
    )
    made = (
        toml("boxes", **{"name": "b", "room": "R", "cables": ["14/3"], **keys_})
        + 'devices = [{ kind = "switch", wire = 14 }]\n'
    )
    return next(
        s
        for s in sheets(HEAD + room + made).values()
        if any("b" in key for key in (*keys(s), *s.results)) and "neutral" in str(s.results) + str(keys(s))
    )


@pytest.mark.parametrize(
    ("given", "state"),
    [
        ({"neutral_at_switch": True}, "passes"),
        ({"neutral_at_switch": False}, "short"),
        ({}, "open"),
        ({"neutral_at_switch": False, "cables": []}, "off"),
        ({"neutral_at_switch": True, "cables": []}, "passes"),
        ({"neutral_let_off": "receptacle"}, "off"),
        ({"neutral_let_off": "receptacle", "neutral_at_switch": True}, "passes"),
        ({"room": "Store", "neutral_at_switch": False}, "off"),
        ({"room": None}, "open"),
    ],
)
def test_a_neutral_is_at_a_switch_unless_something_lets_it_off(given: dict[str, Any], state: str) -> None:
    """404.2(C): a raceway, a receptacle, a room that the rule leaves out; a neutral that is there needs no excuse."""
    s = switch(**given)
    got = "open" if any(u.key.startswith("neutral") for u in s.unknowns) else (
        "off" if any(key.startswith("neutral_let_off") for key in s.results) else
        "short" if any(key.startswith("neutral") for key in failing(s)) else "passes")  # fmt: skip
    assert got == state


# ---- the service and another building


@pytest.mark.parametrize(
    ("edition", "work", "said"),
    [("2020", "replaced", False), ("2023", "replaced", False), ("2026", "replaced", True), ("2026", "new", False)],
)
def test_a_replaced_service_in_an_edition_that_is_not_sure_is_told_so(edition: str, work: str, said: bool) -> None:
    """Whether 'replaced' brings the outdoor disconnect is a caution only where nobody confirmed it."""
    text = HEAD + f'[service]\nwork = "{work}"\n' + METER
    found = [s for s in sheets(text, edition).values() if "disconnect_asked" in s.results]
    new = [s for s in sheets(text.replace(work, "new"), edition).values() if "disconnect_asked" in s.results]
    more = {text for s in found for text in s.cautions} - {text for s in new for text in s.cautions}
    assert bool(more) is said


def test_a_building_is_fed_by_the_run_to_its_own_panel() -> None:
    """Not by the run to the house's panel, listed first, nor by an old one."""
    text = HEAD + METER + toml("buildings", name="Barn", kind="barn", disconnect="outside", disconnect_a=60)
    text += toml("panels", name="House") + toml("panels", name="P", building="Barn", neutral_bonded=False)
    text += run(name="H", fed_from="Meter-main", feeds="House", calculated_a=40, neutral=True)
    text += run(name="Old", fed_from="Meter-main", feeds="P", calculated_a=20, neutral=True, status="removed")
    with_feed = text + run(
        name="F", fed_from="Meter-main", feeds="P", calculated_a=20, breaker_a=40, neutral=True, length_ft=100
    )
    found = {title: s for (title, subject), s in sheets(with_feed).items() if subject == "Barn"}
    (s,) = found.values()
    assert s.results["fed_by"] == "F, a feeder"
    assert s.results["supply_drop_v"] > 0
    (bare,) = [s for (_, subject), s in sheets(text).items() if subject == "Barn"]
    assert bare.results["fed_by"] == "nothing that the job names"


@pytest.mark.parametrize(
    ("circuits", "least"),
    [([1], 15), ([1, 1], 30), ([2], 60), ([1, 1, 1], 60), ([], 60)],
)
def test_the_disconnect_of_a_building_goes_by_what_it_serves(circuits: list[int], least: int) -> None:
    """225.39: one circuit, two two-wire circuits, or anything else; a two-pole circuit is not a two-wire one."""
    text = HEAD + METER + toml("buildings", name="Barn", kind="barn", disconnect="outside", disconnect_a=least)
    text += toml("panels", name="P", building="Barn")
    text += "".join(
        toml("circuits", name=f"C{n}", panel="P", purpose="individual", poles=poles) for n, poles in enumerate(circuits)
    )
    text += toml("circuits", name="gone", panel="P", purpose="individual", status="removed")
    (s,) = [s for (_, subject), s in sheets(text).items() if subject == "Barn"]
    assert s.results["disconnect_least_a"] == least
    assert "disconnect_rated" not in failing(s)
    if least > 15:
        smaller = text.replace(f"disconnect_a = {least}", f"disconnect_a = {least - 1}")
        (less,) = [s for (_, subject), s in sheets(smaller).items() if subject == "Barn"]
        assert "disconnect_rated" in failing(less)


# ---- ratings of panels


@pytest.mark.parametrize(
    ("meter", "rating", "serves", "short"),
    [
        (320, 400, 400, False),
        (200, 200, None, False),
        (200, 225, None, True),
        (320, 401, 400, True),
        (320, 399, 400, False),
    ],
)
def test_a_meter_socket_that_is_in_the_table_serves_what_it_says(
    meter: int, rating: int, serves: int | None, short: bool
) -> None:
    """320 A continuous serves 400 A; another socket serves its own rating."""
    s = service(rating_a=rating, main_a=rating, meter_a=meter)
    assert ("meter_rated" in failing(s)) is short
    if serves:
        assert s.results["meter_serves_a"] == serves


@pytest.mark.parametrize(
    ("circuit", "asked"),
    [
        ({"panel": "P", "purpose": "general"}, True),
        ({"panel": "P", "purpose": "general", "status": "removed"}, False),
        ({"panel": "P", "purpose": "feeder"}, False),
        ({"panel": "M", "purpose": "general"}, False),
        ({"panel": "Q", "purpose": "general"}, False),
    ],
)
def test_surge_protection_is_asked_where_branch_circuits_start(circuit: dict[str, Any], asked: bool) -> None:
    """215.18: a panel that only feeds another has none of its own; a circuit on it that stays makes it one."""
    text = (
        HOUSE
        + MAIN
        + toml("panels", name="P", bus_a=200, fed_from="M")
        + toml("panels", name="Q", bus_a=200, fed_from="P")
    )
    made = job(text + toml("circuits", name="C", **circuit))
    found = {s.subject: s for s in families()["panels"].work(House.of(made)) if s.title == "Panel ratings"}
    assert ("surge_protected" in unknown(found["P"])) is asked


def test_the_largest_motor_and_least_loads_are_in_what_the_service_can_hold() -> None:
    """A pump of 2,400 VA adds its quarter, a dryer of 3,000 VA counts 5,000; one of gas counts as it is."""
    shop = toml("buildings", name="B", kind="workshop") + toml("panels", name="P", bus_a=100, building="B")
    fed = run(name="F", fed_from="M", feeds="P", breaker_a=60, neutral=True, calculated_a=20, size="6")
    pump = toml("loads", name="Pump", kind="well-pump", load_va=2400, volts=240, panel="P")
    dryer = toml("loads", name="Dryer", kind="dryer", load_va=3000, volts=240, panel="P")
    gas = toml("loads", name="Gas", kind="dryer", load_va=700, volts=120, panel="P", fuel_burning=True)
    assert tied(shop + pump + fed).results["service_counts_va[F]"] == 2400 * 1.25
    assert tied(shop + dryer + fed).results["service_counts_va[F]"] == 5000
    assert tied(shop + gas + fed).results["service_counts_va[F]"] == 700 * 1.25, "its drum has a motor"


def test_a_breaker_that_stands_for_a_feeders_load_is_counted_nowhere() -> None:
    """It is remarked, and not compared with what the service counts."""
    shop = toml("buildings", name="B", kind="workshop") + toml("panels", name="P", bus_a=100, building="B")
    s = tied(shop + run(name="F", fed_from="M", feeds="P", breaker_a=60, neutral=True, size="6"))
    assert "service_counts_va[F]" not in s.results
    assert any("F" in text for _, text in s.remarks)


def test_the_table_of_loads_sets_figures_to_the_right_and_tells_what_has_no_nameplate() -> None:
    """Connected, demand and amperes are figures."""
    (table,) = families()["panels"].tables(House.of(job(HOUSE + MAIN)))
    assert [column.align == "right" for column in table.columns] == [False, True, True, True, False]
    assert len(table.notes) == 1


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_main_is_held_against_what_the_load_is_sized_for(edition: str) -> None:
    """90 A in all behind a main of 90 A passes, 89 A doesn't, in every edition."""
    assert "main_carries" not in failing(ratings(edition, main_a=90))
    assert "main_carries" in failing(ratings(edition, main_a=89))


# ---- fault current and grounding


def test_panels_at_the_end_of_a_run_are_those_that_stay() -> None:
    """With those bolted to them; one fed by a run of its own, or taken out, is not; what hangs nowhere is told."""
    text = (
        toml("panels", name="A", fed_from="utility")
        + toml("panels", name="B", fed_from="A")
        + toml("panels", name="C", fed_from="A")
    )
    text += toml("panels", name="D", fed_from="B", status="removed") + toml("panels", name="E")
    text += run(name="ac", fed_from="A", feeds="C", calculated_a=10) + run(
        name="old", fed_from="A", feeds="E", calculated_a=10, status="removed"
    )
    made = job(text)
    assert [p.name for p in panels_at(made, None)] == ["A", "B"]
    assert [p.name for p in panels_at(made, made.run("ac"))] == ["C"]
    assert [p.name for p in nowhere(made)] == ["E"]


def grounding(rods: str, edition: str = "2023") -> Sheet:
    text = f"{HEAD}[service]\nrating_a = 200\n[grounding]\nelectrodes = [{rods}]\n" + METER
    text += run(
        name="S",
        role="service",
        feeds="Meter-main",
        calculated_a=100,
        breaker_a=200,
        material="copper",
        size="2/0",
        neutral=True,
    )
    return next(
        s
        for s in families()["grounding"].work(House.of(job(text, edition)))
        if "with_rods_count" in s.results or "low_resistance" in s.results
    )


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
@pytest.mark.parametrize(
    ("rods", "enough"),
    [
        ('{ kind = "rod", length_ft = 8 }', False),
        ('{ kind = "rod", count = 2, length_ft = 8, spacing_ft = 6 }', True),
        ('{ kind = "rod", length_ft = 8, resistance_ohm = 25 }', True),
        ('{ kind = "rod", length_ft = 8, resistance_ohm = 25.1 }', False),
        ('{ kind = "rod", length_ft = 8 }, { kind = "concrete-encased" }', True),
        ('{ kind = "rod", length_ft = 8 }, { kind = "water-pipe" }', False),
    ],
)
def test_a_single_rod_has_another_electrode_unless_it_is_measured_low(rods: str, enough: bool, edition: str) -> None:
    """250.53(A): 25 ohms or less, or a second one; a water pipe is none, since it needs one itself."""
    s = grounding(rods, edition)
    assert ("rod_supplemented" in failing(s)) is not enough
    assert ("low_resistance" in s.results) is ("25 }" in rods)


@pytest.mark.parametrize(("kind", "size"), [("rod", "6 AWG"), ("concrete-encased", "4 AWG"), ("water-pipe", "4 AWG")])
def test_the_conductor_to_an_electrode_is_no_larger_than_its_kind_asks(kind: str, size: str) -> None:
    """2/0 copper asks for 4 AWG; to rods 6 AWG is enough, to concrete 4, which is as large as the table's: no ceiling shows."""
    s = grounding(
        '{ kind = "rod", count = 2, length_ft = 8, spacing_ft = 6 }, { kind = "water-pipe" }, { kind = "concrete-encased" }'
    )
    found = {key: value for key, value in s.results.items() if key.startswith("electrode_conductor")}
    name = {"rod": "rod", "concrete-encased": "concrete", "water-pipe": "water"}[kind]
    assert [value for key, value in found.items() if key.partition("[")[2].startswith(name)] == [size]
    ceilings = [key for key in s.results if key.startswith("electrode_ceiling")]
    assert len(ceilings) == 1, "only that of the rods lowers anything"
