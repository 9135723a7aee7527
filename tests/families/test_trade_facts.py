"""What the trade says by heart: each checked on a sheet, with the section that makes it code, or as common practice.

Some are code only in part: 'every 4 ft' is not an average, and 'a range on 40 A' ends at a rating.
"""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.work import Sheet
from tests.families import placing
from tests.families.runs import failing, toml, worked
from tests.families.test_grounding import grounded_text

DOORS = [{"kind": "door", "at_ft": 0, "width_ft": 3}, {"kind": "door", "at_ft": 39, "width_ft": 3}]
LONG = {"use": "living", "walls": [{"name": "all", "length_ft": 42}], "openings": DOORS}  # 36 ft between two doors
HOUSE = {"dwelling": {"kind": "one-family", "floor_area_ft2": 2000}}


def sections(s: Sheet, key: str) -> list[str]:
    """The sections beside a check or a line, by the first part of its key."""
    shown = s.as_json()
    return next(
        each["sections"] for each in [*shown["checks"], *shown["lines"]] if each["key"].partition("[")[0] == key
    )


def wall(*feet_from_the_door: float) -> Sheet:
    return placing.sheet(**LONG, outlets=[{"at_ft": 3 + feet} for feet in feet_from_the_door])


def range_circuit(kw: float, cable: str, breaker_a: int) -> Sheet:
    text = toml("panels", name="P", spaces=40) + toml(
        "loads", name="Range", kind="range", load_va=kw * 1000, volts=240, circuit="C"
    )
    text += toml("circuits", name="C", panel="P", purpose="individual", poles=2, cable=cable, breaker_a=breaker_a,
                 breaker_type="ground-fault")  # fmt: skip
    return worked(text, "2023", "branch-circuits", "C")


@pytest.mark.parametrize("edition", editions())
def test_6_ft_from_the_door_and_every_12_ft_after(edition: str) -> None:
    """210.52(A)(1): three serve 36 ft, at 6, 18 and 30 ft; an inch more from the door leaves an inch out of reach."""
    assert placing.results(edition, **LONG)["fewest_needed"] == 3
    good, bad = wall(6, 18, 30), wall(6 + 1 / 12, 18, 30)
    assert good.passes
    assert sections(good, "wall_reach") == ["210.52(A)(1)"]
    assert "wall_reach[wall space 1]" in failing(bad)
    assert [value for key, value in bad.results.items() if key.startswith("gap_in")] == [pytest.approx(1)]


def test_a_counter_receptacle_about_every_4_ft_is_no_average() -> None:
    """210.52(C)(1): range and sink spaces don't count and no space serves another; 123 in by 48 are 3, where 4 are needed."""
    north = {"name": "north", "length_in": 172, "breaks": [
        {"kind": "cooktop", "at_in": 38, "width_in": 30}, {"kind": "sink", "at_in": 92, "width_in": 33, "behind_in": 4},
        {"kind": "refrigerator", "at_in": 136, "width_in": 36}]}  # fmt: skip
    kitchen: dict[str, Any] = {"use": "kitchen", "counters": [north, {"name": "east", "length_in": 50}]}
    free_in = 38 + 24 + 11 + 50
    assert -(-free_in // 48) == 3
    assert placing.results(**kitchen)["fewest_needed"] == 4
    for number, counter in enumerate(kitchen["counters"]):
        counter["outlets"] = [{"at_in": at, "above_in": 8} for at in ((19, 80), (20,))[number]]
    by_average = placing.sheet(**kitchen)
    assert failing(by_average) == {"counter_reach[east counter, space 1]"}
    assert sections(by_average, "counter_reach") == ["210.52(C)(1)"]


def test_a_range_goes_on_8_3_copper_at_40_a_up_to_16_kw() -> None:
    """Table 220.55 with note 1: 16 kW is 9.6 kW, 40.0 A; up to a half kilowatt more is no major fraction; from there 6/3."""
    for kw in (8.75, 12, 16, 16.49):
        assert range_circuit(kw, "8/3 with ground", 40).passes, kw
    over = range_circuit(16.5, "8/3 with ground", 40)
    assert {"breaker_carries", "carries_continuous"} <= failing(over)
    assert range_circuit(18, "6/3 with ground", 50).passes
    assert "220.55" in " ".join(sections(over, "cooking_reading"))


def test_40_a_is_the_least_for_a_range_of_8_75_kw() -> None:
    """210.19(A)(3), in 2023 210.19(C): a floor, not a size that serves every range; the 8 kW of one below it go on 35 A."""
    short = range_circuit(8.75, "8/3 with ground", 35)
    assert failing(short) == {"breaker_carries"}
    assert "210.19(C)" in sections(short, "breaker_carries")
    assert range_circuit(8.7, "8/3 with ground", 35).passes


def test_a_dryer_goes_on_10_3_at_30_a() -> None:
    """Common practice, no source: dryers are sold for 30 A. The sheet says so, and 30 A on 10 AWG carries the load."""
    text = toml("panels", name="P", spaces=40) + toml("loads", name="Dryer", kind="dryer", load_va=5000, volts=240)
    s = worked(text, "2023", "branch-circuits", "Dryer")
    assert (s.results["breaker_a"], s.results["conductor"].partition(",")[0]) == (30, "10 AWG copper")
    assert s.results["conductor"].endswith("10/3 NM")
    assert sections(s, "breaker_floor_a") == []
    assert s.passes


def test_a_dishwasher_s_outlet_is_beside_it_not_behind() -> None:
    """422.16(B)(2)."""
    text = toml("loads", name="Dishwasher", kind="dishwasher", load_va=1200, volts=120, connected_by="cord")
    head = '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 2000\n' + toml("panels", name="P", spaces=40)
    behind, beside = (worked(head + text + f'receptacle_at = "{at}"\n', "2023", "branch-circuits", "test")
                      for at in ("behind", "adjacent-space"))  # fmt: skip
    key = "dishwasher_receptacle_beside"
    assert f"{key}[Dishwasher]" in failing(behind)
    assert f"{key}[Dishwasher]" not in failing(beside)
    assert sections(beside, key) == ["422.16(B)(2)"]


@pytest.mark.parametrize(("risers", "asked"), [(5, False), (6, True)])
def test_a_stair_of_six_risers_or_more_is_switched_at_both_ends(risers: int, asked: bool) -> None:
    """210.70(A)(2)."""
    levels = [{"name": name, "floor_level": True, "switch": name == "first"} for name in ("first", "second")]
    s = placing.sheets(placing.job_of(stairs=[{"name": "Stair", "risers": risers, "light": True, "landings": levels}]))[
        "Stair"
    ]
    assert ("level_switch[second]" in failing(s)) is asked
    if asked:
        assert sections(s, "level_switch") == ["210.70(A)(2)"]


def test_a_footing_electrode_needs_no_supplement() -> None:
    """250.53(A)(2) speaks of rods, pipes and plates, 250.53(D)(2) of water pipes: a footing alone is enough."""
    alone, rod, pipe = (worked(grounded_text(electrodes=kinds), "2023", "grounding", "test")
                        for kinds in (("footing",), ("rod",), ("water-pipe",)))  # fmt: skip
    supplements = {"rod_supplemented", "water_pipe_supplemented"}
    assert not supplements & {check.key for check in alone.checks}
    assert supplements & failing(rod)
    assert sections(rod, "rod_supplemented") == ["250.53(A)(2)"]
    assert supplements & failing(pipe)
    assert sections(pipe, "water_pipe_supplemented") == ["250.53(D)(2)"]
    assert not supplements & failing(
        worked(grounded_text(electrodes=("footing", "water-pipe")), "2023", "grounding", "test")
    )


def test_one_receptacle_serves_the_front_porch_level() -> None:
    """210.52(E)(1) and (E)(3): the one at the front, stepped onto from inside, is the porch's own."""
    porch = {"use": "porch", "front_or_back": "front", "reached_from_inside": True, "outlets": [{"height_in": 18}]}
    found = placing.sheets(placing.job_of(porch, **HOUSE))
    assert found["Room 1"].passes
    assert sections(found["Room 1"], "place_enough") == ["210.52(E)(3)"]
    assert failing(found["Outdoors"]) == {"place_enough[back of the house]"}, "the front is served"
    assert sections(found["Outdoors"], "place_enough") == ["210.52(E)(1)"]
