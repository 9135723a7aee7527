"""A separate building: four wires, disconnect, electrodes, drop and cover together, each as its own sheet has it."""

from __future__ import annotations

import pytest

from calc.work import Sheet
from tests.families.runs import LUGS_75, failing, run, toml, worked

HOUSE = (
    '[dwelling]\nkind = "one-family"\n'
    + toml("panels", name="Main", service_equipment=True, main_a=200)
    + toml("panels", name="Shop panel", building="Shop", neutral_bonded=False)
)
RODS = '[[buildings.electrodes]]\nkind = "rod"\ncount = {count}\nlength_ft = 8\nspacing_ft = 6\n'
SHOP = {"name": "Shop", "kind": "workshop", "disconnect": "outside", "disconnect_a": 60}
FEEDER = {"name": "Way out", "fed_from": "Main", "feeds": "Shop panel", "insulation": "THWN-2", "wiring_method": "PVC-80",
          "size": "6", "neutral": True, "neutral_a": 12, "location": "buried", "burial_in": 18, "calculated_a": 40,
          "breaker_a": 60, "length_ft": 145, **LUGS_75}  # fmt: skip


def sheet(shop: dict[str, object] | None = None, rods: int = 2, **feeder: object) -> Sheet:
    """The building's sheet."""
    text = HOUSE + toml("buildings", **SHOP | (shop or {})) + (RODS.format(count=rods) if rods else "")
    return worked(text + run(**FEEDER | feeder), family="rough-in", subject="Shop")


def test_everything_stands_on_one_sheet() -> None:
    """145 ft of 6 AWG copper for 40 A: 5.70 V and 2.37 %, as worked by hand."""
    found = sheet().results
    assert found["feeder_has"] == found["feeder_needs"] == 4
    assert found["supply_conductors"] == "6 AWG copper, neutral 10 AWG, ground 10 AWG"
    assert (found["supply_ampacity_a"], found["supply_breaker_a"], found["disconnect_least_a"]) == (65, 60, 60)
    assert (found["supply_electrodes_count"], found["supply_electrode_conductor[rods]"]) == (2, "8 AWG")
    assert round(found["supply_drop_v"], 2) == 5.7
    assert round(found["supply_drop_pct"], 2) == 2.37
    assert found["supply_cover_in"] == 18
    assert sheet().passes


@pytest.mark.parametrize(
    ("change", "short"),
    [
        ({"burial_in": 12}, {"supply_deep_enough", "supply_sheet[conductors]"}),
        ({"equipment_ground": "none"}, {"feeder_complete", "supply_sheet[conductors]"}),
        ({"calculated_a": 80, "breaker_a": 90}, {"supply_carries", "disconnect_carries", "supply_sheet[conductors]"}),
        ({"rods": 1}, {"supply_sheet[electrodes]"}),
        ({"rods": 0}, {"supply_electrode_there", "supply_sheet[electrodes]"}),
        ({"shop": {"disconnect": "none"}}, {"building_disconnect"}),
        ({"shop": {"disconnect_a": 30}}, {"disconnect_rated", "disconnect_carries"}),
    ],
)  # fmt: skip
def test_what_is_missing_falls_short(change: dict[str, object], short: set[str]) -> None:
    assert failing(sheet(**change)) == short  # type: ignore[arg-type]


def test_a_type_that_may_not_lie_there_falls_short_on_the_building_s_sheet_too() -> None:
    found = sheet(insulation=None, wiring_method=None, material=None, size=None, cable="6/3 NM")
    assert (failing(found), found.refused) == ({"supply_sheet[conductors]"}, None)


def test_a_cable_whose_marking_nobody_read_leaves_the_building_not_shown() -> None:
    """MC in the earth is marked for that, or may not lie there."""
    found = sheet(insulation=None, wiring_method=None, material=None, size=None, cable="6/3 MC")
    assert (found.status, failing(found)) == ("not shown", set())
    assert "runs[1].marked_for" in [each.at for each in found.unknowns]


def test_conductors_that_are_refused_refuse_the_building() -> None:
    refused = sheet(terminations_to_c=90).refused
    assert refused
    assert "90 °C terminals" in refused.reason


def test_without_a_length_the_rest_still_stands() -> None:
    made = sheet(length_ft=None)
    assert "supply_cover_in" in made.results
    assert any("The drop of Way out is not on this sheet:" in caution for caution in made.cautions)


def test_a_disconnect_smaller_than_the_breaker_ahead_of_it_is_pointed_at() -> None:
    """A breaker may be smaller; a plain switch isn't protected by a larger breaker."""
    said = sheet(breaker_a=70, size="4").cautions
    assert any("60 A stands behind a breaker of 70 A" in caution for caution in said)
    assert not any("stands behind a breaker" in caution for caution in sheet().cautions)
