"""Laying out: what the house lacks comes as proposals; accepted, what remains is for a person to look at."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from click.testing import CliRunner

from calc.cli import main
from calc.codebook import editions
from calc.job import Job, accepted, changed, new_job, notices, parse_job, proposals, read_job, withdrawn
from calc.propose import laid_out
from calc.propose.practice import practice
from calc.verdict.standing import standing
from calc.wiring.house import House

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"


def facts(edition: str = "2023") -> Job:
    return changed(parse_job(new_job("A house", "new-house-facts").encode()), {"code.edition": edition})


@cache
def laid_house(edition: str = "2023") -> House:
    """What is laid out of the facts, worked once; nobody changes it."""
    return House.of(laid_out(House.of(facts(edition))))


@cache
def accepted_house(edition: str = "2023") -> House:
    """And all of it accepted."""
    return House.of(accepted(laid_house(edition).whole_job))


def leaves(node: Any, at: str = "") -> dict[str, Any]:
    if isinstance(node, dict):
        return {k: v for key, value in node.items() for k, v in leaves(value, f"{at}.{key}").items()}
    if isinstance(node, list):
        return {k: v for n, value in enumerate(node) for k, v in leaves(value, f"{at}[{n}]").items()}
    return {at: node}


@pytest.mark.parametrize("edition", editions())
def test_a_page_of_facts_becomes_a_house_of_which_nothing_is_open(edition: str) -> None:
    """All in scope passes once what is laid out is accepted, and not before."""
    laid = laid_house(edition).whole_job
    waiting = standing(laid_house(edition))
    assert {each.status for each in waiting.open} == {"not shown"}
    found = standing(accepted_house(edition))
    assert (found.status, found.open) == ("passes", [])
    assert not notices(accepted(laid))
    assert len(laid.circuits) >= 15
    assert laid.boxes


def test_a_panel_its_conductors_and_rods_are_laid_out_where_none_are_entered() -> None:
    """200 A: the service conductors of a dwelling are 4/0 aluminum (310.12); lengths and the place of a panel stay open."""
    laid = laid_out(House.of(changed(facts(), {"panels": [], "runs": [], "grounding": None})))
    ((panel,), (run,)) = laid.panels, laid.runs
    assert (panel.proposed, panel.main_a, panel.spaces, panel.interrupting_a) == (True, 200, 42, 10000)
    assert (run.proposed, run.given_size, run.metal, run.length_ft) == (True, "4/0", "aluminum", None)
    assert laid.grounding is not None
    assert [(each.kind, each.count) for each in laid.grounding.electrodes] == [("rod", 2)]
    open_ = {each.at.rpartition(".")[2] for each in standing(House.of(accepted(laid))).open}
    assert {"length_ft", "location", "working_depth_in", "burial_in"} <= open_


def test_no_sheet_about_a_proposed_entry_passes_before_it_is_accepted() -> None:
    mine = {each.name for each in proposals(laid_house().whole_job) if each.key != "rooms"}
    found = standing(laid_house())
    about = [s for sheets in found.sheets.values() for s in sheets if s.subject in mine]
    assert len(about) > 50
    assert all(s.status == "not shown" for s in about)


def test_nothing_that_a_person_entered_is_changed_but_the_circuit_of_a_load_that_named_none() -> None:
    before, after = leaves(facts().data), leaves(laid_house().whole_job.data)
    assert {at: after.get(at) for at in before} == before
    assert not [at for at in after.keys() - before.keys() if at.startswith(".loads") and not at.endswith(".circuit")]


def test_what_is_laid_out_is_not_laid_out_again() -> None:
    for house in (laid_house(), accepted_house()):
        assert laid_out(house).data == house.whole_job.data


def test_taken_out_again_the_job_is_as_it_was() -> None:
    assert withdrawn(laid_house().whole_job).data == facts().data


def test_legs_are_balanced_and_no_space_is_taken_twice() -> None:
    laid = accepted_house().whole_job
    taken = [space for circuit in laid.circuits for space in circuit.positions]
    assert len(taken) == len(set(taken)) == sum(circuit.poles for circuit in laid.circuits)
    panel = next(s for s in standing(accepted_house()).sheets["branch-circuits"] if s.subject == "Panel")
    low, high = sorted((panel["leg_1_a"], panel["leg_2_a"]))
    assert high - low < 0.05 * high


def test_equipment_outdoors_is_not_wired_in_cable_for_dry_places() -> None:
    cable = laid_house().whole_job.circuit("Heat pump").cable
    assert cable is not None
    assert cable.kind == "UF"


def test_nothing_is_proposed_that_no_sheet_looks_at() -> None:
    """Places of smoke alarms are for the building code, and no sheet tells whether they are right."""
    laid = laid_out(House.of(facts()))
    assert laid.alarms == facts().alarms
    assert not any("smoke-alarms" in circuit.outlets for circuit in laid.circuits)


def test_a_circuit_that_no_cable_serves_is_laid_in_a_raceway() -> None:
    """A charger of 80 A needs 100 A: NM is made to 2 AWG, 95 A in its 60 °C column, so 1 AWG in EMT (110 A)."""
    job = facts()
    charger = {"name": "Charger", "kind": "ev-supply", "load_va": 19200, "volts": 240, "room": "Garage"}
    laid = laid_out(House.of(changed(job, {"loads[+]": charger})))
    run = next(run for run in laid.runs if run.feeds == "Charger")
    assert (run.wiring_method, run.insulation, run.given_size, run.breaker_a, run.proposed) == (
        "EMT",
        "THWN-2",
        "1",
        100,
        True,
    )
    found = standing(House.of(accepted(laid)))
    mine = [each for each in found.open if each.about in ("Charger", run.name)]
    assert {each.status for each in mine} <= {"not shown"}
    assert all(each.at.endswith("length_ft") for each in mine), mine


def test_a_panel_of_another_building_is_fed_through_the_ground() -> None:
    """60 A of aluminum in a raceway 18 in deep (Table 300.5), four wires, rods of its own; its length is for a person."""
    workshop = {"name": "Workshop", "kind": "workshop", "status": "new"}
    panel = {"name": "Workshop panel", "bus_a": 100, "main_a": 60, "spaces": 12, "building": "Workshop"}
    bench = {"name": "Bench", "kind": "shop", "load_va": 4680, "volts": 240, "panel": "Workshop panel"}
    house = {
        "name": "Panel",
        "fed_from": "utility",
        "bus_a": 200,
        "main_a": 200,
        "spaces": 42,
        "service_equipment": True,
        "neutral_bonded": True,
    }
    laid = laid_out(
        House.of(changed(facts(), {"buildings": [workshop], "runs": [], "panels": [house, panel], "loads[+]": bench}))
    )
    run = laid.run("Feeder to Workshop panel")
    assert (run.wiring_method, run.location, run.burial_in, run.neutral, run.breaker_a) == (
        "PVC-40",
        "buried",
        18,
        True,
        60,
    )
    assert run.given_size
    assert laid.buildings[0].electrodes[0].proposed
    found = standing(House.of(accepted(laid)))
    assert not [each for each in found.open if each.about == run.name and each.status == "falls short"]


def test_a_room_of_a_partial_job_is_laid_out_without_a_dwelling() -> None:
    kitchen = parse_job(new_job("A kitchen", "kitchen").encode())
    rooms = [{k: v for k, v in room.items() if k not in ("outlets", "counters")}
             | {"counters": [{k: v for k, v in c.items() if k != "outlets"} for c in room["counters"]]}
             for room in kitchen.data["rooms"]]  # fmt: skip
    loads = [{k: v for k, v in load.items() if k != "circuit"} for load in kitchen.data["loads"]]
    bare = changed(kitchen, {"circuits": None, "boxes": None, "rooms": rooms, "loads": loads})
    laid = laid_out(House.of(bare))
    assert {"Range", "Dishwasher", "Disposer", "Microwave hood", "Lights"} <= {c.name for c in laid.circuits}
    assert standing(House.of(laid)).status == "not shown"
    assert standing(House.of(accepted(laid))).status in ("passes", "falls short")


@pytest.mark.parametrize("name", sorted(path.stem for path in JOBS.glob("*.toml")))
def test_any_house_can_be_laid_out_and_nothing_in_it_falls_short_by_that(name: str) -> None:
    job = read_job(JOBS / f"{name}.toml")
    before = {(e.family, e.about, e.what) for e in standing(House.of(job)).open if e.status == "falls short"}
    laid = laid_out(House.of(job))
    assert withdrawn(laid).data.get("circuits") == job.data.get("circuits")
    after = {(e.family, e.about, e.what) for e in standing(House.of(laid)).open if e.status == "falls short"}
    assert after <= before


def test_a_room_may_be_called_anything(tmp_path: Path) -> None:
    names = ['Bed "one"', "<b>Bath</b>", "a = 1 # no", "=cmd()", "[[rooms]]", "café \\ 'x'"]
    file = tmp_path / "house.toml"
    job = facts()
    free = [at for at, room in enumerate(job.rooms, 1) if room.name not in {load.room for load in job.loads}]
    renamed = changed(job, {"alarms": []} | {f"rooms[{at}].name": name for at, name in zip(free, names, strict=False)})
    file.write_text(tomlkit.dumps(renamed.data))
    result = CliRunner().invoke(main, ["propose", str(file)])
    assert result.exit_code == 0, result.output
    boxes = read_job(file).boxes
    assert [name for name in names if not any(name in box.name and box.room == name for box in boxes)] == []


def test_the_command_writes_what_is_proposed_and_keeps_the_comments(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    text = new_job("A house", "new-house-facts")
    file.write_text(text)
    said = CliRunner().invoke(main, ["propose", str(file)])
    assert said.exit_code == 0, said.output
    assert "to accept" in said.output
    written = file.read_text()
    assert all(line in written.split("\n") for line in text.split("\n"))
    one = CliRunner().invoke(main, ["propose", str(file), "--accept", "Laundry"])
    assert one.exit_code == 0, one.output
    assert {each.name for each in proposals(read_job(file))}.isdisjoint({"Laundry"})
    assert CliRunner().invoke(main, ["propose", str(file), "--accept", "Loundry"]).exit_code == 2
    assert CliRunner().invoke(main, ["propose", str(file), "--accept", "all", "--withdraw", "all"]).exit_code == 2
    assert CliRunner().invoke(main, ["propose", str(file), "--accept", "all"]).exit_code == 0
    assert "proposed" not in file.read_text().replace("studbay propose", "")
    assert "nothing to lay out" in CliRunner().invoke(main, ["propose", str(file)]).output


def test_a_list_within_an_entry_is_written_a_line_each(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(new_job("A house", "new-house-facts"))
    CliRunner().invoke(main, ["propose", str(file)])
    text = file.read_text()
    assert "[[rooms.outlets]]" not in text
    assert len(text.split("\n")) < 1200
    assert tomllib.loads(text)["rooms"][0]["outlets"][0]["proposed"] is True


def test_common_practice_names_only_what_the_model_knows() -> None:
    from typing import get_args

    from calc.job.loads import LoadKind
    from calc.job.rooms import RoomUse

    uses = {use for kind in practice("circuits")["of_rooms"] for use in kind["uses"]}
    assert uses == set(get_args(RoomUse)) - set(), uses ^ set(get_args(RoomUse))
    assert set(practice("circuits")["own_120_v"]) <= set(get_args(LoadKind))
    assert set(practice("boxes")["fan_rated_in"]) <= uses
