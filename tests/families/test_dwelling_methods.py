"""The optional, existing and measured methods: against a second implementation, and rule by rule."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
from click.testing import CliRunner

from calc.cli import main
from calc.families.dwelling_load.methods import Worked, worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.job import Job, changed, read_job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Missing
from tests.drawn import drawn
from tests.oracle import methods as oracle
from tests.oracle.jobs import Writer
from tests.oracle.standard import Declined

DEMO = Path("notebooks/jobs/cask-lane-27.toml")
SAMPLES = Path(__file__).parents[1] / "samples"
JOBS = drawn(2000)


def by(job: Job, method: str, edition: str | None = None) -> Worked:
    """The first dwelling of the job by one method."""
    return worked(House.of(job, edition), dwelling_units(job)[0], method)


def results(job: Job, method: str, edition: str | None = None) -> dict[str, Any]:
    return by(job, method, edition).sheet.results


# ---- 2,000 random houses


class RandomHouse(Writer):
    """A random one-family house whose service is tested, with systems that hold loads and a record of demand."""

    def dwelling(self) -> dict[str, Any]:
        status = self.random.choice(("existing", "existing", "existing", "new"))
        return {"kind": "one-family", "status": status, **self.circuits()}

    def job(self) -> dict[str, Any]:
        random = self.random
        job = super().job()
        job["code"]["readings"]["existing_heat_cool"] = random.choice(
            ("larger-at-100-pct", "both-at-40-pct", "omitted")
        )
        for load in self.loads:
            if load["kind"] in ("space-heat", "supplemental-heat", "furnace") and random.random() < 0.3:
                load |= random.choice(({"heat_zones": 5}, {"thermal_storage": True}))
        job["service"] |= {
            "rating_a": random.choice((60, 100, 125, 150, 200, 400)),
            "work": random.choice(("kept", "kept", "riser-only", "replaced")),
        }
        if random.random() < 0.4 and self.loads:
            names = random.sample([load["name"] for load in self.loads], min(len(self.loads), random.choice((1, 2))))
            job["load_management"] = [self.system_of(names)]
        if random.random() < 0.9:
            job["measured_demand"] = self.record()
        return job

    def system_of(self, names: list[str]) -> dict[str, Any]:
        random = self.random
        cars = [load["name"] for load in self.loads if load["kind"] == "ev-supply"]
        return {
            "name": "System",
            "kind": random.choice(("energy-management", "power-control", "vehicle-supply")),
            "controls": cars or names if random.random() < 0.6 else names,
            "setpoint_a": random.choice((10, 24, 26, 40, 80)),
            "listed": random.random() < 0.9,
            "access_restricted": random.random() < 0.9,
        }

    def record(self) -> dict[str, Any]:
        random, day = self.random, date(2025, 1, 1)
        record = {
            "method": random.choice(("1-year", "30-day")),
            random.choice(("peak_kw", "peak_a")): random.choice((6.9, 12, 31.5)),
            "interval_min": random.choice((15, 15, 15, 5, 60)),
            "from_date": day,
            "to_date": day + timedelta(random.choice((364, 364, 363, 29, 28))),
            "occupied": random.random() < 0.95,
            "overload_protected": random.random() < 0.95,
            "generation_or_shaving": random.random() < 0.05,
            "highest_leg": random.random() < 0.9,
            "seasonal_added_va": random.choice((0, 0, 3500)),
        }
        if random.random() < 0.1:
            record.pop(random.choice(list(record)[2:]))
        return record


@cache
def random_house(seed: int) -> tuple[dict[str, Any], House]:
    """What a random job says, and its house, worked by one method after the other."""
    data = RandomHouse(Random(seed)).job()
    return data, House.of(make_job(data, "random"))


@pytest.mark.drawn
@pytest.mark.parametrize("method", ["optional", "existing", "measured"])
def test_agrees_with_plain_arithmetic_on_random_houses(method: str) -> None:
    second: Callable[..., dict[str, float]] = getattr(oracle, method)
    answered = 0
    for seed in range(JOBS):
        data, house = random_house(seed)
        sheet = worked(house, dwelling_units(house.whole_job)[0], method).sheet
        try:
            if method != "optional" and data["dwelling"]["status"] == "new":
                raise Declined("nothing to test")
            if method != "optional" and data["service"]["work"] == "replaced":
                raise Declined("the rating replaced is not stated")
            expected = second(data, data["code"]["edition"])
        except Declined:
            assert sheet.refused, f"seed {seed}"
            continue
        answered += 1
        assert sheet.refused is None, f"seed {seed}: {sheet.refused}"
        found = sheet.results
        for key, value in expected.items():
            assert found[key] == pytest.approx(value, abs=1e-6), f"seed {seed}: {key}"
        if seed % 40 == 0:
            sheet.as_json()  # replayed by the hook of all tests
    assert answered > JOBS // 3


# ---- the old house of the demo


@pytest.fixture(scope="module")
def house() -> Job:
    return read_job(DEMO)


def without(job: Job, *names: str) -> Job:
    """The job without these loads."""
    return changed(job, {f"loads[{number}]": None for number, load in enumerate(job.loads, 1) if load.name in names})


def at(job: Job, name: str) -> str:
    """The place of a load."""
    return f"loads[{[load.name for load in job.loads].index(name) + 1}]"


@pytest.mark.parametrize(
    ("gone", "existing_a", "measured_a"),
    [
        ((), 123.7, 105.9),
        (("Strip heat",), 102.9, 85.0),
        (("Vehicle charger",), 110.9, 73.9),
    ],
)
def test_the_old_house_as_the_trade_notes_have_it(
    house: Job, gone: tuple[str, ...], existing_a: float, measured_a: float
) -> None:
    job = without(house, *gone)
    assert results(job, "existing")["existing_a"] == pytest.approx(existing_a, abs=0.05)
    assert results(job, "measured")["measured_a"] == pytest.approx(measured_a, abs=0.05)


def test_its_new_service_is_sized_by_the_optional_method(house: Job) -> None:
    found = results(house, "optional")
    assert found["optional_va"] == 29_142
    assert found["optional_service_a"] == 125


def test_a_locked_charger_counts_at_its_setting_in_2020_and_at_the_least_load_in_2023(house: Job) -> None:
    """A charger locked to 20 A: 93.9 A in 2020, but 103.9 A in 2023, where only management lets it count less."""
    charger = at(house, "Vehicle charger")
    locked = changed(house, {f"{charger}.setting_a": 20, f"{charger}.setting_locked": True})
    assert results(locked, "measured", "2020")["measured_a"] == pytest.approx(93.9, abs=0.05)
    assert results(locked, "measured", "2023")["measured_a"] == pytest.approx(103.9, abs=0.05)
    assert results(locked, "measured", "2017")["measured_a"] == pytest.approx(105.9, abs=0.05)
    said = " ".join(note["text"] for note in by(locked, "measured", "2023").sheet.as_json()["notes"])
    assert "only energy management" in said
    merely_turned_down = changed(house, {f"{charger}.setting_a": 20})
    assert results(merely_turned_down, "measured", "2020")["measured_a"] == pytest.approx(105.9, abs=0.05)


def managed(job: Job, **more: Any) -> Job:
    system = {
        "name": "Manager", "kind": "energy-management", "listed": True, "controls": ["Vehicle charger"],
        "setpoint_a": 26, "scope": "loads", "access_restricted": True,
    }  # fmt: skip
    return changed(job, {"load_management[+]": system | more})


def test_energy_management_may_give_the_charger_21_amperes(house: Job) -> None:
    """73.9 A and 125 % of the setting, whole amperes, on 100 A: 26.25 A fit, 27.5 A don't."""
    assert results(managed(house, setpoint_a=21), "measured")["passes"]
    assert not results(managed(house, setpoint_a=22), "measured")["passes"]


@pytest.mark.parametrize("scope", ["loads", "panel"])
@pytest.mark.parametrize(
    ("edition", "kind", "va"),
    [
        ("2017", "vehicle-supply", 4800), ("2020", "vehicle-supply", 4800),
        ("2023", "energy-management", 6000), ("2023", "vehicle-supply", 6000), ("2026", "power-control", 6000),
    ],
)  # fmt: skip
def test_a_setting_counts_as_a_continuous_load(house: Job, scope: str, edition: str, kind: str, va: float) -> None:
    """220.70: 20 A x 240 V x 125 %, in whatever scope; before 2023 the setting counts as vehicle supply does."""
    found = results(managed(house, scope=scope, kind=kind, setpoint_a=20), "standard", edition)
    assert found["managed_va[Manager]"] == va


def test_a_setting_never_counts_for_more_than_what_it_holds(house: Job) -> None:
    """125 % of 30 A is more than the charger's 7,680 VA."""
    assert results(managed(house, setpoint_a=30), "standard")["managed_va[Manager]"] == 7680


@pytest.mark.parametrize(
    "lacking", [{"listed": False}, {"access_restricted": False}, {"kind": "power-control"}], ids=str
)
def test_a_system_that_is_not_credited_leaves_the_load_in_full(house: Job, lacking: dict[str, Any]) -> None:
    found = by(managed(house, **lacking), "measured").sheet
    assert found.results["measured_a"] == pytest.approx(105.9, abs=0.05)
    assert any("no credit" in note["text"] for note in found.as_json()["notes"])


def test_before_2023_only_vehicle_supply_may_be_managed(house: Job) -> None:
    strips = managed(house, kind="vehicle-supply", controls=["Strip heat"])
    assert results(strips, "measured", "2020")["measured_a"] == pytest.approx(105.9, abs=0.05)
    car = managed(house, kind="vehicle-supply")
    assert results(car, "measured", "2020")["passes"]


def test_a_setting_of_the_whole_service_is_a_continuous_load(house: Job) -> None:
    """80 A is the most that a 100 A service may be held to: its load is 100 A, which conductors carry too."""
    held = managed(house, scope="service", setpoint_a=80)
    assert results(held, "existing")["existing_a"] == 100
    assert results(held, "existing")["passes"]
    assert not results(managed(house, scope="service", setpoint_a=81), "existing")["passes"]


# ---- conditions


@pytest.mark.parametrize(
    "unsaid",
    ["occupied", "overload_protected", "generation_or_shaving", "seasonal_added_va", "interval_min", "from_date"],
)
def test_a_highest_demand_alone_is_not_shown(house: Job, unsaid: str) -> None:
    """What nobody stated of the record is an entry that is missing, and is named with its place."""
    refused = by(changed(house, {f"measured_demand.{unsaid}": None}), "measured").sheet.refused
    assert isinstance(refused, Missing)
    assert (unsaid in refused.reason, refused.at) == (True, f"measured_demand.{unsaid}")


@pytest.mark.parametrize(
    ("change", "check"),
    [
        ({"measured_demand.occupied": False}, "record_occupied"),
        ({"measured_demand.overload_protected": False}, "record_overload"),
        ({"measured_demand.generation_or_shaving": True}, "record_unlowered"),
        ({"measured_demand.interval_min": 60}, "record_interval"),
        ({"measured_demand.to_date": date(2026, 2, 27)}, "record_long_enough"),
        ({"measured_demand.method": "30-day", "measured_demand.highest_leg": False}, "record_highest_leg"),
    ],
)
def test_each_condition_of_the_record_is_a_check(house: Job, change: dict[str, Any], check: str) -> None:
    kept = changed(without(house, "Vehicle charger"), {})
    assert results(kept, "measured")["passes"]
    found = {c.key: c.holds.holds for c in by(changed(kept, change), "measured").sheet.checks}
    assert [key for key, holds in found.items() if not holds] == [check]


def test_existing_and_measured_size_no_new_service(house: Job) -> None:
    for method in ("existing", "measured"):
        new = changed(house, {"service.load_method": method, "service.work": "replaced", "service.replaces_a": 100})
        refused = by(new, method).sheet.refused
        assert refused
        assert "size a new" in refused.reason
        assert f"{method}_service_a" not in by(house, method).sheet.results


def test_the_existing_method_is_refused_for_2026_unless_an_amendment_gives_the_steps(
    house: Job, tmp_path: Path
) -> None:
    assert "not confirmed" in by(house, "existing", "2026").sheet.refused.reason  # type: ignore[union-attr]
    (tmp_path / "local.toml").write_text(
        'title = "Local"\ninherits = "2026"\n[rules.existing_steps]\nbands = [[8000, 100], ["", 50]]\n'
    )
    path = tmp_path / "job.toml"
    path.write_text(DEMO.read_text().replace('edition = "2023"', 'edition = "2026"\namendments = ["local.toml"]'))
    found = results(read_job(path), "existing")
    assert found["existing_va"] == 8000 + (1480 * 3 + 4500 + 22_860 + 7680 + 9100 - 8000) * 0.5
    assert "existing_general_demand_va" in found["amended"]


@pytest.mark.parametrize(
    ("method", "edition", "area", "circuits"),
    [
        ("standard", "2017", "Table 220.12", "220.52(A)"), ("standard", "2023", "220.41", "220.52(A)"),
        ("optional", "2017", "220.82(B)(1)", "220.82(B)(2)"), ("optional", "2023", "220.82(B)(1)", "220.82(B)(2)"),
        ("optional", "2026", "120.82(B)(1)", "120.82(B)(2)"),
        ("existing", "2020", "220.83(A)(1) or (B)(1)", "220.83(A)(2) or (B)(2)"),
    ],
)  # fmt: skip
def test_each_method_cites_its_own_rule_of_area_and_circuits(
    house: Job, method: str, edition: str, area: str, circuits: str
) -> None:
    lines = {line["key"]: line["sections"] for line in by(house, method, edition).sheet.as_json()["lines"]}
    assert lines["general_lighting_va"] == [area]
    assert lines["small_appliances_va"] == [circuits]


@pytest.mark.parametrize("reading", ["larger-at-100-pct", "both-at-40-pct", "omitted"])
def test_the_reading_of_existing_heating_is_a_stated_choice(house: Job, reading: str) -> None:
    """Without added heating or cooling the rule is silent on what is there; the job's reading is a note."""
    old = without(house, "Vehicle charger", "Disposer", "Dishwasher")
    status = {f"{at(old, name)}.status": "existing" for name in ("Heat pump", "Blower", "Strip heat")}
    job = changed(old, {**status, "code.readings.existing_heat_cool": reading, "dwelling.floor_area_ft2": 1400})
    found = by(job, "existing").sheet
    general = 1400 * 3 + 4500 + 21_000
    assert (
        found.results["existing_va"]
        == {
            "larger-at-100-pct": 8000 + 0.4 * (general - 8000) + 9100,
            "both-at-40-pct": 8000 + 0.4 * (general + 9100 - 8000),
            "omitted": 8000 + 0.4 * (general - 8000),
        }[reading]
    )
    assert any(note["kind"] == "choice" for note in found.as_json()["notes"])


def test_the_optional_method_of_2026_never_gives_one_number_where_a_charger_is(house: Job) -> None:
    found = results(house, "optional", "2026")
    assert "optional_va" not in found
    assert found["optional_outside_a"] > found["optional_inside_a"]
    assert "optional_va" in results(without(house, "Vehicle charger"), "optional", "2026")


def test_heating_and_cooling_are_compared_after_their_shares(house: Job) -> None:
    """Three heaters of 3 kW at 65 % are less than an air conditioner of 6,900 VA, though 9 kW is more."""
    bare = without(house, "Heat pump", "Blower", "Strip heat")
    job = changed(
        bare,
        {
            "loads[+]": {"name": "Heaters", "kind": "space-heat", "load_va": 3000, "count": 3, "volts": 240},
        },
    )
    job = changed(job, {"loads[+]": {"name": "Cooling", "kind": "air-conditioner", "load_va": 6900, "volts": 240}})
    found = results(job, "optional")
    assert (found["heating_va"], found["climate_va"]) == (5850, 6900)


@pytest.mark.parametrize(
    ("said", "va", "remarked"),
    [({}, 4800, True), ({"heat_zones": 4}, 4800, False), ({"heat_zones": 1}, 7800, False), ({"count": 3}, 5850, False)],
)
def test_heaters_earn_the_lower_share_with_a_remark_unless_their_controls_are_stated(
    house: Job, said: dict[str, Any], va: float, remarked: bool
) -> None:
    """Four of 3,000 VA at 40 % where each has its own control; at 65 % where one control has them all."""
    bare = without(house, "Heat pump", "Blower", "Strip heat")
    heaters = {"name": "Heaters", "kind": "space-heat", "load_va": 3000, "count": 4, "volts": 240} | said
    sheet = by(changed(bare, {"loads[+]": heaters}), "optional").sheet
    assert sheet.results["climate_va"] == va
    assert any("heat_zones" in note["text"] for note in sheet.as_json()["notes"]) is remarked


def test_a_fourth_appliance_lowers_the_standard_load(house: Job) -> None:
    """Where intuition fails: with three appliances fastened in place, a fourth of 600 VA earns 75 % for all."""
    fourth = {"name": "Hood", "kind": "hood", "load_va": 600, "volts": 120}
    more = changed(house, {"loads[+]": fourth})
    assert results(more, "standard")["standard_va"] < results(house, "standard")["standard_va"]
    assert results(more, "optional")["optional_va"] > results(house, "optional")["optional_va"]


# ---- readings from a file


def readings(path: Path, header: str, rows: list[str]) -> None:
    path.write_text("\n".join([header, *rows]) + "\n")


def recorded(house: Job, folder: Path, header: str, rows: list[str], method: str = "30-day") -> Worked:
    """The house with a file of readings instead of a stated peak."""
    readings(folder / "meter.csv", header, rows)
    data = {
        key: value
        for key, value in house.data["measured_demand"].items()
        if key not in ("peak_kw", "interval_min", "from_date", "to_date")
    }
    job = make_job(
        house.data | {"measured_demand": {**data, "method": method, "readings_file": "meter.csv"}}, folder / "job.toml"
    )
    job._path = folder / "job.toml"
    return by(job, "measured")


def quarter_hours(days: int, values: Callable[[int], str]) -> list[str]:
    start = date(2025, 1, 1)
    return [f"{start + timedelta(n // 96)} {n % 96 // 4:02}:{n % 4 * 15:02},{values(n)}" for n in range(days * 96)]


def test_the_highest_demand_is_found_and_shown(house: Job, tmp_path: Path) -> None:
    rows = quarter_hours(30, lambda n: "6.9" if n == 1000 else "1.5")
    # one column says nothing of legs: the job must
    assert "highest_leg" in recorded(house, tmp_path, "time,kw", rows).sheet.refused.reason  # type: ignore[union-attr]
    rows = quarter_hours(30, lambda n: "28.75,12" if n == 1000 else "4,5")
    sheet = recorded(house, tmp_path, "time,leg_1_a,leg_2_a", rows).sheet
    assert sheet.results["measured_peak_va"] == 28.75 * 240
    assert "28.75 A" in sheet.results["measured_highest"]
    assert "2025-01-11 10:00" in sheet.results["measured_highest"]
    assert all(check.holds.holds for check in sheet.checks if check.key.startswith("record"))


def test_energy_of_an_interval_becomes_its_demand(house: Job, tmp_path: Path) -> None:
    rows = quarter_hours(365, lambda n: "1.725" if n == 5 else "0.3")
    assert recorded(house, tmp_path, "time,kwh", rows, "1-year").sheet.results["measured_peak_va"] == 6900


def test_a_gap_in_the_record_falls_short(house: Job, tmp_path: Path) -> None:
    rows = quarter_hours(31, lambda n: "20,10")
    sheet = recorded(house, tmp_path, "time,leg_1_a,leg_2_a", rows[:500] + rows[510:]).sheet
    assert [check.key for check in sheet.checks if not check.holds.holds] == ["record_complete"]


@pytest.mark.parametrize(
    ("header", "row", "says"),
    [
        ("when,kw", "2025-01-01 00:00,1", "meter.csv:1: the header is when, kw; allowed: a time, and one column of"),
        ("time,kw", "2025-01-01 00:30,much", "meter.csv:4: is '2025-01-01 00:30, much'; allowed: a time such as"),
        ("time,kw", "2025-01-01 00:30,nan", "meter.csv:4"),
        ("time,kw", "2025-01-01 00:15,2", "meter.csv:4: the time 2025-01-01 00:15:00 is not after"),
    ],
)
def test_a_bad_line_of_readings_is_named(house: Job, tmp_path: Path, header: str, row: str, says: str) -> None:
    sheet = recorded(house, tmp_path, header, ["2025-01-01 00:00,1", "2025-01-01 00:15,1", row]).sheet
    assert sheet.refused
    assert says in sheet.refused.reason


UTILITY = """Name,A. Householder
Address,"7 Example Lane, Anytown"

TYPE,DATE,START TIME,END TIME,IMPORT (kWh),EXPORT (kWh),COST,NOTES
{rows}
"""


def local_quarters(first: datetime, last: datetime) -> list[datetime]:
    """The beginnings of quarter hours on a wall clock that jumps on 2025-03-09 and falls back on 2025-11-02."""
    found, steps = [], int((last - first) / timedelta(minutes=15))
    for n in range(steps):
        standard = first + n * timedelta(minutes=15)
        summer = datetime(2025, 3, 9, 2) <= standard < datetime(2025, 11, 2, 1)
        found.append(standard + timedelta(hours=1) if summer else standard)
    return found


def of_utility(house: Job, folder: Path, text: str, **more: Any) -> Worked:
    (folder / "meter.csv").write_text(text)
    said = {
        k: v
        for k, v in house.data["measured_demand"].items()
        if k not in ("peak_kw", "interval_min", "from_date", "to_date")
    }
    said |= {"method": "1-year", "readings_file": "meter.csv"}
    data = house.data | {"measured_demand": said, "code": house.data["code"] | more}
    job = make_job(data, folder / "job.toml")
    job._path = folder / "job.toml"
    return by(job, "measured")


def test_a_utility_s_file_is_taken_as_it_comes(house: Job, tmp_path: Path) -> None:
    """Name and address above the header, month before day, export beside import, and both changes of the clock."""
    times = local_quarters(datetime(2025, 1, 1), datetime(2026, 1, 1))
    rows = [
        f"Electric usage,{at:%m/%d/%Y},{at:%I:%M %p},{at + timedelta(minutes=14):%I:%M %p},{1.725 if n == 70 else 0.3},9,$1,"
        for n, at in enumerate(times)
    ]
    sheet = of_utility(house, tmp_path, UTILITY.format(rows="\n".join(rows))).sheet
    assert sheet.refused is None
    assert sheet.results["measured_peak_va"] == 6900
    assert all(check.holds.holds for check in sheet.checks if check.key.startswith("record"))


@pytest.mark.parametrize("left_out", [slice(6820, 6824), slice(100, 101)])
def test_an_hour_of_summer_that_is_missing_is_a_gap(house: Job, tmp_path: Path, left_out: slice) -> None:
    """Only the clock's own jump in March is no gap."""
    times = local_quarters(datetime(2025, 1, 1), datetime(2026, 1, 1))
    del times[left_out]
    text = "Timestamp,Account,Demand kW\n" + "\n".join(f"{at:%Y-%m-%d %H:%M},77,1.5" for at in times)
    sheet = of_utility(house, tmp_path, text).sheet
    assert [c.key for c in sheet.checks if c.key.startswith("record") and not c.holds.holds] == ["record_complete"]


@pytest.mark.parametrize(("reading", "falls_short"), [("15-minutes", ["record_interval"]), ("as-recorded", [])])
def test_hours_of_a_year_are_a_stated_reading(house: Job, tmp_path: Path, reading: str, falls_short: list[str]) -> None:
    """220.87: a year's demand; the interval of 15 minutes stands with the 30-day record only."""
    hours = [datetime(2025, 1, 1) + timedelta(hours=n) for n in range(365 * 24)]
    text = "Usage date,Usage,Units\n" + "\n".join(f"{at:%m/%d/%y %H:%M},2,kWh" for at in hours)
    sheet = of_utility(house, tmp_path, text, readings={"year_record": reading}).sheet
    assert [c.key for c in sheet.checks if c.key.startswith("record") and not c.holds.holds] == falls_short
    assert sheet.results["measured_peak_va"] == 2000
    assert sum("Of a year's record" in note["text"] for note in sheet.as_json()["notes"]) == 1


def test_a_day_s_average_is_no_demand_by_either_reading(house: Job, tmp_path: Path) -> None:
    days = [date(2025, 1, 1) + timedelta(n) for n in range(365)]
    text = "date,kwh\n" + "\n".join(f"{day},30" for day in days)
    sheet = of_utility(house, tmp_path, text, readings={"year_record": "as-recorded"}).sheet
    assert "record_interval" in [c.key for c in sheet.checks if not c.holds.holds]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("time,delivered kwh,net kwh\n", "meter.csv:1: has several columns of kwh: delivered kwh, net kwh"),
        ("date,usage,units\n2025-01-01,1,kWh\n2025-01-02,1,therms\n", "meter.csv:3: is in 'therms'"),
        ("time,kw\n2025-01-01 00:00,1\n2025-01-01 00:00,1\n2025-01-01 00:00,1\n", "meter.csv:3"),
        ("time,kw\n13/13/2025 00:00,1\n14/1/2025 00:00,1\n", "meter.csv:2"),
        ("time,kw\n0001-01-01T00:00+23:00,1\n2025-01-02 00:00,1\n", "meter.csv:2"),
        ("time,kw\n2025-01-01 00:00,1\n2025-01-01 00:15,1\n2025-01-01T00:30-05:00,1\n", "meter.csv:4"),
        ("", "meter.csv:1: the header is missing"),
    ],
)
def test_a_file_that_can_t_be_told_is_refused(house: Job, tmp_path: Path, text: str, says: str) -> None:
    refused = of_utility(house, tmp_path, text).sheet.refused
    assert isinstance(refused, Missing)
    assert (says in refused.reason, refused.at) == (True, "measured_demand.readings_file")


@pytest.mark.parametrize(
    ("made", "says"),
    [
        (lambda path: path.write_text("time,kw\n2025-01-14 18:00,abc\n2025-01-14 18:15,1\n"),
         "measured-readings.csv:2: is '2025-01-14 18:00, abc'; allowed: a time such as"),
        (lambda path: path.write_bytes(b"\xff\xfe\0t"),
         "measured-readings.csv:1: is not text in UTF-8; allowed: save it as CSV in UTF-8"),
        (lambda path: path.write_text(""), "measured-readings.csv:1: the header is missing; allowed: a time, and one column"),
        (lambda path: path.mkdir(), "is a folder, not a record; allowed: a CSV file kept beside the job"),
        (lambda path: None, "measured-readings.csv: does not exist; allowed: a CSV file kept beside the job"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("command", ["check", "work"])
def test_a_readings_file_that_can_t_be_used_is_named_with_line_and_what_is_allowed(
    tmp_path: Path, command: str, made: Callable[[Path], object], says: str
) -> None:
    """Not shown, never a fault of ours: file, line, what it is, what is allowed."""
    copy = tmp_path / "measured-readings.toml"
    copy.write_bytes((SAMPLES / copy.name).read_bytes())
    made(copy.with_suffix(".csv"))
    done = CliRunner().invoke(main, [command, str(copy)])
    assert done.exit_code == 1
    assert says in " ".join(done.output.split())
    assert "not shown" in done.output.lower()


def test_an_office_may_want_vehicle_supply_in_full(house: Job, tmp_path: Path) -> None:
    """A county's form adds it after the steps; as a local amendment that is one word."""
    (tmp_path / "county.toml").write_text(
        'title = "County form"\ninherits = "2023"\n[rules.existing_vehicle]\nmethod = "in full"\n'
    )
    path = tmp_path / "job.toml"
    path.write_text(DEMO.read_text().replace('edition = "2023"', 'edition = "2023"\namendments = ["county.toml"]'))
    plain, amended = results(house, "existing"), results(read_job(path), "existing")
    assert amended["existing_va"] - plain["existing_va"] == pytest.approx(7680 * 0.6)
