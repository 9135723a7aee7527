"""Silence is no pass: what nobody entered is asked for."""

from __future__ import annotations

import pytest

from calc.job import changed
from calc.verdict.standing import standing
from tests.verdict.left_out import asked, house_in_order, silently_lost, unexplained

HOUSE = house_in_order()
EACH = 29
"""Every so-many-th entry is taken out here, and each one by python -m tests.verdict.left_out."""


@pytest.mark.parametrize("at", asked(HOUSE)[::EACH])
def test_an_entry_left_out_takes_no_check_with_it_unsaid(at: str) -> None:
    assert not unexplained(at, silently_lost(HOUSE, at))


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("runs[3].burial_in", "how deep R3 workshop lies"),
        ("runs[1].location", "whether R1 service lies in the earth"),
        ("runs[3].location", "whether R3 workshop lies in the earth"),
        ("runs[4].wiring_method", "the raceway around the THWN-2 conductors of R4 vehicle supply"),
        ("circuits[17].rooms", "the rooms that it serves"),
        ("boxes[8].cables", "No conductor is said to be in this box"),
        ("boxes[8].internal_clamps", "whether cable clamps are inside it"),
        ("grounding.gas_piping", "what gas piping there is"),
        ("grounding.water_piping", "what the water piping is"),
        ("grounding.intersystem_bonding", "whether it is there (intersystem_bonding)"),
        ("grounding.electrodes[1].length_ft", "the length of the concrete-encased electrode"),
        ("buildings[1].electrodes[1].spacing_ft", "the distance between the rods"),
        ("stairs", "[[stairs]] between its storeys"),
    ],
)
def test_what_a_house_in_order_lacks_is_not_shown_and_named(at: str, says: str) -> None:
    found = standing(HOUSE.after(changed(HOUSE.whole_job, {at: None})))
    assert found.status == "not shown"
    assert any(says in each.what for each in found.open)


def test_a_circuit_known_by_its_outlets_alone_is_held_to_what_they_tell() -> None:
    """Two circuits at the counter, by the outlets that name them; with those gone too, their rooms are asked for."""
    bare = changed(HOUSE.whole_job, {f"circuits[{n}].rooms": None for n in (1, 2, 3)})
    assert standing(HOUSE.after(bare)).passes
    outlets = {"rooms[2].outlets": None} | {f"rooms[2].counters[{n}].outlets": None for n in (1, 2, 3)}
    found = standing(HOUSE.after(changed(bare, outlets)))
    assert any("which rooms Kitchen left serves" in each.what for each in found.open)
