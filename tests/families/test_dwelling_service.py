"""Sources at a bus, and what a service change brings: by edition, with the old house after its owner's choice."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.codebook import editions
from calc.documents.owner import owner_page
from calc.families import dwelling_load, families
from calc.job import Job, changed, read_job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Sheet

NEW_SERVICE = Path("notebooks/jobs/cask-lane-27-new-service.toml")


@pytest.fixture(scope="module")
def upgraded() -> Job:
    return read_job(NEW_SERVICE)


def panel_with(bus_a: int, main_a: int, *outputs_a: float, **more: Any) -> Job:
    source = {"kind": "photovoltaic", "panel": "Main", "position": "opposite-end", **more}
    return make_job({
        "code": {"edition": "2023"},
        "job": {"name": "sources"},
        "dwelling": {"kind": "one-family", "floor_area_ft2": 1500},
        "panels": [{"name": "Main", "fed_from": "utility", "bus_a": bus_a, "main_a": main_a}],
        "sources": [{"name": f"Source {n}", "output_a": a, **source} for n, a in enumerate(outputs_a)],
    })  # fmt: skip


def bus(job: Job, edition: str | None = None) -> Sheet:
    return next(s for s in dwelling_load.work(House.of(job, edition)) if s.title == "Sources at the bus")


# ---- sources


@pytest.mark.parametrize(
    ("bus_a", "main_a", "most_a"), [(200, 200, 32), (200, 175, 52), (225, 200, 56), (125, 125, 20)]
)
def test_a_bus_fed_from_both_ends_takes_so_much(bus_a: int, main_a: int, most_a: float) -> None:
    """200 A bus: 32 A with a 200 A main, 52 A with 175 A; 225 A bus with 200 A: 56 A; 125 A with 125 A: 20 A."""
    for edition in editions():
        fits = bus(panel_with(bus_a, main_a, most_a), edition)
        assert fits.results["bus_room_a"] == pytest.approx(most_a)
        assert fits.passes
        assert not bus(panel_with(bus_a, main_a, most_a + 0.1), edition).passes


def test_anywhere_else_main_and_source_stay_within_the_bus() -> None:
    assert bus(panel_with(200, 175, 20, position="anywhere")).passes
    short = bus(panel_with(200, 175, 20.1, position="anywhere")).as_json()["checks"][0]
    assert not short["passes"]
    assert "20 A" in short["remedy"]


def test_all_sources_on_the_bus_count_together() -> None:
    assert bus(panel_with(200, 175, 30, 22)).passes
    assert not bus(panel_with(200, 175, 30, 23)).passes


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"kind": "generator"}, "transfer equipment"),
        ({"position": "line-side"}, "ahead of the main"),
        ({"position": None}, "doesn't state position"),
    ],
)
def test_all_else_is_refused_by_name(more: dict[str, Any], says: str) -> None:
    job = panel_with(200, 200, 20)
    job = changed(job, {f"sources[1].{key}": value for key, value in more.items()})
    sheet = bus(job)
    assert sheet.refused
    assert says in sheet.refused.reason
    assert sheet.subject == "Source 0"


def test_a_storage_or_an_array_is_said_to_be_unchecked() -> None:
    for kind, article in (("photovoltaic", "690"), ("battery", "706")):
        assert any(article in caution for caution in bus(panel_with(200, 200, 20, kind=kind)).cautions)


# ---- a replaced service


def table(job: Job) -> dict[str, list[str]]:
    tables = dwelling_load.tables(House.of(job))
    found = next(t for t in tables if t.title == "What the new service brings with it")
    return {row[0]: row[1:] for row in found.rows}


def test_what_a_replaced_service_brings_by_edition(upgraded: Job) -> None:
    rows = table(upgraded)
    assert rows["Surge-protective device"][:3] == ["not asked", "230.67", "230.67"]
    assert rows["Disconnect outdoors"][:4] == ["not asked", "silent on it", "230.85", "230.70(A)(1)"]
    assert rows["On the house or within sight of it"][:3] == ["not asked", "not asked", "230.85"]
    assert "Old panel beyond the new disconnect: neutral and ground apart" in rows


def test_a_riser_alone_brings_none_of_it(upgraded: Job) -> None:
    rows = table(changed(upgraded, {"service.work": "riser-only"}))
    assert rows["Surge-protective device"][1] == "not of this work"
    kept = changed(upgraded, {"service.work": "kept", "service.replaces_a": None})
    assert all(t.title != "What the new service brings with it" for t in dwelling_load.tables(House.of(kept)))


def short(job: Job, *names: str) -> set[str]:
    """Checks that fall short, over some families."""
    code = codebook_for(job)
    sheets = [sheet for name in names for sheet in families()[name].work(House(job, code))]
    return {check.key.partition("[")[0] for sheet in sheets for check in sheet.checks if not check.holds.holds}


def test_what_it_brings_is_checked_in_the_packet(upgraded: Job) -> None:
    """The old panel becomes one beyond the disconnect: four wires, no bond; and 24 in of width are too little."""
    found = short(upgraded, "rough-in", "branch-circuits")
    assert {"feeder_complete", "apart", "working_width"} <= found
    assert not {"surge_protected", "disconnect_outdoors", "disconnect_marked"} & found
    bare = changed(upgraded, {"service.surge_protection": "none", "service.emergency_disconnect": "none"})
    assert {"surge_protected", "disconnect_outdoors"} <= short(bare, "rough-in", "branch-circuits")
    older = changed(bare, {"code.edition": "2017"})
    assert not {"surge_protected", "disconnect_outdoors"} & short(older, "rough-in", "branch-circuits")


def test_its_service_is_sized_and_the_present_one_is_still_tested(upgraded: Job) -> None:
    sheet = dwelling_load.work(House.of(upgraded))[0]
    assert sheet.results["optional_a"] == pytest.approx(121.4, abs=0.05)
    assert sheet.passes
    page = owner_page(House.of(upgraded))
    assert page is not None
    assert page.sections[0].title == "What the 100 A service carries"


def test_page_1_names_the_method_the_dwelling_and_the_system(upgraded: Job) -> None:
    page = dwelling_load.front(House.of(upgraded))
    facts = dict(page.facts)
    assert facts["Method"] == "Optional method, 220.82"
    assert facts["Dwelling"] == "one-family, existing, 1,480 ft2"
    assert facts["System"] == "120/240 V, single-phase, 3-wire"
    assert page.verdict == "passes"
    tests = dwelling_load.front(House.of(read_job(Path("notebooks/jobs/cask-lane-27.toml"))))
    assert dict(tests.facts)["Method"] == "Existing-dwelling rule, 220.83"
    assert tests.verdict == "FALLS SHORT"
    flats = read_job(Path("notebooks/jobs/tinkers-row-4.toml"))
    facts = dict(dwelling_load.front(House.of(flats)).facts)
    assert (facts["Method"], facts["System"]) == ("Optional method, 220.84", "208Y/120 V, three-phase, 4-wire")
