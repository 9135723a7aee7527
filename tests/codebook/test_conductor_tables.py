"""The tables of conductors: recomputed from physics, or rebuilt from one another. Read a second time: second_reading."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from calc.codebook import open_codebook, tables
from calc.job import INSULATIONS, SIZES


def rows(name: str) -> list[dict[str, str]]:
    return [dict(row) for row in tables.load(tables.FOLDER / f"{name}.csv").rows]


def plain(name: str) -> str:
    """A table without its head and header, a row a line, blanks as '-'."""
    return "\n".join(" ".join(cell or "-" for cell in row.values()) for row in rows(name))


@pytest.mark.parametrize("column", ["copper_60_a", "copper_75_a", "copper_90_a", "aluminum_60_a", "aluminum_75_a", "aluminum_90_a"])  # fmt: skip
def test_ampacity_rises_with_the_size(column: str) -> None:
    cells = [float(row[column]) for row in rows("ampacity") if row[column]]
    assert cells == sorted(set(cells))


def test_ampacity_rises_with_the_column_and_copper_is_above_aluminum() -> None:
    for row in rows("ampacity"):
        for metal in ("copper", "aluminum"):
            cells = [float(row[f"{metal}_{c}_a"]) for c in (60, 75, 90) if row[f"{metal}_{c}_a"]]
            assert cells == sorted(set(cells))
        if row["aluminum_75_a"]:
            assert all(float(row[f"copper_{c}_a"]) > float(row[f"aluminum_{c}_a"]) for c in (60, 75, 90))


def test_the_dwelling_list_is_83_percent_of_the_rating_in_the_75_c_column() -> None:
    """Each of the 22 sizes is the smallest whose 75 C ampacity reaches 83 % of the rating."""
    ratings = [float(row["rating_a"]) for row in rows("dwelling_share")]
    assert ratings == [100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400]
    share = open_codebook("2023")["dwelling_share"].base
    for row in rows("dwelling_share"):
        for metal in ("copper", "aluminum"):
            reach = [
                r["size"] for r in rows("ampacity") if float(r[f"{metal}_75_a"] or 0) >= share * float(row["rating_a"])
            ]
            assert row[metal] == reach[0]


def test_the_ambient_table_follows_its_formula_at_the_hot_end_of_each_band() -> None:
    """root((Tc - Ta)/(Tc - 30)) to 0.005, for all 39 cells; bands are 5 C, and blanks begin where nothing is left."""
    cells = 0
    for number, row in enumerate(rows("ambient_correction")):
        hot_c = 10 + 5 * number
        assert float(row["ambient_f_to"]) == hot_c * 9 / 5 + 32
        for column in (60, 75, 90):
            cell = row[f"factor_{column}"]
            left = (column - hot_c) / (column - 30)
            assert bool(cell) is (left > 0)
            if cell:
                cells += 1
                assert float(cell) == pytest.approx(sqrt(left), abs=0.005 + 1e-9)
    assert cells == 39
    assert rows("ambient_correction")[0]["ambient_f_from"] == "-40"


@pytest.mark.parametrize("name", ["electrode_conductor", "bonding_jumper"])
def test_the_tables_by_area_begin_and_end_at_the_printed_sizes(name: str) -> None:
    """2 | 1/0 | 3/0 | 350 | 600 | 1100 copper; 1/0 | 3/0 | 250 | 500 | 900 | 1750 aluminum."""
    area = {row["size"]: int(row["cmil"]) for row in rows("conductors")} | {
        "1100": 1_100_000,
        "900": 900_000,
        "1750": 1_750_000,
    }
    for metal, tops in (("copper", "2 1/0 3/0 350 600 1100"), ("aluminum", "1/0 3/0 250 500 900 1750")):
        ends = [row[f"{metal}_cmil_to"] for row in rows(name)]
        assert ends == [*(str(area[size]) for size in tops.split()), ""]
        starts = [row[f"{metal}_cmil_from"] for row in rows(name)]
        assert starts == ["0", *(str(int(end) + 1) for end in ends[:-1])]
    last = {"electrode_conductor": ("3/0", "250"), "bonding_jumper": ("", "")}[name]
    assert [row["copper"] for row in rows(name)] == ["8", "6", "4", "2", "1/0", "2/0", last[0]]
    assert [row["aluminum"] for row in rows(name)] == ["6", "4", "2", "1/0", "3/0", "4/0", last[1]]


def test_insulations_by_the_letters_of_their_names() -> None:
    """-2: 90 C everywhere. HH without W: 90 C and never wet. W: allowed wet. USE: only where it is wet."""
    found = {row["insulation"]: row for row in rows("insulations")}
    assert set(found) == set(INSULATIONS)
    for name, row in found.items():
        dry, damp, wet = row["dry_c"], row["damp_c"], row["wet_c"]
        if name.endswith("-2"):
            assert {dry, damp, wet} - {""} == {"90"}
        assert bool(wet) is ("W" in name or name.startswith("USE"))
        if name.startswith("USE"):
            assert (dry, damp) == ("", "")
        elif "HH" in name:
            assert (dry, wet) == ("90", {"W": "75", "-2": "90"}.get(name[-2:] if name.endswith("-2") else name[-1], ""))
    assert (found["USE"]["wet_c"], found["THHW"]["damp_c"], found["XHHW"]["damp_c"]) == ("75", "75", "90")
    assert (found["THHN"]["damp_c"], found["RHH"]["damp_c"], found["XHH"]["damp_c"]) == ("90", "90", "90")
    for name, celsius in [("TW", "60"), ("THW", "75"), ("THWN", "75"), ("RHW", "75")]:
        assert {found[name][f"{place}_c"] for place in ("dry", "damp", "wet")} == {celsius}


def test_cables_by_location() -> None:
    """MC alone needs a marking where it is wet, and keeps to the 75 C of the least wires that may be wet there."""
    where = {"NM": "dry attic", "UF": "dry attic damp wet buried", "SER": "dry attic damp wet", "SEU": "dry attic damp wet",
             "MC": "dry attic damp", "AC": "dry attic"}  # fmt: skip
    columns = {
        "NM": "90 60 60",
        "UF": "60 60 60",
        "SER": "90 90 90",
        "SEU": "90 90 90",
        "MC": "90 90 90",
        "AC": "90 90 60",
    }
    assert plain("cables").split("\n") == [
        *(f"{cable} {place} {columns[cable]} -" for cable in list(where)[:5] for place in where[cable].split()),
        "MC wet 75 75 75 wet", "MC buried 75 75 75 direct-burial",
        *(f"AC {place} {columns['AC']} -" for place in where["AC"].split()),
    ]  # fmt: skip


# ---- conductor properties from physics: ASTM B258 diameters, resistivity at 20 C carried to 75 C, lay of strands

LAY = 1.02  # stranded wires run around the cable and are that much longer
OHM_CMIL_PER_FT = {"copper": 10.371 * (1 + 0.00393 * 55), "aluminum": 17.002 * (1 + 0.00403 * 55)}


@pytest.mark.parametrize("row", rows("conductors"), ids=lambda row: f"{row['size']}-{row['stranding']}")
def test_a_conductor_row_follows_from_physics(row: dict[str, str]) -> None:
    """Area to 0.3 % of ASTM B258 (exact above 4/0), resistance to 0.51 % (0.5 % and the rounding of the print), area in in2 from the diameter."""
    cmil, solid = float(row["cmil"]), row["stranding"] == "solid"
    if SIZES.index(row["size"]) <= SIZES.index("4/0"):
        aught, _, zero = row["size"].partition("/")
        gauge = 1 - int(aught) if zero else int(aught)  # 1/0 is gauge 0, 4/0 gauge -3
        mils = 5 * 92 ** ((36 - gauge) / 39)
        assert cmil == pytest.approx(mils**2, rel=0.003)
        if solid:
            assert float(row["diameter_in"]) == pytest.approx(mils / 1000, abs=0.0006)
    else:
        assert cmil == 1000 * float(row["size"])
    for metal, resistivity in OHM_CMIL_PER_FT.items():
        expected = 1000 * resistivity / cmil * (1 if solid else LAY)
        assert float(row[f"{metal}_ohm_per_kft"]) == pytest.approx(expected, rel=0.0051)
    tinned = float(row["coated_copper_ohm_per_kft"]) / float(row["copper_ohm_per_kft"])
    assert 1.02 < tinned < 1.07, "tinning costs two to seven percent"
    strands = int(row["strands"])
    wire_in = sqrt(cmil / strands) / 1000
    across = {1: 1, 7: 3, 19: 5, 37: 7, 61: 9}[strands]  # wires across a concentric lay
    assert float(row["diameter_in"]) == pytest.approx(across * wire_in, abs=0.0021 if strands > 1 else 0.0006)
    printed = float(row["area_in2"])
    exact = pi / 4 * float(row["diameter_in"]) ** 2
    # the printed 12 AWG strand is 0.006 although its diameter makes 0.0066
    assert printed == pytest.approx(exact, abs=0.0012 if row["size"] in ("12", "10") else 0.0011)
