"""Starters: each is a job as it stands, works in each edition, and each optional line of it can be used as it is."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from calc.codebook import editions
from calc.job import changed, new_job, notices, parse_job, starters
from calc.verdict.standing import Standing, standing
from calc.wiring.house import House

ENTRY = re.compile(r"# ([a-z_0-9]+ = |\[)")
FOLDER = Path(__file__).parents[2] / "templates" / "jobs"


def stands(text: str, edition: str = "") -> Standing:
    job = parse_job(text.encode())
    return standing(House.of(changed(job, {"code.edition": edition}) if edition else job))


def optional(text: str) -> Iterator[range]:
    """The lines of each optional entry: one, or all that follow a comment which ends with a colon."""
    lines = text.split("\n")
    at = 0
    while at < len(lines):
        end = at + 1
        if ENTRY.match(lines[at]):
            while lines[at - 1].startswith("# ") and lines[at - 1].endswith(":") and ENTRY.match(lines[end]):
                end += 1
            yield range(at, end)
        at = end


def used(text: str, wanted: list[range]) -> str:
    """The starter with optional lines taken into use."""
    taken = {number for lines in wanted for number in lines}
    return "\n".join(line[2:] if n in taken else line for n, line in enumerate(text.split("\n")))


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize("name", starters())
def test_what_stands_in_a_starter_passes_or_names_the_entry_that_only_a_person_knows(name: str, edition: str) -> None:
    found = stands(new_job("A house", name), edition)
    states = {sheet.status for sheets in found.sheets.values() for sheet in sheets}
    assert "passes" in states or states == {"not worked"}
    for each in found.open:
        unconfirmed = each.status == "not worked" and "is not confirmed" in each.what
        known_where = each.at or "has no part for it yet" in each.what
        assert unconfirmed or (each.status == "not shown" and known_where), each
    assert not found.odd


@pytest.mark.parametrize("name", starters())
def test_each_optional_line_of_a_starter_can_be_used_as_it_is(name: str) -> None:
    text = new_job("A house", name)
    lines = list(optional(text))
    assert len(lines) >= 6
    for each in lines:
        stands(used(text, [each]))
    everything = used(text, lines)
    assert not notices(parse_job(everything.encode()))
    assert stands(everything).sheets


@pytest.mark.parametrize("name", starters())
def test_entries_to_change_are_marked_everywhere_in_the_same_way(name: str) -> None:
    lines = (FOLDER / f"{name}.toml").read_text().split("\n")
    marked = [line for line in lines if "change" in line.partition("#")[2] and "=" in line.partition("#")[0]]
    assert len(marked) >= 6
    assert all(" # change: " in line for line in marked)
    assert any(line.startswith("load_va") or "_ft" in line or "marked_in3" in line for line in marked)


TO_CHANGE = ("load_va", "mca_a", "mocp_a", "motor_a", "walls", "openings", "length_in", "length_ft", "floor_area_ft2", "marked_in3", "bus_a",
             "main_a", "spaces", "interrupting_a", "location", "working_depth_in", "transformer_kva", "burial_in")  # fmt: skip
"""What is read off a nameplate, a label or a tape: no house has another's."""


@pytest.mark.parametrize("name", starters())
def test_every_entry_that_another_house_has_otherwise_is_marked(name: str) -> None:
    lines = (FOLDER / f"{name}.toml").read_text().split("\n")
    mine = [line for line in lines if line.partition(" = ")[0] in TO_CHANGE]
    assert mine
    assert all("# change: " in line for line in mine)


@pytest.mark.parametrize("name", ["kitchen", "bathroom", "detached-garage"])
def test_a_partial_job_needs_no_dwelling(name: str) -> None:
    job = parse_job(new_job("A house", name).encode())
    assert job.dwelling is None
    assert all((job.circuits, job.boxes, job.rooms))
    assert job.scope is not None
