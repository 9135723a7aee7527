"""What is done by hand in a drawing, as entries of the job."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.job import Job, changed, read_job
from calc.show.handled import added, drawing, in_space, its_run, moved
from calc.wiring.house import House
from calc.workplace import shipped_notebooks

JOBS = shipped_notebooks() / "jobs"


@pytest.fixture(scope="module")
def job() -> Job:
    return read_job(Path(JOBS / "fernhollow-lot-12.toml"))


def test_a_receptacle_is_said_from_the_left_end_of_the_wall_that_it_stands_on(job: Job) -> None:
    """Its place along the walls becomes a wall and a taped length; the drawing of the job that comes of it shows it there."""
    north = job.rooms[0].walls[0].length_ft * 12
    assert moved(job, "rooms[1].outlets[1]", north - 12) == {
        "rooms[1].outlets[1].wall": "north",
        "rooms[1].outlets[1].at_ft": "17 ft 0 in",
    }
    for along in (0, 7, north - 1, north, north + 1, north + 100):
        new = changed(job, moved(job, "rooms[1].outlets[1]", along))
        (stop, *_) = drawing(House.of(new), "rooms[1]")["tracks"][0]["stops"]
        assert stop["along"] == along
    more = changed(job, added(job, "rooms[1].outlets", 30))
    assert len(more.rooms[0].outlets) == len(job.rooms[0].outlets) + 1
    with pytest.raises(ValueError, match="not beyond its ends"):
        moved(job, "rooms[1].outlets[1]", 1e6)


def test_a_receptacle_of_a_counter_is_said_from_its_left_end(job: Job) -> None:
    at = "rooms[2].counters[1].outlets[1]"
    new = changed(job, moved(job, at, 20))
    assert new.rooms[1].counters[0].outlets[0].at_in == 20
    tracks = {track["at"]: track for track in drawing(House.of(new), "rooms[2]")["tracks"]}
    assert tracks["rooms[2].counters[1].outlets"]["stops"][0]["along"] == 20


def test_a_receptacle_goes_round_the_corner_onto_the_wall_at_a_counters_end(job: Job) -> None:
    """There it is measured from the corner, as the entry says it; back on the counter it names no end wall."""
    at = "rooms[2].counters[1]"
    long = job.rooms[1].counters[0].length_in
    with_ends = changed(job, {f"{at}.left_end_in": 24, f"{at}.right_end_in": 12})
    for along, wall, measured in ((4, "left", 20), (24, None, 0), (24 + long, None, long), (30 + long, "right", 6)):
        new = changed(with_ends, moved(with_ends, f"{at}.outlets[1]", along))
        outlet = new.rooms[1].counters[0].outlets[0]
        assert (outlet.end_wall, outlet.at_in) == (wall, measured)
        track = next(each for each in drawing(House.of(new), "rooms[2]")["tracks"] if each["at"] == f"{at}.outlets")
        assert track["stops"][0]["along"] == along
    more = changed(with_ends, added(with_ends, f"{at}.outlets", 1)).rooms[1].counters[0].outlets[-1]
    assert (more.end_wall, more.at_in) == ("left", 23)
    with pytest.raises(ValueError, match="not beyond its ends"):
        moved(with_ends, f"{at}.outlets[1]", 37 + long)


def test_a_circuit_moves_to_a_space_and_one_as_large_takes_its_place(job: Job) -> None:
    """No two breakers come to stand in one space, whatever circuit is sent to whatever space; nor beyond the panel."""
    swapped = 0
    for number, circuit in enumerate(job.circuits, 1):
        if not circuit.positions or circuit.panel is None or circuit.tandem:
            continue
        panel = job.panel(circuit.panel)
        for space in range(1, (panel.spaces or 0) + 3):
            try:
                new = changed(job, in_space(job, f"circuits[{number}]", panel.name, space))
            except ValueError:  # no room there
                continue
            now = new.circuits[number - 1]
            assert now.positions[0] == space
            assert now.positions[-1] <= (panel.spaces or 0)
            mine = [
                each for each in new.circuits if each.panel == panel.name and each.name != now.name and not each.tandem
            ]
            assert not set(now.positions) & {taken for each in mine for taken in each.positions}
            swapped += sum(a.positions != b.positions for a, b in zip(job.circuits, new.circuits, strict=True)) == 2
    assert swapped


def test_a_circuit_that_has_no_room_is_told_who_is_there(job: Job) -> None:
    two = next(n for n, each in enumerate(job.circuits, 1) if each.poles == 2 and each.positions)
    one = next(
        each
        for each in job.circuits
        if each.poles == 1 and each.positions and each.panel == job.circuits[two - 1].panel
    )
    with pytest.raises(ValueError, match="taken by"):
        in_space(job, f"circuits[{two}]", str(one.panel), one.positions[0])


def test_a_circuit_is_given_a_run_from_its_panel_at_its_voltage(job: Job) -> None:
    """It is a branch run of a name that no run has, with the voltage of what is on the circuit, or of its poles."""
    fed = {run.feeds for run in job.runs}
    number, circuit = next((n, c) for n, c in enumerate(job.circuits, 1) if c.poles == 2 and c.name not in fed)
    with_cable = changed(job, {f"circuits[{number}].cable": "10/3 NM"})
    run = changed(with_cable, its_run(with_cable, f"circuits[{number}]")).runs[-1]
    assert (run.role, run.feeds, run.fed_from, run.volts) == ("branch", circuit.name, circuit.panel, 240)
    assert run.cable == with_cable.circuits[number - 1].cable
    named = changed(job, {"runs[1].name": run.name})
    assert its_run(named, f"circuits[{number}]")["runs[+]"]["name"] == f"{run.name} 2"
    with pytest.raises(ValueError, match="no circuit"):
        its_run(job, "circuits[99]")
