"""Names that stand without being entered, and loads that are on the circuit of their name."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from calc.families import branch_circuits, fault_current, voltage_drop
from calc.job import Job, JobError, changed, parse_job, read_job
from calc.wiring.house import House
from calc.wiring.tree import panel_of

SAMPLES = Path(__file__).parents[1] / "samples"
HEAD = '[code]\nedition = "2023"\n[job]\nname = "House"\n'
RUN = '[[runs]]\nname = "R"\nrole = "branch"\ncable = "12/2"\nlength_ft = 110\ncalculated_a = 16\nvolts = 120\n'
FAULT = "[fault]\ntransformer_kva = 25\nimpedance_pct = 2\n"
PANEL = '[[panels]]\nname = "P"\nfed_from = "utility"\n'


def job(text: str) -> Job:
    return parse_job((HEAD + text).encode())


@pytest.mark.parametrize("supply", ["", 'fed_from = "Panel"\n', 'fed_from = "main panel"\n', 'fed_from = "Utility"\n'])
def test_a_run_alone_needs_no_panel_entered(supply: str) -> None:
    one = job(RUN + supply)
    (sheet,) = voltage_drop.work(House.of(one))
    assert sheet["drop_v"] == 6.7936  # 2 x 16 A x 0.110 kft x 1.93 ohm/kft
    told = any("What feeds R is not said" in text for _, text in sheet.remarks)
    assert told == ("Utility" not in supply)
    assert one.data["runs"][0].get("fed_from", "") == supply[12:-2]  # as the person wrote it


def test_a_name_of_a_panel_is_that_of_one_as_soon_as_panels_are_entered() -> None:
    with pytest.raises(JobError, match="is not the name of any of panels or runs"):
        job(PANEL + RUN + 'fed_from = "Panel"\n')
    nominal = job(RUN + 'fed_from = "Panel"\n')
    with pytest.raises(JobError, match="is not the name of any of panels or runs"):
        changed(nominal, {"panels": [{"name": "P"}]})
    assert changed(nominal, {"panels": [{"name": "Panel"}]}).runs[0].fed_from == "Panel"
    back = changed(changed(nominal, {"panels": [{"name": "Panel"}]}), {"panels": None})
    assert back.runs[0].fed_from is None


def test_a_place_in_a_panel_needs_the_panel() -> None:
    circuit = '[[circuits]]\nname = "C"\npanel = "Panel"\npurpose = "general"\n'
    assert job(circuit).circuits[0].panel is None
    with pytest.raises(JobError, match="the job has no panels"):
        job(circuit + "positions = [1]\n")


def test_what_may_flow_at_a_run_whose_beginning_is_not_said_is_not_shown() -> None:
    sheet = fault_current.work(House.of(job(FAULT + RUN)))[-1]
    assert sheet.status == "not shown"
    assert sheet.refused is not None
    assert "doesn't say where it begins" in sheet.refused.reason


def test_a_drop_that_is_required_from_the_service_on_is_not_shown_without_what_lies_ahead(tmp_path: Path) -> None:
    shutil.copy(SAMPLES / "amendments" / "drop-required.toml", tmp_path)
    head = HEAD.replace("[job]", 'amendments = ["drop-required.toml"]\n[job]')
    for supply, status in (("", "not shown"), ('fed_from = "utility"\n', "passes")):
        (tmp_path / "house.toml").write_text(head + RUN.replace("110", "30") + supply)
        (sheet,) = voltage_drop.work(House.of(read_job(tmp_path / "house.toml")))
        assert sheet.status == status


def test_a_load_is_on_the_circuit_of_its_name_unless_it_names_another() -> None:
    text = PANEL + '[[circuits]]\nname = "Charger"\npanel = "P"\npurpose = "individual"\npoles = 2\n'
    text += '[[circuits]]\nname = "Other"\npurpose = "individual"\npoles = 2\n'
    text += '[[loads]]\nname = "Charger"\nkind = "charger"\nvolts = 240\nload_va = "7.7 kW"\n'
    by_name, stated = job(text), job(text + 'circuit = "Other"\n')
    assert panel_of(by_name, by_name.loads[0]) == "P"
    assert panel_of(stated, stated.loads[0]) is None
    for one, circuit, told in ((by_name, "Charger", True), (stated, "Other", False)):
        sheet = next(s for s in branch_circuits.work(House.of(one)) if s.subject == circuit)
        assert sheet["load_va"] == 7700
        assert any("is called as this one" in text for _, text in sheet.remarks) == told


def test_two_circuits_of_one_name_are_not_guessed_between() -> None:
    circuit = '[[circuits]]\nname = "Charger"\npurpose = "individual"\n'
    with pytest.raises(JobError, match="as in circuits"):
        job(circuit + circuit)
