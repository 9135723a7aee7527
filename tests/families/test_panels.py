"""Each panel against what may come into it and what hangs on it; the service's main and meter; surge protection."""

from __future__ import annotations

import pytest

from calc.codebook import editions
from calc.families import families
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, run, toml

HEAD = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1800\n'
METER = toml("panels", name="M", service_equipment=True, fed_from="utility", bus_a=200, main_a=200)
LOAD = toml("loads", name="Range", kind="range", load_va=8000, volts=240, panel="P")


def sheets(text: str, edition: str = "2023") -> dict[str, Sheet]:
    """The sheets of the panels of a job, each replayed."""
    made = job(text, edition)
    found = families()["panels"].work(House.of(made))
    for s in found:
        s.as_json()
    return {s.subject: s for s in found if s.title == "Panel ratings"}


def panel(edition: str = "2023", beside: str = "", **keys: object) -> Sheet:
    """A panel behind a meter-main, on a feeder of 125 A unless said otherwise."""
    fed = run(
        name="F", fed_from="M", feeds="P", calculated_a=90, breaker_a=125, size="1", neutral=True, status="existing"
    )
    plain = {"name": "P", "bus_a": 125, "status": "existing"}
    return sheets(HEAD + METER + toml("panels", **plain | keys) + (beside or fed), edition)["P"]


def titled(title: str, text: str, edition: str = "2023") -> Sheet:
    """The sheet of that title."""
    made = job(text, edition)
    s = next(s for s in families()["panels"].work(House.of(made)) if s.title == title)
    s.as_json()
    return s


def tied(text: str, head: str = HEAD) -> Sheet:
    """The sheet that ties the others together."""
    return titled("Ties", head + METER + text)


def unknown(s: Sheet) -> dict[str, str]:
    """What isn't shown, by key, with the entry that is missing."""
    return {each.key: each.at for each in s.unknowns}


# -- bus and main -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", editions())
def test_a_bus_is_no_smaller_than_the_breaker_ahead_of_it(edition: str) -> None:
    """408.36: a bus of 100 A behind a breaker of 125 A falls short; 125 A is enough."""
    assert failing(panel(edition, bus_a=100)) == {"bus_protected"}
    assert failing(panel(edition, bus_a=125)) == set()


def test_a_main_in_the_panel_protects_a_bus_behind_a_larger_breaker() -> None:
    """The device may stand in the panel or anywhere ahead of it: the smaller of the two decides."""
    assert failing(panel(bus_a=100, main_a=100)) == set()
    s = panel(bus_a=100, main_a=200)
    assert failing(s) == {"bus_protected"}
    assert s.results["protects_a"] == 125


def test_a_bus_is_no_smaller_than_its_own_main() -> None:
    """A main of 400 A in a panel of 200 A; the same where the main is stated for the service alone."""
    text = HEAD + METER.replace("main_a = 200", "main_a = 400")
    assert "bus_protected" in failing(sheets(text)["M"])
    text = HEAD + "[service]\nmain_a = 400\n" + METER.replace("main_a = 200\n", "")
    assert "bus_protected" in failing(sheets(text)["M"])


def test_a_panel_on_lugs_is_protected_by_the_main_of_the_panel_before_it() -> None:
    lugs = toml("panels", name="P", bus_a=125, fed_from="M")
    s = sheets(HEAD + METER + lugs)["P"]
    assert failing(s) == {"bus_protected"}
    assert s.results["protects_a"] == 200
    assert failing(sheets(HEAD + METER + lugs.replace("125", "200"))["P"]) == set()


@pytest.mark.parametrize(
    ("keys", "at"),
    [({"bus_a": None}, "panels[2].bus_a"), ({"beside": LOAD, "fed_from": "utility"}, "panels[2].main_a")],
    ids=["no bus", "no breaker"],
)
def test_what_nobody_read_from_the_label_is_not_shown(keys: dict[str, object], at: str) -> None:
    s = panel(**keys)  # type: ignore[arg-type]
    assert unknown(s)["bus_protected"] == at
    assert s.status == "not shown"


def test_the_load_comes_through_bus_and_main() -> None:
    """A feeder's breaker that carries 90 A doesn't help a main of 80 A behind it, nor a bus of 80 A (408.30)."""
    assert failing(panel(main_a=80)) == {"main_carries"}
    assert failing(panel(main_a=90)) == set()
    assert {"bus_carries", "bus_protected"} == failing(panel(bus_a=80))


# -- the service --------------------------------------------------------------------------------------------------


def service(beside: str = METER, **keys: object) -> Sheet:
    lines = "".join(f"{key} = {value}\n" for key, value in keys.items())
    return titled("Service ratings", f"{HEAD}[service]\n{lines}{beside}")


def test_the_main_has_the_rating_that_the_load_was_compared_with() -> None:
    """230.79: a service is what its disconnect lets through."""
    assert failing(service(rating_a=200, main_a=100)) == {"mains_rated"}
    assert failing(service(rating_a=200, main_a=200)) == set()
    assert failing(service(METER.replace("main_a = 200", "main_a = 150"), rating_a=200, main_a=200)) == {"mains_rated"}


def test_several_disconnects_are_added_up() -> None:
    """230.80: two mains of 200 A have the rating of 400 A together; one of them is not known, nothing is shown."""
    two = METER + METER.replace('"M"', '"N"')
    assert failing(service(two, rating_a=400)) == set()
    assert failing(service(two, rating_a=600)) == {"mains_rated"}
    one = METER + METER.replace('"M"', '"N"').replace("main_a = 200\n", "")
    assert unknown(service(one, rating_a=400)) == {"mains_rated": "service.main_a"}


@pytest.mark.parametrize(
    ("meter", "rating", "short"),
    [(200, 400, True), (320, 400, False), (400, 400, False), (100, 100, False), (320, 600, True)],
)
def test_the_meter_socket_carries_the_service(meter: int, rating: int, short: bool) -> None:
    """A socket of 320 A continuous serves 400 A; a 200 A socket doesn't."""
    assert ("meter_rated" in failing(service(rating_a=rating, main_a=rating, meter_a=meter))) is short


def test_service_conductors_are_sized_for_the_main_that_stands_at_their_end() -> None:
    """230.90: conductors sized behind 100 A, and a main of 200 A in the panel."""
    fed = run(name="S", role="service", feeds="M", calculated_a=90, breaker_a=100, size="3")
    s = service(METER + fed, rating_a=100)
    assert failing(s) == {"conductors_behind_main[S]"}
    assert failing(service(METER.replace("main_a = 200", "main_a = 100") + fed, rating_a=100)) == set()


# -- surge protection ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("edition", "asked"), [("2017", False), ("2020", False), ("2023", True), ("2026", True)])
def test_a_new_panel_of_a_dwelling_behind_a_feeder_has_surge_protection(edition: str, asked: bool) -> None:
    """215.18, from 2023: type 1 or 2 in or beside it, though the service has its own."""
    assert ("surge_protected" in failing(panel(edition, status="new", surge_protection="none"))) is asked
    assert "surge_protected" not in failing(panel(edition, status="new", surge_protection="type-2"))
    assert ("surge_protected" in unknown(panel(edition, status="new"))) is asked


def test_replacing_the_feeder_or_the_panel_brings_surge_protection() -> None:
    """An old panel on an old feeder is left; a new feeder, or a new panel ahead without one, brings it."""
    new = run(name="F", fed_from="M", feeds="P", calculated_a=90, breaker_a=125, size="1", neutral=True)
    assert "surge_protected" not in unknown(panel())
    assert "surge_protected" in unknown(panel(beside=new))
    assert "surge_protected" in unknown(panel(beside=LOAD, fed_from="M"))


@pytest.mark.parametrize(("kind", "asked"), [("accessory-dwelling", True), ("workshop", False), ("garage", False)])
def test_in_another_building_a_dwelling_is_asked_for_surge_protection(kind: str, asked: bool) -> None:
    """225.42 speaks of dwelling units: a workshop is none."""
    fed = run(name="F", fed_from="M", feeds="P", calculated_a=90, breaker_a=125, size="1", neutral=True)
    s = panel(beside=fed + toml("buildings", name="B", kind=kind), status="new", building="B")
    assert ("surge_protected" in unknown(s)) is asked
    assert not asked or s.unknowns[-1].cites[0].section == "225.42"


def test_a_panel_that_only_feeds_others_is_not_asked_for_surge_protection() -> None:
    """The device belongs where branch circuits start."""
    text = (
        HEAD
        + METER
        + toml("panels", name="P", bus_a=200, fed_from="M")
        + toml("panels", name="Q", bus_a=200, fed_from="P")
    )
    found = sheets(text)
    assert "surge_protected" not in unknown(found["P"])
    assert "surge_protected" in unknown(found["Q"])
    assert "surge_protected" in unknown(sheets(text + LOAD)["P"])


# -- ties ---------------------------------------------------------------------------------------------------------

WORKSHOP = toml("buildings", name="B", kind="workshop") + toml("panels", name="P", bus_a=100, building="B")
TO_P = {"name": "F", "fed_from": "M", "feeds": "P", "breaker_a": 60, "neutral": True}


@pytest.mark.parametrize(("amperes", "short"), [(19.5, False), (20, True), (40, True)])
def test_the_service_counts_what_a_feeder_to_another_building_carries(amperes: float, short: bool) -> None:
    """220.40: 4,680 VA in the load and 40 A, 9,600 VA, in the feeder: one of the two is wrong."""
    shop = toml("loads", name="Shop", kind="shop", load_va=4680, volts=240, panel="P")
    s = tied(WORKSHOP + shop + run(**TO_P, calculated_a=amperes, size="6"))
    assert ("in_the_service[F]" in failing(s)) is short
    assert s.results["service_counts_va[F]"] == 4680


def test_a_record_of_the_demand_holds_old_feeders_without_their_loads() -> None:
    """What ran while the record was made is in it; a new feeder's load has to be entered all the same."""
    measured = '[service]\nload_method = "measured"\n' + WORKSHOP
    old = run(**TO_P, calculated_a=40, size="6", status="existing")
    assert "in_the_service[F]" not in failing(tied(measured + old))
    assert "in_the_service[F]" in failing(tied(measured + old.replace("existing", "new")))
    assert "in_the_service[F]" in failing(tied(WORKSHOP + old))


def test_circuits_of_another_building_that_no_load_stands_for_are_not_in_the_service() -> None:
    """Its receptacle circuits are in the feeder's load, and nothing of them in that of the house."""
    shop = toml("loads", name="Shop", kind="shop", load_va=4680, volts=240, panel="P")
    plugs = toml("circuits", name="Plugs", panel="P", purpose="general", load_va=1500)
    assert failing(tied(WORKSHOP + shop + run(**TO_P, size="6", served_area_ft2=0))) == set()
    assert failing(tied(WORKSHOP + shop + plugs + run(**TO_P, size="6"))) == {"in_the_service[F]"}


def test_a_feeder_in_the_house_may_carry_what_the_service_counts_by_area_and_no_more() -> None:
    """1,800 ft2 and three circuits are 9,900 VA, 41.25 A; a unit of 60 A on its panel is counted nowhere."""
    heat = toml("loads", name="Heat", kind="space-heat", load_va=5000, volts=240, panel="M")
    house = toml("panels", name="P", bus_a=125) + heat
    assert failing(tied(house + run(**TO_P, calculated_a=41, size="4"))) == set()
    assert failing(tied(house + run(**TO_P, calculated_a=60, size="4"))) == {"in_the_service[F]"}
    anywhere = house.replace('panel = "M"\n', "")
    assert failing(tied(anywhere + run(**TO_P, calculated_a=60, size="4"))) == set()


def test_a_stated_load_covers_what_hangs_on_the_run() -> None:
    """80 A stated for a panel with 96 A of heat: conductors and breaker pass on their own sheet and are too small."""
    heat = toml("loads", name="Heat", kind="space-heat", load_va=23040, volts=240, panel="P")
    house = (
        toml("panels", name="P", bus_a=125)
        + heat
        + toml("loads", name="Dryer", kind="dryer", load_va=5000, volts=240, panel="M")
    )
    assert "stated_load[F]" in failing(tied(house + run(**TO_P, calculated_a=80, size="4")))
    s = tied(house + run(**TO_P, calculated_a=96, size="2"))
    assert "stated_load[F]" not in failing(s)
    assert any("the least that it can be" in note["text"] for note in s.as_json()["notes"])


def test_what_a_tie_asks_for_is_enough_when_it_is_done() -> None:
    """24,010 VA are 100.04 A, which 100 A don't cover; 4,800 VA in the feeder are 120.4 VA more than the 4,679.6 counted."""
    heat = toml("loads", name="Heat", kind="space-heat", load_va=24010, volts=240, panel="P")
    dryer = toml("loads", name="Dryer", kind="dryer", load_va=5000, volts=240, panel="M")
    house = toml("panels", name="P", bus_a=125) + heat + dryer
    remedies = {c.key: c.remedy for c in tied(house + run(**TO_P, calculated_a=80, size="1")).checks}
    assert remedies["stated_load[F]"].startswith("a load of 101 A for F")
    assert "stated_load[F]" not in failing(tied(house + run(**TO_P, calculated_a=101, size="1")))
    shop = toml("loads", name="Shop", kind="shop", load_va=4679.6, volts=240, panel="P")
    remedies = {c.key: c.remedy for c in tied(WORKSHOP + shop + run(**TO_P, calculated_a=20, size="6")).checks}
    assert remedies["in_the_service[F]"].startswith("loads of 121 VA more")


def test_a_service_run_whose_stated_load_is_below_the_dwellings_is_caught() -> None:
    range_ = toml("loads", name="Range", kind="range", load_va=8000, volts=240)
    service = run(name="S", role="service", feeds="M", calculated_a=30, size="3/0", neutral=True)
    assert failing(tied(range_ + service)) == {"stated_load[S]"}
    assert failing(tied(range_ + service.replace("= 30", "= 100"))) == set()


@pytest.mark.parametrize(("listed", "stated", "short"), [(2, 2, False), (3, 2, True), (3, 3, False), (1, 2, False)])
def test_each_small_appliance_circuit_that_is_listed_is_counted(listed: int, stated: int, short: bool) -> None:
    """220.52(A): the third circuit counts as well."""
    text = "".join(toml("circuits", name=f"C{n}", panel="M", purpose="small-appliance") for n in range(listed))
    s = tied(text, head=HEAD + f"small_appliance_circuits = {stated}\n")
    assert ("circuits_counted[small-appliance]" in failing(s)) is short


def test_conductors_are_sized_for_the_breaker_that_the_schedule_has() -> None:
    """A run worked behind 20 A for its stated load, while the circuit's own loads ask for 30 A."""
    heater = toml("loads", name="Heater", kind="water-heater", load_va=4500, volts=240, circuit="Heater", panel="M")
    circuit = toml("circuits", name="Heater", panel="M", purpose="individual", poles=2)
    small = run(name="R", role="branch", fed_from="M", feeds="Heater", calculated_a=15)
    assert failing(tied(heater + circuit + small)) == {"same_breaker[R]"}
    assert failing(tied(heater + circuit + small.replace("calculated_a = 15\n", ""))) == set()


def test_connected_and_demand_load_stand_side_by_side_for_service_and_panels() -> None:
    heat = toml("loads", name="Heat", kind="space-heat", load_va=5000, volts=240, panel="P")
    range_ = toml("loads", name="Range", kind="range", load_va=12000, volts=240, panel="M")
    made = job(
        HEAD + METER + toml("panels", name="P", bus_a=125) + heat + range_ + run(**TO_P, calculated_a=41, size="4")
    )
    (table,) = families()["panels"].tables(House.of(made))
    rows = {row[0]: row[1:] for row in table.rows}
    assert rows["Service"][:2] == [
        "17,000",
        "18,415",
    ]  # area and circuits at their steps 5,415, range at its demand 8,000
    assert rows["M"][:3] == ["17,000", "-", "-"]
    assert rows["P"] == ["5,000", "9,840", "41.0", "as the job states it for F"]


def test_units_count_in_the_connected_load_as_often_as_there_are_of_them() -> None:
    head = '[dwelling]\nkind = "multifamily"\n' + toml("dwelling.units", name="Flats", count=4, floor_area_ft2=800)
    text = head + METER + toml("panels", name="P", bus_a=125, fed_from="M", unit_group="Flats")
    text += toml("loads", name="Range", kind="range", load_va=8000, volts=240, panel="P", serves="unit")
    made = job(text)
    rows = {row[0]: row[1] for row in families()["panels"].tables(House.of(made))[0].rows}
    assert rows == {"Service": "32,000", "M": "32,000", "P": "8,000"}
