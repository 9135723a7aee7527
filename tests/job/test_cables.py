"""Cables are read as the trade says them; what nobody makes is refused with what is made."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.job import SIZES, made_cables, parse_conductors, parse_size


@pytest.mark.parametrize(
    ("said", "kind", "material", "wires", "ground"),
    [
        ("12/2 with ground", "NM", "copper", ["12", "12"], ["12"]),
        ("12-2 w/G", "NM", "copper", ["12", "12"], ["12"]),
        ("NM-B 12-2 w/ ground", "NM", "copper", ["12", "12"], ["12"]),
        ("14/3", "NM", "copper", ["14", "14", "14"], ["14"]),
        ("10/2 without ground", "NM", "copper", ["10", "10"], []),
        ("12/2 UF", "UF", "copper", ["12", "12"], ["12"]),
        ("MC 12/2", "MC", "copper", ["12", "12"], ["12"]),
        ("4/0-4/0-4/0-2/0 SER Al", "SER", "aluminum", ["4/0", "4/0", "4/0"], ["2/0"]),
        ("4/0-4/0-2/0 SEU Aluminum", "SEU", "aluminum", ["4/0", "4/0", "2/0"], []),
        ("3 x 6 THHN + 10 ground", "THHN", "copper", ["6", "6", "6"], ["10"]),
        ("3 × 6 AWG THHN + 1 x 10 bare ground", "THHN", "copper", ["6", "6", "6"], ["10"]),
        ("2 x 500 kcmil XHHW-2 + 350 neutral + 3 ground Al", "XHHW-2", "aluminum", ["500", "500", "350"], ["3"]),
        ("2/0-2/0-1-6 USE-2 Al", "USE-2", "aluminum", ["2/0", "2/0", "1"], ["6"]),
        ("4 x 12", "", "copper", ["12"] * 4, []),
        ("12 ground", "", "copper", [], ["12"]),
    ],
)
def test_cables_and_sets_as_the_trade_says_them(
    said: str, kind: str, material: str, wires: list[str], ground: list[str]
) -> None:
    got = parse_conductors(said)
    assert (got.kind, got.material, list(got.wires), list(got.ground)) == (kind, material, wires, ground)
    assert str(got) == said


@pytest.mark.parametrize("said", ["8/3", "8/3 NM", "6/3 with ground", "6/2 NM"])
def test_large_nm_carries_a_10_awg_ground(said: str) -> None:
    """trade-notes row 21: NM 8/3 and 6/3 carry a 10 AWG equipment grounding conductor."""
    assert parse_conductors(said).ground_size == "10"


def test_nm_4_3_carries_an_8_awg_ground() -> None:
    """Maker's page for NM-B 4 AWG, three conductors: one 8 AWG ground."""
    assert parse_conductors("4/3 NM").ground_size == "8"


def test_the_ser_ground_is_sized_as_a_neutral() -> None:
    """CB-07: a 4/0 aluminum set has a 2/0 bare conductor."""
    assert parse_conductors("4/0-4/0-4/0-2/0 SER Al").ground_size == "2/0"


def test_copper_ser_has_a_5_awg_ground_in_its_3_awg_set() -> None:
    """CB-08: copper SER includes 3 AWG and a 5 AWG bare conductor."""
    assert parse_conductors("3-3-3-5 SER Cu").ground_size == "5"


def test_nm_stops_at_2_awg_without_3_or_1() -> None:
    """CB-01: the range is 14, 12, 10, 8, 6, 4, 2 AWG; CB-03: above 6 AWG with three conductors only."""
    nm = {(c.wires[0], len(c.wires)) for c in made_cables() if c.kind == "NM"}
    assert {size for size, _ in nm} == {"14", "12", "10", "8", "6", "4", "2"}
    assert {number for size, number in nm if size in ("4", "2")} == {3}


def test_a_count_says_how_many_cables() -> None:
    got = parse_conductors("3 x 12/2 with ground")
    assert (got.count, got.cable, got.wires) == (3, True, ("12", "12"))


def test_a_copper_ground_beside_aluminum_conductors() -> None:
    got = parse_conductors("3 x 1 XHHW-2 Al + 8 Cu ground")
    assert (got.material, got.ground_material) == ("aluminum", "copper")


def test_an_outer_covering_can_be_absent() -> None:
    assert parse_conductors("6 x 6 RHW").covered
    assert not parse_conductors("6 x 6 RHW without covering").covered


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("4/2 NM", "NM 4/2 is not made; nearest made"),
        ("12/7 NM", "NM 12/7 is not made; nearest made"),
        ("3/3 NM", "is not made"),
        ("1/3 NM", "is not made"),
        ("12/2 NM Al", "is not made"),
        ("4/0-4/0-2/0 SER Al", "is made as SEU aluminum"),
        ("2-2-2-4 SER", "made in copper and in aluminum: add Cu or Al"),
        ("4/0-4/0-4/0-2/0", "say what 4/0-4/0-4/0-2/0 is"),
        ("12/2 blue", "'blue' is not understood"),
        ("7 THHN", "7 is not a conductor size"),
        ("0 x 12 THHN", "the count is 0"),
        ("3 x 6 THHN + 8 XHHW", "one set has one insulation"),
        ("3 x 6 THHN Al + 8 ground + 4 Cu bare", "name one in each part"),
        ("12/2 Cu Al", "both copper and aluminum"),
        ("", "no cable is given"),
        ("12/3/3", "is not a conductor size"),
    ],
)
def test_what_nobody_makes_is_refused_with_what_is_made(said: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        parse_conductors(said)


def test_every_made_cable_reads_as_itself() -> None:
    for made in made_cables():
        got = parse_conductors(f"{made.text} {made.kind} {made.material}")
        assert (got.kind, got.material, got.wires, got.ground) == (made.kind, made.material, made.wires, made.ground)


def test_the_list_of_made_cables_is_whole() -> None:
    """Each row's name says its own conductors, once; confidence is one of the reference's letters."""
    keys = [(c.kind, c.material, c.text) for c in made_cables()]
    assert len(set(keys)) == len(keys) > 60
    for made in made_cables():
        if made.text.count("-") < 2:
            size, number = made.text.split("/")
            assert made.wires == (size,) * int(number)
        else:
            assert tuple(made.text.split("-")) == made.wires + made.ground
        assert made.confidence in ("A", "B", "C", "D")
        assert set(made.wires) <= set(SIZES)


@pytest.mark.parametrize(
    ("said", "size"), [(14, "14"), ("14 AWG", "14"), ("#12", "12"), ("2/0", "2/0"), ("00", "2/0"), ("250 kcmil", "250")]
)
def test_sizes_as_people_write_them(said: object, size: str) -> None:
    assert parse_size(said) == size


@pytest.mark.parametrize("said", [7, "13", "5/0", True, 12.5, "", "AWG"])
def test_sizes_that_are_not_made(said: object) -> None:
    with pytest.raises(ValueError, match="is not a conductor size"):
        parse_size(said)


@given(st.text(alphabet="0123456789/-x +THNWSERAlCugrounde ", max_size=30))
def test_any_text_is_conductors_or_a_value_error(said: str) -> None:
    try:
        got = parse_conductors(said)
    except ValueError:
        return
    assert got.wires or got.ground or got.bare
