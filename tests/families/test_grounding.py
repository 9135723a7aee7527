"""Electrodes, their conductors, and the four bonds of a service."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.codebook import editions, open_codebook
from calc.families import families
from calc.wiring.house import House
from calc.work import Missing
from tests.families.runs import LUGS_75, failing, job, run, toml, worked

MARROW_CREEK = Path(__file__).parents[2] / "notebooks" / "jobs" / "amendments" / "marrow-creek.toml"

HOUSE = '[dwelling]\nkind = "one-family"\nstatus = "{}"\n'


def grounded_text(size: str = "4/0", metal: str = "aluminum", sets: int = 1, *, status: str = "new",
                  electrodes: tuple[str, ...] = (), **keys: Any) -> str:  # fmt: skip
    """A job with a service and its earth; an electrode is 'kind' or 'kind, key = value, ...'."""
    service = run(role="service", size=size, material=metal, sets=sets, calculated_a=90, breaker_a=100, neutral=None,
                  insulation="XHHW-2", **LUGS_75)  # fmt: skip
    grounding = "[grounding]\n" + "".join(
        f"{key} = {value!r}\n".replace("True", "true").replace("False", "false") for key, value in keys.items()
    )
    for electrode in electrodes:
        kind, _, more = electrode.partition(",")
        grounding += f'[[grounding.electrodes]]\nkind = "{kind}"\n' + "".join(
            f"{part}\n" for part in more.split(",") if part
        )
    return HOUSE.format(status) + service + grounding


def grounded(*args: Any, edition: str = "2023", **keys: Any) -> Any:
    """The grounding sheet of a service."""
    return worked(grounded_text(*args, **keys), edition, "grounding", "test")


@pytest.mark.parametrize("kind", ["footing", "ring", "structural-metal"])
def test_some_electrodes_need_no_company(kind: str) -> None:
    """250.53(A)(2) asks it of rods, pipes and plates, 250.53(D)(2) of a water pipe."""
    assert grounded(electrodes=(kind,)).results["supplement"] == "none asked for"
    for other in ("rod,count=2", "water-pipe"):
        assert "supplement" not in grounded(electrodes=(kind, other)).results


@pytest.mark.parametrize(
    ("size", "metal", "sets", "table"),
    [
        ("2", "copper", 1, "8"), ("1", "copper", 1, "6"), ("1/0", "copper", 1, "6"), ("2/0", "copper", 1, "4"),
        ("3/0", "copper", 1, "4"), ("4/0", "copper", 1, "2"), ("350", "copper", 1, "2"), ("400", "copper", 1, "1/0"),
        ("600", "copper", 1, "1/0"), ("700", "copper", 1, "2/0"), ("600", "copper", 3, "3/0"),
        ("1/0", "aluminum", 1, "8"), ("2/0", "aluminum", 1, "6"), ("3/0", "aluminum", 1, "6"), ("4/0", "aluminum", 1, "4"),
        ("250", "aluminum", 1, "4"), ("300", "aluminum", 1, "2"), ("4/0", "aluminum", 2, "2"),
    ],
)  # fmt: skip
def test_the_conductor_to_a_water_pipe_by_the_ungrounded_conductors(
    size: str, metal: str, sets: int, table: str
) -> None:
    """The table begins at 2 Cu and 1/0 Al, and parallel sets count together."""
    assert (
        grounded(size, metal, sets, electrodes=("water-pipe", "rod,count=2")).results["electrode_table[copper]"]
        == table
    )


def test_each_electrode_has_its_ceiling() -> None:
    """400 A service of two sets of 4/0 Al: water pipe 2, footing 4, rods 6 AWG copper; a ring takes the table's."""
    found = grounded(sets=2, electrodes=("water-pipe", "footing", "rod,count=2", "ring")).results
    assert found["electrode_conductor[water pipe]"] == "2 AWG"
    assert found["electrode_conductor[concrete-encased electrode]"] == "4 AWG"
    assert found["electrode_conductor[rods]"] == "6 AWG"
    assert found["electrode_conductor[ground ring]"] == "2 AWG"


def test_a_ceiling_does_not_hold_where_the_conductor_runs_on() -> None:
    """A conductor to rods that goes on to the footing is 4 AWG, on to the water pipe 2 AWG."""
    rods = "rod,count=2,continues_to='{}'"
    for onward, size in [("footing", "4 AWG"), ("water-pipe", "2 AWG"), ("rod", "6 AWG")]:
        found = grounded(sets=2, electrodes=("water-pipe", "footing", rods.format(onward))).results
        assert found["electrode_conductor[rods]"] == size


def test_a_ceiling_never_enlarges() -> None:
    """1/0 Al service: 8 AWG by the table, to a footing and to rods as well; it has to be protected, which is a marked value."""
    sheet = grounded("1/0", electrodes=("footing", "rod,count=2"))
    assert sheet.results["electrode_conductor[concrete-encased electrode]"] == "8 AWG"
    assert sheet.results["electrode_conductor[rods]"] == "8 AWG"
    assert any("raceway or armor" in caution for caution in sheet.cautions)
    assert any(key.startswith("protection") for key in sheet.results["from_memory"])
    protected = grounded("1/0", electrodes=("footing,protected=true",))
    assert not any("raceway or armor" in caution for caution in protected.cautions)


def test_a_conductor_that_is_too_small_falls_short() -> None:
    """6 AWG to a concrete-encased electrode behind 4/0 Al is a rod's ceiling taken for a footing's."""
    assert failing(grounded(electrodes=("footing,conductor=6",))) == {"electrode_serves[concrete-encased electrode]"}
    assert not failing(grounded(electrodes=("footing,conductor=4",)))


def test_rods_alone_come_in_twos_and_beside_a_footing_not_at_all() -> None:
    assert failing(grounded(electrodes=("rod",))) == {"rod_supplemented"}
    assert not failing(grounded(electrodes=("rod,count=2",)))
    assert not failing(grounded(electrodes=("rod,resistance_ohm=25",)))
    assert failing(grounded(electrodes=("rod,resistance_ohm=25.5",))) == {"rod_supplemented"}
    assert not failing(grounded(electrodes=("footing",)))
    assert not failing(grounded(electrodes=("footing", "rod")))


@pytest.mark.parametrize(
    ("electrodes", "short"),
    [(("rod",), True), (("rod,resistance_ohm=10",), True), (("footing", "rod"), True), (("footing", "rod,count=2"), False),
     (("footing",), False)],
)  # fmt: skip
def test_an_office_may_ask_for_two_rods_always(electrodes: tuple[str, ...], short: bool) -> None:
    """By the invented amendments two rods are driven wherever one is: neither a low resistance nor a footing lets one off."""
    text = grounded_text(electrodes=electrodes)
    made = job(text)
    (sheet,) = (
        s
        for s in families()["grounding"].work(House(made, open_codebook("2023", [MARROW_CREEK])))
        if s.subject == "test"
    )
    assert (failing(sheet) == {"rod_supplemented"}) is short
    assert [note for note in sheet.as_json()["notes"] if note["kind"] == "amended"]


def test_a_water_pipe_needs_company_and_is_none() -> None:
    assert failing(grounded(electrodes=("water-pipe",))) == {"water_pipe_supplemented"}
    assert failing(grounded(electrodes=("water-pipe", "rod"))) == {"rod_supplemented"}
    assert not failing(grounded(electrodes=("water-pipe", "rod,count=2")))


def test_every_electrode_that_is_there_is_used() -> None:
    """A concrete-encased electrode left out falls short in a new house; in old concrete out of reach it is let off."""
    left_out = "footing,used=false"
    assert failing(grounded(electrodes=(left_out, "rod,count=2"))) == {"all_used[concrete-encased electrode]"}
    buried = f"{left_out},accessible=false"
    assert failing(grounded(electrodes=(buried, "rod,count=2"))) == {"all_used[concrete-encased electrode]"}
    assert not failing(grounded(status="existing", electrodes=(buried, "rod,count=2")))
    assert "electrode_there" in failing(grounded())


@pytest.mark.parametrize(
    ("kind", "key", "least"),
    [("rod,count=2", "length_ft", 8), ("footing", "length_ft", 20), ("ring", "length_ft", 20), ("rod,count=2", "spacing_ft", 6)],
)  # fmt: skip
def test_lengths_and_distances(kind: str, key: str, least: float) -> None:
    assert not failing(grounded(electrodes=(f"{kind},{key}={least}",)))
    assert len(failing(grounded(electrodes=(f"{kind},{key}={least - 0.5}",)))) == 1


def test_ten_feet_of_water_pipe_make_an_electrode() -> None:
    assert failing(grounded(electrodes=("water-pipe,length_ft=9", "rod,count=2"))) == {"long_enough[water pipe]"}


def test_bonds_are_four_different_things() -> None:
    """4/0 Al: main and supply-side jumper 4 AWG copper, water 4 AWG, gas 14 AWG by its 15 A circuit."""
    found = grounded(electrodes=("footing",), water_piping="metal", gas_piping="steel", gas_circuit_a=15,
                     intersystem_bonding=True).results  # fmt: skip
    assert found["main_bonding_jumper"] == found["supply_side_bonding_jumper"] == "4 AWG"
    assert found["water_bond"] == "4 AWG"
    assert found["gas_bond"] == "14 AWG"


def test_corrugated_gas_tubing_and_plastic_water_pipe() -> None:
    found = grounded(electrodes=("footing",), water_piping="plastic", gas_piping="csst").results
    assert found["water_bond"] == "none: plastic piping"
    assert found["gas_bond"] == "6 AWG"


@pytest.mark.parametrize(
    ("edition", "section"), [("2017", "250.53(G)"), ("2020", "250.53(A)(4)"), ("2023", "250.53(A)(4)")]
)
def test_a_rod_is_in_the_soil_for_eight_feet(edition: str, section: str) -> None:
    """How much of a rod is in contact with the soil stands with its installation, not with what a rod is."""
    sheet = grounded(edition=edition, electrodes=("rod,count=2,length_ft=8",))
    check = next(check for check in sheet.as_json()["checks"] if check["key"].startswith("long_enough"))
    assert check["sections"] == [section]


def test_beyond_the_table_a_jumper_is_a_share_of_the_area_and_no_ceiling_holds() -> None:
    """Three sets of 600 kcmil copper: 1,800,000 x 12.5 % = 225,000 cmil, 250 kcmil; water piping stops at 3/0."""
    found = grounded("600", "copper", 3, electrodes=("footing",), water_piping="metal").results
    assert found["main_bonding_jumper_cmil"] == 225_000
    assert found["main_bonding_jumper"] == "250 kcmil"
    assert found["water_bond"] == "3/0 AWG"
    older = grounded("600", "copper", 3, edition="2017", electrodes=("footing",), water_piping="metal").results
    assert older["water_bond"] == "250 kcmil", "no largest bond is taken for 2017"
    refused = grounded("750", "aluminum", 3, electrodes=("footing",)).refused
    assert refused
    assert "same ampacity" in refused.reason


@pytest.mark.parametrize(
    ("key", "good", "bad"),
    [("main_bonding_jumper", "4", "6"), ("supply_side_bonding_jumper", "4", "6"), ("water_bond", "4", "6"), ("gas_bond", "12", "14")],
)  # fmt: skip
def test_given_bonds_are_checked(key: str, good: str, bad: str) -> None:
    plain = {"water_piping": "metal", "gas_piping": "steel", "gas_circuit_a": 20}
    assert not failing(grounded(electrodes=("footing",), **plain | {key: good}))
    assert failing(grounded(electrodes=("footing",), **plain | {key: bad})) == {f"{key}_serves"}


def test_a_missing_intersystem_termination_falls_short() -> None:
    assert failing(grounded(electrodes=("footing",), intersystem_bonding=False)) == {"intersystem_there"}


def test_a_separate_building_has_its_own_electrodes() -> None:
    """Fed by a 60 A feeder: electrodes needed, 8 AWG by the table; fed by one branch circuit: none needed."""
    building = toml("buildings", name="Shop", kind="workshop") + toml("panels", name="Sub", building="Shop")
    feeder = run(size="6", calculated_a=40, breaker_a=60, feeds="Sub", neutral=True, **LUGS_75)
    bare = worked(building + feeder, family="grounding", subject="Shop")
    assert "electrode_there" in failing(bare)
    with_rods = building.replace("[[panels]]", '[[buildings.electrodes]]\nkind = "rod"\ncount = 2\n[[panels]]')
    sheet = worked(with_rods + feeder, family="grounding", subject="Shop")
    assert not failing(sheet)
    assert sheet.results["electrode_conductor[rods]"] == "8 AWG"
    branch = feeder.replace('role = "feeder"', 'role = "branch"')
    assert not failing(worked(building + branch, family="grounding", subject="Shop"))


def test_without_the_service_conductors_nothing_is_guessed() -> None:
    text = run(role="service", calculated_a=600, neutral=None, **LUGS_75) + "[grounding]\n"
    refused = worked(text, family="grounding", subject="test").refused
    assert refused
    assert "Without the conductors of R" in refused.reason


def test_what_the_job_lacks() -> None:
    from calc.families import grounding
    from tests.families.runs import job

    assert grounding.needs(job("")) == ["a [grounding] part with its electrodes"]
    assert grounding.needs(job("[grounding]\n")) == ["one of the [[runs]] of role service"]


def test_a_changed_digit_on_a_sheet_does_not_replay() -> None:
    from calc.codebook.tables import FOLDER
    from tests.replay.mutations import assert_mutations_caught

    sheet = grounded(
        "600", "copper", 3, electrodes=("water-pipe,conductor=2", "footing", "rod,count=2"), water_piping="metal"
    )
    assert assert_mutations_caught(sheet.as_json(), FOLDER) > 25


def test_two_entries_of_one_kind_are_told_apart() -> None:
    """Two entries of rods, of footings and of unused pipes: a line each, numbered, on one sheet."""
    sheet = grounded(electrodes=("rod,length_ft=8", "rod,length_ft=7", 'footing,length_ft=20,seen_by="A"',
                                 'footing,length_ft=20,seen_by="B"', "water-pipe,used=false", "water-pipe,used=false"))  # fmt: skip
    assert {"long_enough[rods 2]", "all_used[water pipe 1]", "all_used[water pipe 2]"} <= failing(sheet)
    assert "long_enough[rods 1]" not in failing(sheet)
    assert sheet.results["footing_seen[concrete-encased electrode 2]"] == "B"


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize("kind", ["footing", "rod", "pipe", "plate", "ring"])
def test_an_electrode_in_earth_or_concrete_is_reached_in_copper(kind: str, edition: str) -> None:
    """Aluminum may not lie bare in earth or concrete, nor end within 18 in of the earth; a water pipe may have it."""
    inside = "length_ft = 30, count = 2"
    sheet = grounded(electrodes=(f'{kind}, material = "aluminum", {inside}', "water-pipe"), edition=edition)
    assert any(key.startswith("aluminum_off_earth") for key in failing(sheet))
    copper = grounded(electrodes=(f"{kind}, {inside}", 'water-pipe, material = "aluminum"'), edition=edition)
    assert not any(key.startswith("aluminum_off_earth") for key in failing(copper))


def test_two_sets_of_service_conductors_are_added_up() -> None:
    """Two mains of 200 A with 4/0 aluminum each: 423,200 cmil, so 2 AWG copper to a water pipe as for two sets in one run."""
    text = grounded_text(electrodes=("water-pipe", "rod, count = 2"))
    second = run(name="R2", role="service", size="4/0", material="aluminum", calculated_a=90, breaker_a=100, neutral=None,
                 insulation="XHHW-2", **LUGS_75)  # fmt: skip
    both = worked(text.replace("[grounding]", second + "[grounding]"), family="grounding", subject="test")
    alone = grounded(sets=2, electrodes=("water-pipe", "rod, count = 2"))
    assert both.results["ungrounded_cmil"] == alone.results["ungrounded_cmil"] == 2 * 211600
    for key in ("electrode_conductor[water pipe]", "supply_side_bonding_jumper"):
        assert both.results[key] == alone.results[key] == "2 AWG"
    mixed = text.replace("[grounding]", second.replace("aluminum", "copper") + "[grounding]")
    refused = worked(mixed, family="grounding", subject="test").refused
    assert refused
    assert "copper and of aluminum" in refused.reason


def test_what_a_run_lacks_is_missing_for_what_rests_on_it() -> None:
    """A service run without cable or insulation: grounding and drop name the same entry."""
    text = (
        grounded_text(electrodes=("rod, count = 2",))
        .replace('insulation = "XHHW-2"\n', "")
        .replace('size = "4/0"\n', "")
    )
    refused = worked(text + "", family="grounding", subject="test").refused
    assert isinstance(refused, Missing)
    assert refused.at == "runs[1].cable"
    drop = worked(text.replace("[[runs]]\n", "[[runs]]\nlength_ft = 20\n"), family="voltage-drop").refused
    assert isinstance(drop, Missing)
    assert drop.at == "runs[1].cable"


def test_a_jumper_beyond_the_conductor_table_is_not_worked() -> None:
    """12 sets of 750 kcmil copper ask for 12.5 % of 9,000 kcmil: more than the table's largest conductor."""
    sheet = grounded("750", "copper", 12, electrodes=("rod,count=2,length_ft=8,spacing_ft=6",))
    assert "larger than the conductor table" in sheet.refused.reason
