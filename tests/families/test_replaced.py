"""Replaced receptacles, 406.4(D)(3) to (6): what today's rule asks for at their place (EC&M 2011 changes; IAEI Magazine)."""

from __future__ import annotations

from pathlib import Path

import pytest

from calc.families import branch_circuits
from calc.job import read_job
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.runs import failing, job, toml
from tests.families.test_branch_circuits import EDITIONS, PANEL, circuit

ALL = {"ground_fault", "arc_fault", "tamper_resistant", "weather_resistant"}
# what each place asks for, in every edition but where said: 210.8(A), 210.12, 406.12, 406.9
NEEDED = {
    "bedroom": {"arc_fault", "tamper_resistant"},
    "bathroom": {"ground_fault", "tamper_resistant"},
    "garage": {"ground_fault", "tamper_resistant"},
    "outdoors": {"ground_fault", "tamper_resistant", "weather_resistant"},
    "laundry": {"ground_fault", "arc_fault", "tamper_resistant"},
    "storage": {"tamper_resistant"},
}


def room(use: str, said: str, more: str = "", edition: str = "2023", **keys: object) -> Sheet:
    """The sheet of the replaced receptacles of one room, its receptacle as said."""
    text = toml("rooms", name="R", use=use, **keys) + f'outlets = [{{ status = "replaced"{said} }}]\n' + more
    made = job(text, edition)
    (s,) = (s for s in branch_circuits.work(House.of(made)) if s.title == "Replaced receptacles")
    s.as_json()
    return s


def keys(found: set[str]) -> set[str]:
    return {f"replaced_{need}[R]" for need in found}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("use", NEEDED)
def test_what_a_place_asks_for_today_is_asked_of_the_replaced_receptacle(use: str, edition: str) -> None:
    """Said to be without: falls short. Not said: not shown. Said to have it: passes."""
    without = room(use, "".join(f", {need} = false" for need in ALL), edition=edition)
    assert failing(without) == keys(NEEDED[use])
    silent = room(use, "", edition=edition)
    assert ({u.key for u in silent.unknowns}, silent.status) == (keys(NEEDED[use]), "not shown")
    assert room(use, "".join(f", {need} = true" for need in ALL), edition=edition).passes


@pytest.mark.parametrize(
    ("breaker", "left"), [("dual-function", set()), ("arc-fault", {"ground_fault"}), ("ground-fault", {"arc_fault"})]
)
def test_the_breaker_may_have_the_protection(breaker: str, left: set[str]) -> None:
    text = PANEL + circuit(purpose="general", status="existing", rooms=["R"], breaker_type=breaker, load_va=300)
    s = room("laundry", ', circuit = "C", ground_fault = false, arc_fault = false, tamper_resistant = true', text)
    assert failing(s) == keys(left)


def test_a_rule_that_nobody_confirmed_stands_as_a_refusal_on_the_sheet(tmp_path: Path) -> None:
    """An office's amendment that calls the list of places unconfirmed: not worked, never a fault of ours."""
    (tmp_path / "local.toml").write_text(
        'title = "Local"\ninherits = "2023"\n[rules.ground_fault_places]\nconfidence = "U"\nunconfirmed = "not adopted yet"\n'
    )
    path = tmp_path / "job.toml"
    path.write_text('[code]\nedition = "2023"\namendments = ["local.toml"]\n[job]\nname = "old"\n'
                    + toml("rooms", name="R", use="garage") + 'outlets = [{ status = "replaced" }]\n')  # fmt: skip
    house = House.of(read_job(path))
    (s,) = (s for s in branch_circuits.work(house) if s.title == "Replaced receptacles")
    assert s.status == "not worked"


def test_where_shutters_are_not_asked_for() -> None:
    """Over 5-1/2 ft, in a dedicated space, and one without ground in place of such a one."""
    for free in ("height_in = 70", "dedicated = true", "grounded = false, two_slots = true"):
        assert not failing(room("storage", f", tamper_resistant = false, {free}"))
    assert failing(room("storage", ", tamper_resistant = false, height_in = 66"))
    three = room("storage", ", tamper_resistant = false, ground_fault = true, grounded = false, two_slots = false")
    assert failing(three) == keys({"tamper_resistant"})


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("two_slots = true", "passes"),
        ("two_slots = true, ground_fault = false", "passes"),
        ("two_slots = false, ground_fault = true", "passes"),
        ("two_slots = false, ground_fault = false", "falls short"),
        ("two_slots = false", "not shown"),
        ("ground_fault = false", "not shown"),
        ("weather_resistant = false", "not shown"),
    ],
)
def test_where_no_ground_reaches_a_receptacle_has_two_slots_or_protects(edition: str, said: str, status: str) -> None:
    """406.4(D)(2): a ground hole that leads nowhere is no replacement, whatever the room asks for."""
    found = room("storage", f", grounded = false, tamper_resistant = true, {said}", edition=edition)
    assert found.status == status
    assert failing(found) == ({"replaced_without_ground[R]"} if status == "falls short" else set())


@pytest.mark.parametrize(("edition", "asked"), [("2017", False), ("2020", True), ("2023", True), ("2026", True)])
def test_a_service_receptacle_that_is_replaced(edition: str, asked: bool) -> None:
    """210.8(E) holds for it too."""
    s = room(
        "storage", ', purpose = "equipment-service", ground_fault = false, tamper_resistant = true', edition=edition
    )
    assert (failing(s) == keys({"ground_fault"})) is asked


def test_a_basement_of_unknown_finish_is_not_shown() -> None:
    s = room("basement", ", ground_fault = false, arc_fault = false, tamper_resistant = true", edition="2017")
    assert {u.missing for u in s.unknowns} == {"whether R is finished (finished)"}


def test_the_circuit_does_not_say_that_nothing_is_required() -> None:
    """The circuit as a whole is old; its replaced receptacle is not."""
    made = job(PANEL + circuit(purpose="general", status="existing", rooms=["R"], load_va=300)
               + toml("rooms", name="R", use="bedroom") + 'outlets = [{ status = "replaced", circuit = "C" }]\n')  # fmt: skip
    s = next(s for s in branch_circuits.work(House.of(made)) if s.subject == "C")
    assert s.results["arc_fault"] == "not of the whole circuit: see its replaced receptacles"
