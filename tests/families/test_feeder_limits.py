"""Runs near their limits: where a size, a ground, a neutral or a ceiling would turn, and what a sheet says beside."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import families
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import LUGS_75, failing, job, remedy, results, run, toml, worked
from tests.families.test_feeder import HOUSE, part_of_house, service, subpanel
from tests.families.test_feeder import load as shop

EDITIONS = editions()


def cites(sheet: Sheet, key: str) -> set[str]:
    """The rules that a line or a check rests on."""
    return {cite.rule for made in (*sheet.lines, *sheet.checks) if made.key == key for cite in made.cites}


def said(sheet: Sheet, key: str) -> str:
    """What a check says."""
    return next(check["text"] for check in sheet.as_json()["checks"] if check["key"] == key)


# ---- the size


def test_a_size_found_is_shown_with_the_next_smaller_failing() -> None:
    """48 A behind 50 A at 75 C lugs: 8 AWG (50 A) serves and 10 AWG (35 A) is shown to fail; at 14 AWG nothing is smaller."""
    s = worked(run(calculated_a=48, **LUGS_75))
    assert (s.results["size"], s.results["smaller_size"], s.results["smaller_ampacity_a"]) == ("8 AWG", "10 AWG", 35)
    (line,) = [line for line in s.lines if line.key == "size"]
    assert all(pair.holds for pair in line.compared)
    assert line.compared[-1].sign == "<"
    assert (line.compared[-1].left.number, line.compared[-1].right.number) == (35, 48)
    assert "smaller_size" not in results(run(calculated_a=10, **LUGS_75))


@pytest.mark.parametrize(
    ("keys", "limit"),
    [
        ({"insulation": "THHN", **LUGS_75}, "the terminals, 75 °C"),
        ({"insulation": "TW", **LUGS_75}, "the insulation, 60 °C"),
        ({"insulation": "THHN", "ambient_f": 140, **LUGS_75}, "correction and adjustment"),
        ({"cable": "6/2 NM", **LUGS_75}, "NM cable, 60 °C"),
    ],
)
def test_what_governs_is_named(keys: dict[str, Any], limit: str) -> None:
    """The column of terminals, insulation or cable where that is the lower, else what air and company leave."""
    s = worked(run(size=None if "cable" in keys else "6", calculated_a=20, breaker_a=30, **keys))
    assert s.results["governing_limit"] == limit
    (line,) = [line for line in s.lines if line.key == "governing_limit"]
    assert [pair.holds for pair in line.compared] == [True]


@pytest.mark.parametrize(
    ("keys", "ways"),
    [
        ({}, {"a breaker of"}),
        ({"ambient_f": 104}, {"a cooler route"}),
        ({"current_carrying": 6}, {"fewer wires together"}),
        ({"ambient_f": 104, "current_carrying": 6}, {"fewer wires together", "a cooler route"}),
        ({"calculated_a": 50}, set()),
    ],
)
def test_a_size_that_falls_short_is_told_every_way_out_that_it_has(keys: dict[str, Any], ways: set[str]) -> None:
    """Less company and cooler air where they take something off; a smaller breaker where the load allows one."""
    s = worked(run(**{"size": "8", "calculated_a": 36, "breaker_a": 60, **LUGS_75, **keys}))
    told = remedy(s, "breaker_protects")
    for way in ("fewer wires together", "a cooler route"):
        assert (way in told) is (way in ways)
    assert ("a breaker of 40 A" in told) is (keys.get("calculated_a", 36) == 36 and failing(s) >= {"breaker_protects"} and (
        s.results["largest_breaker_a"] >= 40))  # fmt: skip
    assert "copper THHN" in told
    assert told.endswith("or less load")


def test_a_size_given_is_judged_though_none_serves() -> None:
    """900 A on one set of 500 kcmil: the tables end before, so the mend is another make, and the ground is still told."""
    s = worked(run(size="500", calculated_a=900, breaker_a=1000, **LUGS_75))
    assert {"carries_load", "breaker_protects"} <= failing(s)
    assert "more sets in parallel" in remedy(s, "carries_load")
    assert "equipment_ground_size" in s.results


@pytest.mark.parametrize(("sets", "size", "short"), [(2, "1/0", False), (2, "1", True), (1, "1", False)])
def test_sets_in_parallel_are_1_0_or_larger(sets: int, size: str, short: bool) -> None:
    """A given size below it falls short in parallel, and only there; each sheet of several sets says what they must share."""
    s = worked(run(size=size, sets=sets, calculated_a=100, breaker_a=110, **LUGS_75))
    assert ("parallel_large_enough" in failing(s)) is short
    one = worked(run(size=size, calculated_a=100, breaker_a=110, **LUGS_75))
    assert (len(set(s.cautions) - set(one.cautions)) == 1) is (sets > 1)
    assert ("equipment_ground_parallel" in cites(s, "equipment_ground_table")) is (sets > 1)


# ---- the equipment ground


def test_a_circuit_no_larger_than_it_has_to_be_does_not_enlarge_its_ground() -> None:
    """12 AWG for 16 A behind 20 A: 12 AWG by the table; one size up, and the ground is just as large as the circuit: no cap."""
    keys: dict[str, Any] = {"role": "branch", "volts": 120, "calculated_a": 16, "breaker_a": 20}
    as_found, same, up = (worked(run(**keys, size=size)) for size in (None, "12", "10"))
    for s in (as_found, same):
        assert s.results["equipment_ground_size"] == "12 AWG"
        assert not {"least_size", "equipment_ground_cmil"} & set(s.results)
    assert (up.results["least_size"], up.results["equipment_ground_cmil"]) == ("12 AWG", 10380)
    assert up.results["equipment_ground_strict"] == "10 AWG", "an area that is just met is met"
    assert "equipment_ground_forgiven" not in up.results
    for s in (as_found, same, up):
        assert "equipment_ground_cap" not in s.results, "as large as the circuit is not larger"


def test_a_ground_is_compared_by_area_and_the_check_names_both_sizes() -> None:
    """100 A asks for 8 AWG copper: 8 serves, 10 doesn't."""
    for ground, passes in (("8", True), ("6", True), ("10", False)):
        s = worked(run(calculated_a=90, breaker_a=100, size="3", ground_size=ground, **LUGS_75))
        assert ("equipment_ground_serves" not in failing(s)) is passes
        text = said(s, "equipment_ground_serves")
        assert text.startswith(f"{ground} AWG (")
        assert text.endswith("provided, 8 AWG (16,510 cmil) required")


def test_a_bare_conductor_of_a_set_is_its_ground() -> None:
    """As a covered one is; a set that lists neither has none."""
    base = {"calculated_a": 40, "breaker_a": 50, "wiring_method": "PVC-40", "neutral": True, **LUGS_75}
    assert results(run(cable="3 x 6 THWN-2 + 10 bare", **base))["equipment_ground_size"] == "10 AWG"
    assert "equipment_ground_present" in failing(worked(run(cable="3 x 6 THWN-2", **base)))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "state"),
    [("EMT", "passes"), ("RMC", "passes"), ("IMC", "passes"), ("FMC", "not worked"), ("PVC-40", "falls short")],
)
def test_a_raceway_is_ground_where_it_is_of_metal_and_listed_for_it(method: str, state: str, edition: str) -> None:
    """250.118: conduit and tubing of metal are, plastic falls short, flexible conduit is not decided here."""
    s = worked(run(calculated_a=40, breaker_a=50, wiring_method=method, insulation="THWN-2", equipment_ground="raceway",
                   **LUGS_75), edition)  # fmt: skip
    assert s.status == state
    if method == "PVC-40":
        assert failing(s) == {"equipment_ground_of_metal"}


# ---- the neutral


@pytest.mark.parametrize(
    ("neutral_a", "size", "rule"),
    [(10, "6 AWG", "by its floor"), (65, "6 AWG", None), (66, "4 AWG", "by its load"), (180, "3/0 AWG", "as the ungrounded conductors")],
)  # fmt: skip
def test_the_neutral_of_a_feeder_goes_by_load_and_floor(neutral_a: float, size: str, rule: str | None) -> None:
    """200 A of copper: the floor is 6 AWG (65 A); above that the load decides, and never more than the legs."""
    found = results(run(calculated_a=180, breaker_a=200, neutral=True, neutral_a=neutral_a, **LUGS_75))
    assert found["neutral_size"] == size
    if rule:
        assert found["neutral_rule"] == rule


def test_a_neutral_that_is_not_known_is_as_large_as_the_legs_and_its_mend_asks_for_the_load() -> None:
    """Of a feeder the load may be entered; of a branch circuit it would change nothing."""
    short = worked(run(calculated_a=90, breaker_a=100, neutral=True, size="3", neutral_size="8", **LUGS_75))
    assert "neutral_a" in remedy(short, "neutral_serves")
    assert said(short, "neutral_serves") == "8 AWG (16,510 cmil) provided, 3 AWG (52,620 cmil) required"
    known = worked(
        run(calculated_a=90, breaker_a=100, neutral=True, size="3", neutral_size="8", neutral_a=60, **LUGS_75)
    )
    assert "neutral_a" not in remedy(known, "neutral_serves")
    branch = worked(
        run(role="branch", volts=120, neutral=None, calculated_a=15, breaker_a=20, size="12", neutral_size="14")
    )
    assert "neutral_a" not in remedy(branch, "neutral_serves")


@pytest.mark.parametrize(
    ("keys", "rule", "of_wye"),
    [
        ({"volts": 208, "neutral": True, "neutral_a": 10}, "as the ungrounded conductors", True),
        ({"volts": 208, "phases": 3, "neutral": True, "neutral_a": 10}, "by its floor", False),
        ({"role": "branch", "volts": 208, "neutral": True, "neutral_a": 10}, "as the ungrounded conductors", False),
    ],
)
def test_two_legs_of_a_wye_load_the_neutral_like_a_leg(keys: dict[str, Any], rule: str, of_wye: bool) -> None:
    """310.15(E): so it is never smaller there; three balanced legs let it be by its load."""
    s = worked(run(calculated_a=180, breaker_a=200, **keys, **LUGS_75))
    assert s.results["neutral_rule"] == rule
    assert ("neutral_of_wye" in cites(s, "neutral_rule")) is of_wye


# ---- the ceiling of a dwelling


@pytest.mark.parametrize(
    ("keys", "change", "size"),
    [
        ({}, ("", ""), "4/0 AWG"),
        ({"breaker_a": 225}, ("", ""), "250 kcmil"),  # a larger breaker than the service has
        ({"material": "copper", "insulation": "XHHW-2"}, ("", ""), "3/0 AWG"),  # of another metal: by its own ampacity
    ],
)
def test_the_service_is_a_ceiling_for_a_feeder_of_its_metal_and_rating(
    keys: dict[str, Any], change: tuple[str, str], size: str
) -> None:
    """190 A behind 200 A: 4/0 aluminum as the service has; behind more, or of copper, the size that its load asks for."""
    parts = [shop("Heat", "Indoor"), shop("EV", "Meter-main")]
    base = {"calculated_a": 190, "breaker_a": 200, "insulation": "XHHW-2", "wiring_method": "PVC-40"}
    assert results(subpanel(200, *parts, **base | keys).replace(*change))["size"] == size


# ---- the load


@pytest.mark.parametrize(
    ("status", "on", "state"), [("new", True, "passes"), ("removed", True, "not shown"), ("new", False, "not shown")]
)
def test_a_circuit_is_told_by_a_load_on_it_that_stays(status: str, on: bool, state: str) -> None:
    """A subpanel's circuit whose only load is taken out, or that has none, leaves the feeder's load open."""
    text = part_of_house() + toml("circuits", name="Saw circuit", panel="Sub", purpose="individual")
    text += toml("loads", name="Saw", kind="shop", load_va=1200, volts=120, circuit="Saw circuit" if on else None,
                 panel=None if on else "Main", status=status)  # fmt: skip
    s = worked(text)
    assert s.status == state
    if state != "passes":
        assert s.refused is not None
        assert "Saw circuit" in s.refused.reason


def test_circuits_that_an_accessory_dwelling_lists_are_not_counted_twice() -> None:
    """Its two kitchen circuits and its laundry, listed: nothing 'not listed' stands beside; with one listed, one and a laundry do."""
    base = HOUSE + toml("buildings", name="Flat", kind="accessory-dwelling", floor_area_ft2=600)
    base += toml("panels", name="Main") + toml("panels", name="P", building="Flat")
    listed = "".join(toml("circuits", name=f"K{n}", panel="P", purpose="small-appliance") for n in (1, 2))
    listed += toml("circuits", name="W", panel="P", purpose="laundry")
    feed = run(fed_from="Main", feeds="P", neutral=True, breaker_a=100, **LUGS_75)
    whole = worked(base + listed + feed)
    less = worked(base + toml("circuits", name="K1", panel="P", purpose="small-appliance") + feed)
    assert whole.results["general_connected_va"] == less.results["general_connected_va"] == 3 * 600 + 3 * 1500
    shown = [str(s.as_json()["givens"]) for s in (whole, less)]
    assert "not listed" not in shown[0]
    assert "not listed" in shown[1]


@pytest.mark.parametrize(("kind", "known"), [("well-pump", False), ("shop", True)])
def test_the_breaker_stands_for_a_load_only_where_nothing_on_it_is_a_motor(kind: str, known: bool) -> None:
    """250 % of a pump's current says nothing about the pump; of a three-phase run of a shop the breaker is the most."""
    text = toml("panels", name="P") + toml("circuits", name="C", panel="P", purpose="individual", poles=2)
    text += toml("loads", name="X", kind=kind, load_va=None if kind == "well-pump" else 2400, volts=208,
                 nameplate_a=10 if kind == "well-pump" else None, circuit="C")  # fmt: skip
    s = worked(text + run(role="branch", fed_from="P", feeds="C", volts=208, phases=3, breaker_a=30, **LUGS_75))
    assert s.status == "not shown"
    assert ("calculated_a" in s.results) is known


@pytest.mark.parametrize(("mocp", "short"), [(35, set()), (30, {"equipment_allows"})])
def test_the_breaker_of_a_nameplate_is_no_larger_than_it_says(mocp: int, short: set[str]) -> None:
    """35 A on a unit of 35 A at most, and of 30 A."""
    unit = toml("loads", name="AC", kind="air-conditioner", load_va=4080, volts=240, mca_a=21, mocp_a=mocp)
    s = worked(unit + run(role="branch", feeds="AC", breaker_a=35, neutral=None, **LUGS_75))
    assert s.results["calculated_a"] == 21
    assert failing(s) == short


def test_charts_are_drawn_where_a_size_was_found() -> None:
    """A run that is refused has none, and the one beside it has."""
    family = families()["feeder"]
    made = job(run(calculated_a=48, **LUGS_75) + run(name="Q", wiring_method="overhead", calculated_a=20))
    house = House.of(made)
    assert family.charts(house, family.work(house))


def test_cautions_are_said_where_they_apply_and_nowhere_else() -> None:
    """Air of an attic that nobody stated, a tap, what a branch feeds, a riser of plastic."""
    plain = set(worked(run(calculated_a=20)).cautions)
    for keys in ({"location": "attic"}, {"role": "branch", "volts": 120}, {"sets": 2, "size": "1/0"}):
        assert set(worked(run(calculated_a=20, **keys)).cautions) - plain, keys
    stated = set(worked(run(calculated_a=20, location="attic", ambient_f=130)).cautions)
    assert stated == plain
    tap = run(name="Q", calculated_a=20) + run(calculated_a=20, fed_from="Q")
    (said_of_tap,) = set(worked(tap).cautions) - plain
    assert "Q" in said_of_tap
    buried = {"location": "buried", "insulation": "THWN-2", "calculated_a": 20}
    plastic = set(worked(run(**buried, wiring_method="PVC-40")).cautions)
    metal = set(worked(run(**buried, wiring_method="RMC")).cautions)
    assert len(plastic - metal) == 1


def test_service_of_a_larger_house_is_sized_by_breaker_and_load() -> None:
    """83 % of 400 A is 332 A; from 401 A on the share no longer holds."""
    assert results(service(400))["dwelling_share_a"] == pytest.approx(332)
    assert "dwelling_share_a" not in results(service(450))
    assert "dwelling_share_a" in results(service(100))
    assert "dwelling_share_a" not in results(service(90))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("keys", [{"ambient_f": 140}, {"current_carrying": 10}])
def test_heat_or_company_alone_enlarges_the_ground_up_to_2017(keys: dict[str, Any], edition: str) -> None:
    """25 A behind 30 A: 8 AWG where 10 would do in the open; 2017 knows no reason for the increase that lets it off."""
    found = results(run(calculated_a=25, breaker_a=30, size="6", **keys, **LUGS_75), edition)
    least = (
        "10 AWG"
        if edition == "2017"
        else results(run(calculated_a=25, breaker_a=30, **keys, **LUGS_75), edition)["size"]
    )
    assert found["least_size"] == least


@pytest.mark.parametrize(
    ("load", "rule"),
    [
        ({"kind": "air-conditioner", "load_va": 4200, "motor_a": 15}, "compressor_share"),
        ({"kind": "well-pump", "load_va": 2400, "motor_hp": 2}, "motor_share"),
        ({"kind": "shop", "load_va": 2400}, "continuous_branch"),
    ],
)
def test_what_a_run_is_sized_by_is_the_rule_of_what_hangs_on_it(load: dict[str, Any], rule: str) -> None:
    """A compressor, another motor, or none of them."""
    text = toml("panels", name="P") + toml("circuits", name="C", panel="P", purpose="individual", poles=2)
    text += toml("loads", name="X", volts=240, circuit="C", **load)
    s = worked(text + run(role="branch", fed_from="P", feeds="C", neutral=None, **LUGS_75))
    assert rule in cites(s, "carries_load")
    assert "noncontinuous_a" not in s.results, "nothing lasts, so nothing is taken apart"


def test_the_floor_of_each_of_several_neutrals_says_so() -> None:
    """Sets in parallel have it by their own conductors, each; one set cites no such rule."""
    assert "neutral_floor_sets" in cites(worked(service(400, size="4/0", sets=2, neutral_a=100)), "neutral_floor")
    assert "neutral_floor_sets" not in cites(worked(service(200, size="4/0", neutral_a=80)), "neutral_floor")


def test_service_conductors_that_go_on_from_others_are_no_tap() -> None:
    """Their caution is for feeders and branch circuits; a load above the share is told with the run's name."""
    head = f"{HOUSE}[service]\nrating_a = 200\n"
    first = run(name="Q", role="service", calculated_a=100, neutral=None, **LUGS_75)
    service_run = worked(head + first + run(role="service", fed_from="Q", calculated_a=100, neutral=None, **LUGS_75))
    feeder_run = worked(head + first + run(fed_from="Q", calculated_a=100, **LUGS_75))
    assert not any("Q" in text for text in service_run.cautions)
    assert any("Q" in text for text in feeder_run.cautions)
    over = worked(service(200, calculated_a=185))
    assert any(text.startswith("R: the ampacity is under") for _, text in over.remarks)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("keys", "short"),
    [
        ({"cable": "6/2 NM", "neutral": True}, True),
        ({"cable": "6/3 NM", "neutral": True}, False),
        ({"cable": "6/2 NM", "neutral": False}, False),
        ({"cable": "6/3 NM", "neutral": False}, False),
        ({"cable": "2 x 6 THHN + 10 ground", "neutral": True}, True),
        ({"cable": "3 x 6 THHN + 10 ground", "neutral": True}, False),
        ({"cable": "6/3 NM", "volts": 208, "phases": 3, "neutral": True}, True),
        ({"cable": "6/3 NM", "volts": 208, "phases": 3, "neutral": False}, False),
        ({"cable": "12/2 NM", "role": "branch", "volts": 120, "multiwire": True, "neutral": True}, True),
        ({"cable": "12/3 NM", "role": "branch", "volts": 120, "multiwire": True, "neutral": True}, False),
        ({"cable": "1 x 12 THHN + 12 ground", "role": "branch", "volts": 120, "neutral": None}, True),
        ({"cable": "12/2 NM", "role": "branch", "volts": 120, "neutral": None}, False),
    ],
)
def test_a_cable_has_a_conductor_for_each_leg_and_the_neutral(keys: dict[str, Any], short: bool, edition: str) -> None:
    """300.3(B): a feeder of 6/2 that is to bring a neutral has none, and the mend says so."""
    s = worked(run(calculated_a=15, breaker_a=20, **keys), edition)
    assert ("wires_enough" in failing(s)) is short
    two_legs = keys.get("volts", 240) != 120 or keys.get("multiwire", False)
    if short:
        assert ("neutral = false" in remedy(s, "wires_enough")) is bool(keys.get("neutral") and two_legs)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("location", "state"),
    [("buried", "passes"), ("dry", "falls short"), ("dry-throughout", "falls short"), ("damp", "falls short"), ("attic", "falls short"),
     ("wet", "falls short"), ("rooftop", "falls short"), (None, "not shown")],
)  # fmt: skip
def test_hdpe_conduit_is_for_the_earth_alone(location: str | None, state: str, edition: str) -> None:
    """353.12, from memory: inside a building or exposed it falls short; where nobody says where it lies, that is asked."""
    keys = {} if location is None else {"location": location, "burial_in": 24}
    text = run(calculated_a=20, wiring_method="HDPE", insulation="THWN-2", ground_size=None, **keys, **LUGS_75)
    s = worked(text, edition)
    assert s.status == state
    assert ("raceway_fits_place" in failing(s)) is (state == "falls short")
    assert [each.at for each in s.unknowns] == (["runs[1].location"] if location is None else [])
    pvc = worked(text.replace("HDPE", "PVC-40"), edition)
    assert pvc.status == "passes"
