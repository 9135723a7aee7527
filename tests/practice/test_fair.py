"""Fair marking, line by line: exact counts and cells, honest rounding, units as they are meant, sizes larger than asked."""

from __future__ import annotations

import pytest

from calc.job import parse_job
from calc.practice import mark, question_from_job
from calc.practice.lesson import Again
from tests.practice.test_hand_marked import LIGHTS, PIPE, SERVICE, SHOP

DROP = SHOP.replace("calculated_a = 40", "calculated_a = 41")
TANK = """
[[panels]]
name = "Main"
fed_from = "utility"
[[circuits]]
name = "C"
panel = "Main"
purpose = "individual"
poles = 2
[[loads]]
name = "Tank"
kind = "water-heater"
load_va = {}
volts = 240
circuit = "C"
"""


@pytest.mark.parametrize(
    ("family", "job", "subject", "key", "answer", "verdict", "said"),
    [
        # exact where there is one right answer
        ("receptacles", "ROOM", "", "fewest_needed", "3.75", "wrong", ""),
        ("grounding", SERVICE.format("aluminum", "4/0"), "", "electrodes_count", "2.6", "wrong", ""),
        ("raceway", PIPE.format(20), "", "limit_pct", "40.3", "wrong", ""),
        # honest rounding, whole amperes and percents among it
        ("branch-circuits", TANK.format(4550), "", "load_a", "19", "right", ""),
        ("branch-circuits", TANK.format(4500), "", "design_a", "24", "wrong", ""),
        ("raceway", PIPE.format(20), "", "fill_pct", "29.5", "right", ""),
        # a longest length rounds down
        ("voltage-drop", DROP, "Shop", "max_length_ft", "178", "right", ""),
        ("voltage-drop", DROP, "Shop", "max_length_ft", "179", "wrong", ""),
        # rounded over a limit: 15.1 A is not 15 A where a breaker is to be chosen
        ("branch-circuits", TANK.format(2899), "", "design_a", "15", "wrong", "a limit lies between"),
        ("branch-circuits", TANK.format(2899), "", "design_a", "15.1", "right", ""),
        # units are read as what they are, and told where they were forgotten
        ("raceway", PIPE.format(20), "", "limit_pct", "0.4", "right", "write the unit"),
        ("raceway", PIPE.format(20), "", "limit_pct", "40 %", "right", "Right."),
        ("branch-circuits", TANK.format(4500), "", "load_va", "4.5", "right", "read as kVA"),
        ("branch-circuits", TANK.format(4500), "", "load_va", "4.5 kW", "right", "Right."),
        ("voltage-drop", DROP, "Shop", "length_kft", "145", "right", "read as ft"),
        ("voltage-drop", DROP, "Shop", "max_length_ft", "178 ft 6 in", "right", "Right."),
        # larger than asked is right where the rule says 'at least', and said
        ("grounding", SERVICE.format("aluminum", "4/0"), "", "water_bond", "1/0", "right", "larger than asked: 4 AWG is enough"),
        ("grounding", SERVICE.format("aluminum", "4/0"), "", "electrode_conductor[rods]", "8", "slip", "smallest size of the table"),
        # a wrong size is told what it leads to
        ("voltage-drop", DROP, "Shop", "size_for_limit", "2", "wrong", "is at most 3 %"),
    ],
)  # fmt: skip
def test_marked_as_a_fair_teacher_would(
    family: str, job: str, subject: str, key: str, answer: str, verdict: str, said: str
) -> None:
    from tests.practice.test_hand_marked import FAMILY_ROOM

    text = f'[code]\nedition = "2023"\n[job]\nname = "J"\n{FAMILY_ROOM if job == "ROOM" else job}'
    asked = question_from_job(family, parse_job(text.encode()), subject)
    (one,) = [each for each in mark(asked, {key: answer}) if each.key == key]
    assert (one.verdict, said in one.told) == (verdict, True), one


def test_a_rounded_number_is_carried_as_it_was_written() -> None:
    """19 A for 18.96 A is right, and so is what follows from 19."""
    asked = question_from_job(
        "branch-circuits", parse_job(f'[code]\nedition = "2023"\n[job]\nname = "J"\n{TANK.format(4550)}'.encode())
    )
    marked = mark(asked, {"load_a": "19", "design_a": "23.75"})
    assert [one.verdict for one in marked if one.given] == ["right", "right"]


def test_two_slips_in_one_answer_are_both_seen() -> None:
    """One way, and by the breaker: half of the drop times 60 over 41."""
    asked = question_from_job(
        "voltage-drop", parse_job(f'[code]\nedition = "2023"\n[job]\nname = "J"\n{DROP}'.encode()), "Shop"
    )
    (one,) = [each for each in mark(asked, {"drop_v": "4.27"}) if each.given]
    assert (one.verdict, one.slip) == ("slip", "one_way and breaker_amperes")
    assert one.told.startswith("Two slips at once.")


def test_a_carried_number_changes_its_own_run_alone() -> None:
    """A wrong drop of the circuit leaves the feeder's drop, which has a line of the same key, as it was."""
    asked = question_from_job(
        "voltage-drop", parse_job(f'[code]\nedition = "2023"\n[job]\nname = "J"\n{LIGHTS}'.encode()), "Lights"
    )
    feeder = Again(asked).numbers["total_drop_pct"] - Again(asked).numbers["drop_pct"]
    again = Again(asked, {"drop_v": 6.0})
    assert again.numbers["total_drop_pct"] == pytest.approx(feeder + 5)
