"""What a run is made of, and where it lies: each default, each end, each count."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import open_codebook
from calc.job import Job
from calc.job.read import make_job
from calc.wiring.house import House
from calc.wiring.way import way
from calc.wiring.wires import Wires, called, has_neutral, made, sizes, smaller_and_larger, wires
from calc.work import Missing, Refused

CODE = open_codebook("2023")


def job_of(*runs: dict[str, Any], edition: str = "2023", **tables: Any) -> Job:
    """A job with these runs, of copper THHN in EMT from the utility at 240 V unless they say otherwise."""
    plain = {"role": "feeder", "fed_from": "utility", "volts": 240, "calculated_a": 10}
    named = [{"name": f"R{number}", **plain, **run} for number, run in enumerate(runs, 1)]
    return make_job({"code": {"edition": edition}, "job": {"name": "test"}, "runs": named, **tables})


def make(run: dict[str, Any], **tables: Any) -> Wires:
    job = job_of(run, **tables)
    return wires(job, job.runs[0])


SINGLES = {"material": "copper", "insulation": "THHN", "wiring_method": "EMT"}


@pytest.mark.parametrize(
    ("run", "kind", "metal"),
    [
        ({"cable": "12/2 NM"}, "NM", "copper"),
        ({"cable": "12/2 UF"}, "UF", "copper"),
        ({"wiring_method": "NM", "material": "copper"}, "NM", "copper"),
        ({"wiring_method": "SER", "material": "aluminum"}, "SER", "aluminum"),
        ({"cable": "3 x 6 THHN"}, "THHN", "copper"),
        ({"cable": "3 x 4/0 XHHW-2 Al"}, "XHHW-2", "aluminum"),
        (SINGLES, "THHN", "copper"),
    ],
)
def test_a_run_is_a_cable_or_single_conductors_of_a_metal(run: dict[str, Any], kind: str, metal: str) -> None:
    """By its cable, by its wiring method where that is a cable, else by its insulation."""
    w = make(run)
    assert (w.kind, w.metal, w.ground_metal) == (kind, metal, metal)
    assert bool(w.cable) is (kind in ("NM", "UF", "SER"))


@pytest.mark.parametrize(
    ("run", "error", "said"),
    [
        ({**SINGLES, "wiring_method": "overhead"}, Refused, "free air"),
        ({"wiring_method": "NM", "material": "copper", "insulation": "THHN"}, Refused, "its own insulation"),
        ({"cable": "2 x 12/2 NM"}, Refused, "give one cable"),
        ({"wiring_method": "EMT", "material": "copper"}, Missing, "names no cable and no insulation"),
    ],
)
def test_a_run_that_does_not_say_what_it_is_of_is_not_looked_up(
    run: dict[str, Any], error: type[Refused], said: str
) -> None:
    """Nor one that says two things at once: several cables are a number of sets or of cables together."""
    with pytest.raises(error, match=said):
        make(run)


@pytest.mark.parametrize(
    ("run", "system", "wiring"),
    [
        ({"volts": 120}, None, "two-wire"),
        ({"volts": 120, "multiwire": True, "neutral": True}, None, "two legs and neutral"),
        ({"volts": 120, "multiwire": True, "neutral": True}, "208Y/120", "two legs and neutral of a wye"),
        ({"neutral": False}, None, "two legs"),
        ({"neutral": True}, None, "two legs and neutral"),
        ({"volts": 208, "neutral": True}, None, "two legs and neutral of a wye"),
        ({"volts": 208, "neutral": False}, None, "two legs"),
        ({"volts": 208, "phases": 3, "neutral": False}, "208Y/120", "three-phase"),
        ({"volts": 208, "phases": 3, "neutral": True}, "208Y/120", "three-phase and neutral"),
    ],
)
def test_the_wires_of_a_system(run: dict[str, Any], system: str | None, wiring: str) -> None:
    """A leg and its neutral at 120 V, two legs at 240 or 208 V, three of three phases; a neutral counts with them."""
    w = make(SINGLES | run, **({"service": {"system": system}} if system else {}))
    assert w.wiring == wiring
    number = {"two-wire": 2, "two legs": 2, "two legs and neutral": 3, "two legs and neutral of a wye": 3, "three-phase": 3,
              "three-phase and neutral": 4}  # fmt: skip
    assert w.circuit_conductors == number[wiring]


def load(name: str, kind: str, **keys: Any) -> dict[str, Any]:
    return {"name": name, "kind": kind, "load_va": 5000, "volts": 240, **keys}


@pytest.mark.parametrize(
    ("run", "loads", "has"),
    [
        ({"role": "feeder"}, [], True),
        ({"role": "feeder", "neutral": False}, [], False),
        ({"role": "branch"}, [], False),
        ({"role": "branch", "volts": 120}, [], True),
        ({"role": "branch", "feeds": "Dryer"}, [load("Dryer", "dryer")], True),
        ({"role": "branch", "feeds": "C"}, [load("Dryer", "dryer", circuit="C")], True),
        ({"role": "branch", "feeds": "C"}, [load("Dryer", "dryer", circuit="C", status="removed")], False),
        ({"role": "branch", "feeds": "C"}, [load("Dryer", "dryer")], False),
        ({"role": "branch", "feeds": "C"}, [load("Tank", "water-heater", circuit="C")], False),
        ({"role": "branch"}, [load("Dryer", "dryer")], False),
    ],
)
def test_a_neutral_goes_where_it_is_used(run: dict[str, Any], loads: list[dict[str, Any]], has: bool) -> None:
    """As said; else in feeders and at 120 V, and in a circuit between the legs where what it feeds uses one."""
    job = job_of(SINGLES | run, loads=loads, circuits=[{"name": "C", "purpose": "individual", "poles": 2}])
    assert has_neutral(job, job.runs[0]) is has


def test_the_cable_with_the_fewest_wires_that_are_enough_is_taken() -> None:
    """A range on NM without neutral: 6/2, with it 6/3; each size once, smallest first."""
    two, three = (
        made(make({"wiring_method": "NM", "material": "copper", "role": "branch", "neutral": n})) for n in (False, True)
    )
    assert {cable.size: len(cable.wires) for cable in two} == dict.fromkeys(("14", "12", "10", "8", "6"), 2) | {
        "4": 3,
        "2": 3,
    }
    assert {len(cable.wires) for cable in three} == {3}
    assert [cable.size for cable in two][:5] == ["14", "12", "10", "8", "6"]
    assert all(cable.ground for cable in (*two, *three))


def test_parallel_sets_begin_at_1_0_and_a_cable_that_is_not_made_so_large_is_refused() -> None:
    """310.10: none smaller in parallel; NM ends at 2 AWG."""
    singles = make(SINGLES)
    assert sizes(CODE, singles, 1)[0] == "14"
    assert sizes(CODE, singles, 2)[0] == "1/0"
    with pytest.raises(Refused, match=r"not made as large as 1/0 AWG"):
        sizes(CODE, make({"wiring_method": "NM", "material": "copper"}), 2)
    with pytest.raises(Refused, match=r"No NM of aluminum with 3 circuit conductors.*made of copper"):
        sizes(CODE, make({"wiring_method": "NM", "material": "aluminum"}), 1)


def test_sizes_beside_and_their_names() -> None:
    """The first has none below it; from 250 on sizes are in kcmil."""
    assert smaller_and_larger(["14", "12", "10"], "14") == (None, ["12", "10"])
    assert smaller_and_larger(["14", "12", "10"], "10") == ("12", [])
    assert [called(size) for size in ("14", "4/0", "250", "500")] == ["14 AWG", "4/0 AWG", "250 kcmil", "500 kcmil"]


# ---- where it lies


@pytest.mark.parametrize(
    ("run", "tables", "known", "outdoors"),
    [
        ({}, {}, True, ""),
        ({"role": "service"}, {}, False, "the utility's end"),
        ({"role": "service", "fed_from": "Out"}, {}, False, "Out"),
        ({"role": "service", "location": "wet"}, {}, True, ""),
        ({"role": "service", "location": "dry-throughout"}, {}, True, "the utility's end"),
        ({"fed_from": "Out"}, {}, False, "Out"),
        ({"fed_from": "In"}, {}, True, ""),
        ({"feeds": "Out"}, {}, False, "Out"),
        ({"fed_from": "On deck"}, {}, False, "On deck"),
        ({"role": "branch", "feeds": "C"}, {"rooms": ["Deck"]}, False, "Deck"),
        ({"role": "branch", "feeds": "C"}, {"rooms": ["Den"]}, True, ""),
        ({"role": "branch", "feeds": "C"}, {"load": {"outdoors": True}}, False, "Pump"),
        ({"role": "branch", "feeds": "Pump"}, {"load": {"outdoors": True}}, False, "Pump"),
        ({"role": "branch", "feeds": "C"}, {"load": {"outdoors": False}}, True, ""),
        ({"role": "branch", "feeds": "C"}, {"load": {}}, False, "Pump"),  # a heat pump stands outdoors as a rule
        ({"role": "branch", "feeds": "C"}, {"load": {"room": "Den"}}, True, ""),
        ({"role": "branch", "feeds": "C"}, {"load": {"room": "Deck"}}, False, "Pump"),
        ({"role": "branch", "feeds": "C"}, {"load": {"status": "removed"}}, True, ""),
    ],
)  # fmt: skip
def test_a_way_is_known_unless_an_end_is_outdoors_and_nobody_said_that_it_is_dry(
    run: dict[str, Any], tables: dict[str, Any], known: bool, outdoors: str
) -> None:
    """The utility's end of a service, a panel outdoors or on a deck, a load or a room there; said of all of it, it is known."""
    pump = {
        "name": "Pump",
        "kind": "heat-pump",
        "load_va": 3000,
        "volts": 240,
        "circuit": "C",
        **tables.get("load", {}),
    }
    if "location" in run and run["location"] == "wet":
        outdoors = ""
    job = job_of(
        SINGLES | {"volts": 240} | run,
        panels=[
            {"name": "Out", "location": "outdoors"},
            {"name": "In", "location": "garage"},
            {"name": "On deck", "room": "Deck"},
        ],
        rooms=[{"name": "Deck", "use": "deck"}, {"name": "Den", "use": "den"}],
        circuits=[{"name": "C", "purpose": "individual", "poles": 2, "rooms": tables.get("rooms", [])}],
        loads=[pump] if "load" in tables else [],
    )
    found = way(House.of(job), job.runs[0])
    assert (found.known, found.outdoors) == (known, outdoors)
