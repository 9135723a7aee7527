"""The invented houses of the trade notes can be said in full, and a job tells what follows from it directly."""

from pathlib import Path

import pytest

from calc.job import JobError, changed, file_stem, read_job

HOUSES = {h.stem: h for h in (Path(__file__).parent / "houses").glob("*.toml")}


@pytest.mark.parametrize("name", sorted(HOUSES))
def test_a_house_is_read(name: str) -> None:
    assert file_stem(read_job(HOUSES[name]).job.name) == name


def test_loads_of_a_new_house() -> None:
    """trade-notes, house A: heat pump 15.9 + 1.1 A at 240 V is 4,080 VA; two ovens of 4,800 VA."""
    job = read_job(HOUSES["fernhollow-lot-12"])
    assert job.load("Heat pump").va == 4080
    assert job.load("Oven").total_va == 9600
    assert [load.name for load in job.loads_on("Cooking")] == ["Cooktop", "Oven"]
    assert job.load("Strips").runs_with == ("Heat pump", "Blower")
    assert {load.name for load in job.loads if load.uses_neutral and load.volts == 240} == {"Cooktop", "Oven", "Dryer"}
    assert job.load("Dishwasher").connected == "line-to-neutral"
    assert job.load("Workshop feeder").connected == "line-to-line"
    assert job.load("Dishwasher").cord_in == 48


def test_wiring_of_a_new_house() -> None:
    job = read_job(HOUSES["fernhollow-lot-12"])
    assert job.run("R3 workshop").given_size == "6"
    assert job.run("R3 workshop").metal == "copper"
    assert job.run("R3 workshop").wiring_method == "PVC-80"
    feeder = job.run("R2 feeder").cable
    assert feeder is not None
    assert (feeder.wires, feeder.neutral, feeder.ground_size) == (("4/0",) * 3, "4/0", "2/0")
    assert job.circuit("Bedroom receptacles").number == "9a"
    assert job.circuit("Cooking").number == "2"
    assert job.raceways[0].length_ft == 1.5


def test_boxes_of_a_new_house() -> None:
    job = read_job(HOUSES["fernhollow-lot-12"])
    boxes = {box.name: box for box in job.boxes}
    wires = sum(len(cable.wires) * cable.count for cable in boxes["B6"].cables)
    grounds = sum(len(cable.ground) * cable.count for cable in boxes["B6"].cables)
    assert (wires, grounds) == (14, 6)  # trade-notes, box B6
    assert boxes["B12"].is_empty
    assert boxes["B12"].compartments[1].low_voltage
    assert boxes["B8"].devices[0].gangs == 2


def test_an_old_house() -> None:
    job = read_job(HOUSES["cask-lane-27"])
    assert job.load("Old baseboards").zones == 5
    assert job.load("Charger").setting_a == 20
    old = job.circuit("Range").cable
    assert old is not None
    assert old.ground == ()


def test_flats_on_a_wye() -> None:
    job = read_job(HOUSES["tinkers-row-4"])
    assert job.dwelling is not None
    assert [(group.count, group.laundry_circuits) for group in job.dwelling.units] == [(3, 0), (1, 1)]
    assert job.load("Range").unit_group == "Flats with a range"
    assert job.load("Common lights").serves == "house"


def test_a_what_if_leaves_the_job_as_it_was() -> None:
    job = read_job(HOUSES["cask-lane-27"])
    other = changed(
        job, {"loads[1].load_va": 16000, "loads[+]": {"name": "Spa", "kind": "spa", "load_va": 9000, "volts": 240}}
    )
    assert (job.load("Range").load_va, other.load("Range").load_va) == (11500, 16000)
    assert (len(job.loads), len(other.loads)) == (4, 5)
    assert other.fingerprint == job.fingerprint
    assert changed(job, {"service.main_a": None}).service != job.service
    assert changed(job, {}).model_dump() == job.model_dump()


def test_a_what_if_is_checked_as_a_file_is() -> None:
    job = read_job(HOUSES["cask-lane-27"])
    with pytest.raises(JobError, match='panel is "Attic", which is not the name of any of panels'):
        changed(job, {"loads[1].panel": "Attic"})
    with pytest.raises(JobError, match=r"controls.*which is not the name of any of loads"):
        changed(job, {"loads[2]": None})
    for nowhere in ("loads[9].load_va", "loads[0].load_va", "loads[x]", "loads[9]", "", "a..b"):
        with pytest.raises(KeyError):
            changed(job, {nowhere: 5})


def test_a_name_that_is_not_there_names_those_that_are() -> None:
    job = read_job(HOUSES["cask-lane-27"])
    with pytest.raises(KeyError, match="New disconnect, Old panel, Garage panel"):
        job.panel("Main")


@pytest.mark.parametrize(
    ("name", "stem"), [("Fernhollow Lot 12", "fernhollow-lot-12"), ("<b>Tinker's Row", "b-tinkers-row"), ("??", "job")]
)
def test_file_names_are_plain(name: str, stem: str) -> None:
    assert file_stem(name) == stem
