"""The runs of the demo house, against the figures that the trade worked out by hand."""

from __future__ import annotations

import pytest

from calc.codebook.tables import FOLDER
from calc.work import Sheet
from tests.families.runs import LUGS_75, failing, run, toml, worked
from tests.replay.mutations import assert_mutations_caught

HOUSE = (
    '[dwelling]\nkind = "one-family"\n[service]\nrating_a = 400\nmain_a = 400\n'
    + toml("panels", name="Meter-main", service_equipment=True)
    + toml("panels", name="Indoor")
    + toml("panels", name="Workshop panel", building="Workshop")
    + toml("buildings", name="Workshop", kind="workshop")
    + toml("loads", name="Vehicle supply", kind="ev-supply", load_va=11520, volts=240, panel="Meter-main")
    + toml(
        "loads", name="Heat pump", kind="heat-pump", load_va=4080, volts=240, mca_a=21.0, mocp_a=35, panel="Meter-main"
    )
    + toml("loads", name="Water heater", kind="water-heater", load_va=4500, volts=240, tank_gal=50, panel="Indoor")
    + toml("circuits", name="Strips", panel="Indoor", purpose="individual", poles=2)
    + toml("loads", name="Strip heat", kind="supplemental-heat", load_va=9600, volts=240, circuit="Strips")
    + toml("loads", name="Blower", kind="fan", load_va=720, volts=240, circuit="Strips", runs_with=["Heat pump"])
    + toml("circuits", name="Kitchen", panel="Indoor", purpose="small-appliance")
)
RUNS = {
    "R1": {"role": "service", "feeds": "Meter-main", "calculated_a": 252, "material": "aluminum", "insulation": "XHHW-2",
           "wiring_method": "PVC-40", "sets": 2, "neutral": None, "neutral_a": 88.5, **LUGS_75},
    "R2": {"fed_from": "Meter-main", "feeds": "Indoor", "cable": "4/0-4/0-4/0-2/0 SER Al", "in_insulation": True,
           "calculated_a": 175, "breaker_a": 200, "neutral": True, **LUGS_75},
    "R3 first": {"fed_from": "Meter-main", "feeds": "Workshop panel", "cable": "6/3 NM", "wiring_method": "PVC-40",
                 "location": "buried", "calculated_a": 40, "breaker_a": 60},
    "R3": {"fed_from": "Meter-main", "feeds": "Workshop panel", "insulation": "THWN-2", "wiring_method": "PVC-80",
           "size": "6", "location": "buried", "burial_in": 18, "calculated_a": 40, "breaker_a": 60, "neutral": True, **LUGS_75},
    "R4": {"role": "branch", "fed_from": "Meter-main", "feeds": "Vehicle supply", "cable": "6/2 NM", "breaker_a": 60,
           "neutral": None},
    "R4 mended": {"role": "branch", "fed_from": "Meter-main", "feeds": "Vehicle supply", "size": "6", "neutral": None,
                  "breaker_a": 60, **LUGS_75},
    "R5": {"role": "branch", "fed_from": "Meter-main", "feeds": "Heat pump", "cable": "10/2 NM", "neutral": None},
    "R6": {"role": "branch", "fed_from": "Indoor", "feeds": "Water heater", "cable": "10/2 NM", "neutral": None},
    "R7": {"role": "branch", "fed_from": "Indoor", "feeds": "Strips", "cable": "6/2 NM", "neutral": None},
    "R8": {"role": "branch", "fed_from": "Indoor", "calculated_a": 41.7, "cable": "6/3 NM", "breaker_a": 50, "neutral": True},
    "R9": {"role": "branch", "fed_from": "Indoor", "feeds": "Kitchen", "volts": 120, "calculated_a": 16, "breaker_a": 20,
           "cable": "12/2 NM", "ambient_f": 113, "in_insulation": True, "cables_bundled": 4, "neutral": None},
    "R9 apart": {"role": "branch", "fed_from": "Indoor", "feeds": "Kitchen", "volts": 120, "calculated_a": 16,
                 "breaker_a": 20, "cable": "12/2 NM", "ambient_f": 113, "neutral": None},
    "R10": {"role": "branch", "fed_from": "Indoor", "volts": 120, "calculated_a": 8, "breaker_a": 15, "size": "10",
            "insulation": "THHN", "neutral": None},
}  # fmt: skip
UNDER_EACH_RUN = {"R3 first": "R3", "R4 mended": "R4", "R9 apart": "R9"}


def sheet(name: str) -> Sheet:
    """One run of the house, with the service that it hangs on."""
    shown = UNDER_EACH_RUN.get(name, name)
    service = "" if name == "R1" else run(name="R1", **RUNS["R1"])
    return worked(HOUSE + service + run(name=shown, **RUNS[name]), subject=shown)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("R1", {"dwelling_share_a": 332, "size": "4/0 AWG", "ampacity_a": 360, "neutral_floor": "2", "breaker_a": 400}),
        ("R2", {"ampacity_a": 180, "largest_breaker_a": 200, "equipment_ground_table": "4", "equipment_ground_size": "2/0 AWG"}),
        ("R3", {"ampacity_a": 65, "equipment_ground_size": "10 AWG", "cover_in": 18}),
        ("R4", {"ampacity_a": 55, "design_a": 60}),
        ("R4 mended", {"ampacity_a": 65}),
        ("R5", {"ampacity_a": 30, "breaker_a": 35}),
        ("R6", {"ampacity_a": 30, "design_a": 23.4375, "breaker_a": 25}),
        ("R7", {"ampacity_a": 55, "design_a": 53.75, "breaker_a": 60}),
        ("R8", {"ampacity_a": 55, "equipment_ground_size": "10 AWG"}),
        ("R9", {"adjusted_a": pytest.approx(18.27)}),
        ("R9 apart", {"adjusted_a": pytest.approx(26.1), "ampacity_a": 20}),
        ("R10", {"equipment_ground_size": "10 AWG"}),
    ],
)  # fmt: skip
def test_a_run_of_the_demo_house(name: str, expected: dict[str, object]) -> None:
    found = sheet(name).results
    assert {key: found[key] for key in expected} == expected


def test_which_runs_fall_short_and_why() -> None:
    short = {name: failing(sheet(name)) for name in RUNS if name != "R3 first"}
    assert {name: keys for name, keys in short.items() if keys} == {
        "R4": {"carries_continuous"},
        "R9": {"breaker_protects"},
    }


def test_nm_in_a_buried_conduit_falls_short() -> None:
    """A raceway underground is wet inside, so the cable for dry places may not lie in it; what it would carry is worked."""
    found = sheet("R3 first")
    assert failing(found) == {"type_fits_place"}
    (check,) = (check for check in found.checks if not check.holds.holds)
    assert check.holds.left.name == "NM in PVC-40 is made for a buried place"
    assert found.results["ampacity_a"] == 55


def test_the_feeder_indoors_does_not_carry_the_whole_dwelling() -> None:
    """The vehicle and the heat pump hang on the meter-main, so 4/0 aluminum serves by rounding up, not by the share."""
    found = sheet("R2").results
    assert found["whole_dwelling"] == "no: Vehicle supply, Heat pump, Workshop panel hang ahead of it"
    assert "dwelling_share_a" not in found


@pytest.mark.parametrize("name", ["R1", "R3", "R9"])
def test_a_changed_digit_on_a_sheet_does_not_replay(name: str) -> None:
    assert assert_mutations_caught(sheet(name).as_json(), FOLDER) > 40
