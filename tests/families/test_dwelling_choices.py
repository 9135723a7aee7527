"""The owner's choices, headroom and curves: each is the whole house worked again."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from calc.documents.owner import lacking, owner_page
from calc.families import dwelling_load
from calc.families.dwelling_load.headroom import additions, sizes, with_load
from calc.families.dwelling_load.methods import worked
from calc.families.dwelling_load.unit import dwelling_units
from calc.families.dwelling_load.ways import spaces_of
from calc.job import Job, changed, read_job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import NOT_WORKED
from calc.work.document import Sentences, Verdict
from calc.work.table import Table

DEMO = Path("notebooks/jobs/cask-lane-27.toml")
NEW_HOUSE = Path("notebooks/jobs/fernhollow-lot-12.toml")


@pytest.fixture(scope="module")
def house() -> Job:
    return read_job(DEMO)


@pytest.fixture(scope="module")
def page(house: Job) -> list[dict[str, Any]]:
    return owner_tables(House.of(house))


def parts_of(house: House, kind: type[Any]) -> list[Any]:
    """The parts of a kind of the owner's page."""
    document = owner_page(house)
    assert document is not None
    return [part for section in document.sections for part in section.parts if isinstance(part, kind)]


def owner_tables(house: House) -> list[Any]:
    return parts_of(house, Table)


def said(house: House) -> str:
    """All sentences of the owner's page, the verdict first."""
    (verdict,) = parts_of(house, Verdict)
    return " ".join(
        [
            verdict.words,
            *verdict.details,
            *(text for part in parts_of(house, Sentences) for text in (part.title, *part.texts)),
        ]
    )


def row(table: dict[str, Any], title: str) -> list[str]:
    return next(cells for cells in table.rows if cells[0] == title)


def test_the_page_tells_the_owner_what_fits(house: Job, page: list[dict[str, Any]]) -> None:
    ways = page[0]
    assert row(ways, "Everything planned")[3:] == ["124 A: too much", "106 A: too much"]
    assert row(ways, "Everything but Strip heat")[3:] == ["103 A: too much", "85 A: fits"]
    assert row(ways, "Everything, Vehicle charger under energy management")[3:] == [
        "no setting fits",
        "up to 21 A, 100 A: fits",
    ]
    # in 2023 a locked setting gains nothing under 7,200 VA
    assert row(ways, "Everything, Vehicle charger locked to a lower setting")[3:] == [
        "no setting fits",
        "no setting fits",
    ]
    text = said(House.of(house))
    assert text.startswith(
        "Everything planned is too much for the 100 A service; less of it fits. Today the house comes to 73 A"
    )
    for part in ("7 free", "200 A by calculation (standard method): everything planned comes to 175.0 A",
                 "125 A by calculation (optional method): everything planned comes to 121.4 A", "surge-protective device (230.67)",
                 "Everything, Vehicle charger under energy management: by the record of past use, up to 21 A (100 A)."):  # fmt: skip
        assert part in text, part


def test_what_is_added_is_over_the_house_as_it_is(page: list[dict[str, Any]]) -> None:
    ways = page[0]
    assert row(ways, "The house as it is today")[3] == "73 A: fits"
    assert row(ways, "Everything planned")[2] == "+51 A"


def test_a_new_circuit_takes_a_space_at_120_v_and_two_at_240_v(house: Job) -> None:
    """A load on a circuit that is planned takes that circuit's poles, once however many loads hang on it."""
    assert spaces_of(house, [load_at(120), load_at(240)]) == 3
    planned = next(circuit for circuit in house.circuits if circuit.poles == 2)
    assert spaces_of(house, [load_at(240, planned.name), load_at(240, planned.name), load_at(120)]) == 3


def load_at(volts: int, circuit: str | None = None) -> Any:
    return SimpleNamespace(name=f"A load of {volts} V", volts=volts, circuit=circuit)


def test_in_2020_a_lower_locked_setting_is_enough(house: Job) -> None:
    older = changed(house, {"code.edition": "2020"})
    ways = owner_tables(House.of(older))[0]
    assert row(ways, "Everything, Vehicle charger locked to a lower setting")[4] == "up to 24 A, 98 A: fits"


def test_in_2026_the_rule_for_existing_dwellings_gives_no_answer(house: Job) -> None:
    later = changed(house, {"code.edition": "2026"})
    page = owner_tables(House.of(later))
    assert {cells[3] for cells in page[0].rows} == {"no answer"}
    assert "not confirmed" in said(House.of(later))
    assert said(House.of(later)).startswith("No answer by calculation (existing house).")
    assert not any(table.title == "Room for one thing more" for table in page)


@pytest.mark.parametrize("method", ["standard", "existing", "measured"])
def test_room_agrees_with_the_sheet_of_the_house_with_it(house: Job, method: str) -> None:
    """Each cell of the table is the sheet of the house with that load: the largest fits, the next does not."""
    new = {f"loads[{n}].status": "removed" for n, load in enumerate(house.loads, 1) if load.status == "new"}
    today = changed(house, new)
    job = changed(house, {"service.load_method": method, "service.rating_a": 125, "service.main_a": 125})
    table = next(t for t in owner_tables(House.of(job)) if t.title == "Room for one thing more")
    rating, checked = 125, 0
    for kind, cells in zip(additions(), table.rows, strict=True):
        for size in sizes(kind):
            other = changed(with_load(today, kind, size), {"service.rating_a": rating})
            results = worked(House.of(other), dwelling_units(other)[0], method).sheet.results
            whole = results[f"{method}_whole_a"]
            if cells[1].split()[0] == f"{size:,}":
                assert whole <= rating
                assert cells[2] == f"{whole:.0f} A: fits"
                checked += 1
            elif cells[1] == "none":
                assert whole > rating
    assert checked or method == "standard"


def test_headroom_is_no_subtraction(house: Job) -> None:
    """A heat pump of 4,000 VA costs more than its own amperes where it puts other heating beside the steps."""
    old = changed(
        house, {f"loads[{n}].status": "removed" for n, load in enumerate(house.loads, 1) if load.status == "new"}
    )
    heater = {"name": "Wall heaters", "kind": "space-heat", "load_va": 4000, "volts": 240, "status": "existing"}
    old = changed(old, {"loads[+]": heater, "code.readings.existing_heat_cool": "both-at-40-pct"})
    pump = {"name": "Another heat pump", "kind": "heat-pump", "load_va": 4000, "volts": 240, "status": "new"}

    def amperes(job: Job) -> float:
        found = worked(House.of(job), dwelling_units(job)[0], "existing").sheet.results["existing_a"]
        return float(found)

    rise = amperes(changed(old, {"loads[+]": pump})) - amperes(old)
    assert rise == pytest.approx((4000 + 4000 * 0.6) / 240)
    assert rise > 4000 / 240


@pytest.mark.parametrize("path", [DEMO, NEW_HOUSE], ids=lambda path: path.stem)
def test_curves_pass_through_the_job_s_own_point(path: Path) -> None:
    job = read_job(path)
    code = codebook_for(job)
    charts = dwelling_load.sweeps(House(job, code))
    assert [chart.title for chart in charts] == ["Current by the size of the vehicle charger", "Current by floor area"]
    own = {"Current by floor area": job.dwelling.floor_area_ft2}  # type: ignore[union-attr]
    for chart in charts:
        for curve in chart.data.curves:
            method = curve.name.split()[0].partition("-")[0]
            sheet = worked(House(job, code), dwelling_units(job)[0], method).sheet
            here = [y for x, y in curve.points if x == own.get(chart.title, 7680 / 240 if path is DEMO else 48)]
            assert here == [pytest.approx(sheet.results[f"{method}_a"], abs=1e-5)]
        assert all((mark[1], mark[2]) in curve.points for mark in chart.data.marks
                   for curve in chart.data.curves if mark[2] in [y for _, y in curve.points])  # fmt: skip
        assert chart.data.marks


def test_a_new_house_is_told_its_room(tmp_path: Path) -> None:
    job = read_job(NEW_HOUSE)
    tables = owner_tables(House.of(job))
    assert [table.title for table in tables] == ["Room for one thing more"]
    assert "400 A" in tables[0].intro


def exchanged(**measured: Any) -> Job:
    """A house that swaps an electric furnace for a heat pump, gives up a spa, and wants a charger and a range."""
    loads = [
        {"name": "Old furnace", "kind": "furnace", "load_va": 10_000, "volts": 240, "status": "removed"},
        {"name": "Spa", "kind": "spa", "load_va": 6000, "volts": 240, "status": "removed"},
        {"name": "Heat pump", "kind": "heat-pump", "load_va": 4000, "volts": 240, "status": "new"},
        {"name": "Charger", "kind": "ev-supply", "load_va": 7200, "volts": 240, "status": "new"},
        {"name": "Range", "kind": "range", "load_va": 9000, "volts": 240, "status": "new"},
    ]
    return make_job({
        "code": {"edition": "2023"}, "job": {"name": "exchange"}, "loads": loads,
        "dwelling": {"kind": "one-family", "status": "existing", "floor_area_ft2": 1000},
        "service": {"rating_a": 100, "work": "kept", "load_method": "existing"},
        **({"measured_demand": measured} if measured else {}),
    })  # fmt: skip


def amperes_of(job: Job, **status: str) -> str:
    """Whole amperes of the sheet where loads have these statuses."""
    names = {load.name: n for n, load in enumerate(job.loads, 1)}
    other = changed(job, {f"loads[{names[name.replace('_', ' ')]}].status": said for name, said in status.items()})
    return f"{worked(House.of(other), dwelling_units(other)[0], 'existing').sheet.results['existing_whole_a']:.0f} A"


def test_what_is_to_be_removed_is_there_until_its_place_is_taken() -> None:
    """The furnace goes with the heat pump that takes its place, the spa with the work as a whole; until then both count."""
    job = exchanged()
    ways = owner_tables(House.of(job))[0]
    new = {"Heat_pump": "removed", "Charger": "removed", "Range": "removed"}
    there = {"Old_furnace": "existing", "Spa": "existing"}
    expected = {
        "The house as it is today": {**new, **there},
        "Only Charger": {**new, **there, "Charger": "new"},
        "Only Heat pump": {**new, "Spa": "existing", "Heat_pump": "new"},
        "Everything planned": {},
        "Everything but Heat pump": {"Heat_pump": "removed", "Old_furnace": "existing"},
        "Everything but Charger": {"Charger": "removed"},
    }
    for title, status in expected.items():
        assert row(ways, title)[3].startswith(amperes_of(job, **status)), title
    assert "to be removed: counted as there" in said(House.of(job))


def test_a_record_that_falls_short_is_not_too_much_load() -> None:
    """Only the measured record fails, not the load: the row says so, and the note says in what."""
    job = exchanged(
        method="1-year", peak_kw=1, interval_min=15, from_date=date(2025, 1, 1), to_date=date(2025, 6, 1), occupied=True,
        overload_protected=True, generation_or_shaving=False, seasonal_added_va=0,
    )  # fmt: skip
    ways = owner_tables(House.of(job))[0]
    assert {cells[4] for cells in ways.rows} == {"the record can't be used"}
    text = said(House.of(job))
    assert "With everything planned, by the record of past use: the record can't be used." in text
    assert "Record is long enough: it takes a record of 365 days or more." in text


def test_a_record_that_falls_short_is_never_too_much() -> None:
    """However high the demand that it shows: its own conditions come first, and the amperes of a bad record are not told."""
    job = exchanged(
        method="1-year", peak_kw=30, interval_min=15, from_date=date(2025, 1, 1), to_date=date(2025, 6, 1), occupied=True,
        overload_protected=True, generation_or_shaving=False, seasonal_added_va=0,
    )  # fmt: skip
    by_record = changed(job, {"service.load_method": "measured"})
    (verdict,) = parts_of(House.of(by_record), Verdict)
    assert (verdict.status, verdict.words) == (NOT_WORKED, "The record of past use can't be used.")
    for each in (job, by_record):
        for cells in owner_tables(House.of(each))[0].rows:
            assert "the record can't be used" in cells
            assert not [cell for cell in cells if "too much" in cell and cell == cells[-1] and each is job]


def test_a_record_that_lacks_an_entry_is_said_to(house: Job) -> None:
    short = changed(house, {"measured_demand.occupied": None})
    assert len(owner_tables(House.of(short))[0].columns) == 4
    assert "Why the record of past use can't be used A highest demand alone can't be used" in said(House.of(short))


def test_a_service_that_is_replaced_is_told_apart_from_the_new_one() -> None:
    """The wishes fit the new service; the old one is what they are compared with."""
    text = said(House.of(read_job(Path("notebooks/jobs/cask-lane-27-new-service.toml"))))
    assert "fits the new service of" in text.partition(". ")[0]
    assert "The service that it replaces is of 100 A: everything planned is too much for it." in text


def test_a_building_of_several_dwellings_has_no_owner_s_page() -> None:
    house = House.of(read_job(Path("notebooks/jobs/tinkers-row-4.toml")))
    assert owner_page(house) is None
    assert "that unit's own feeder" in lacking(house)


def test_of_two_additions_everything_but_one_is_the_other_and_stands_once(house: Job) -> None:
    """Each alone and both together say all; of three, each left out says more. One alone has a row of its own already."""
    job = exchanged()
    new = [n for n, load in enumerate(job.loads, 1) if load.status == "new"]
    for left, rows in ((3, 8), (2, 4), (1, 2)):
        gone = {f"loads[{n}].status": "removed" for n in new[left:]}
        titles = [cells[0] for cells in owner_tables(House.of(changed(job, gone)))[0].rows if "managed" not in cells[0]]
        titles = [title for title in titles if "Charger " not in title]
        assert len(titles) == rows, titles
        assert any("but" in title for title in titles) is (left > 2)


def test_what_is_to_be_removed_is_named_and_nothing_else_is() -> None:
    text = said(House.of(exchanged()))
    assert "Old furnace and Spa are to be removed" in text
    one = changed(exchanged(), {"loads[2].status": "existing"})
    assert "Old furnace is to be removed" in said(House.of(one))
