"""The tables of conductors: typed a second time, recomputed from physics, or rebuilt from one another.

Every cell stands against something, so that a changed cell fails a test here.
"""

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


# Typed a second time from the printed table as commonly reproduced (S01, S02): size, copper 60 75 90, aluminum 60 75 90.
AMPACITY = """
14 15 20 25 - - -|12 20 25 30 15 20 25|10 30 35 40 25 30 35|8 40 50 55 35 40 45|6 55 65 75 40 50 55
4 70 85 95 55 65 75|3 85 100 115 65 75 85|2 95 115 130 75 90 100|1 110 130 145 85 100 115
1/0 125 150 170 100 120 135|2/0 145 175 195 115 135 150|3/0 165 200 225 130 155 175|4/0 195 230 260 150 180 205
250 215 255 290 170 205 230|300 240 285 320 195 230 260|350 260 310 350 210 250 280|400 280 335 380 225 270 305
500 320 380 430 260 310 350|600 350 420 475 285 340 385|700 385 460 520 315 375 425|750 400 475 535 320 385 435
"""

# size, stranding, strands, cmil, diameter, area, copper, coated copper, aluminum (ohm per kft)
CONDUCTORS = """
18 solid 1 1620 0.04 0.001 7.77 8.08 12.8
18 stranded 7 1620 0.046 0.002 7.95 8.45 13.1
16 solid 1 2580 0.051 0.002 4.89 5.08 8.05
16 stranded 7 2580 0.058 0.003 4.99 5.29 8.21
14 solid 1 4110 0.064 0.003 3.07 3.19 5.06
14 stranded 7 4110 0.073 0.004 3.14 3.26 5.17
12 solid 1 6530 0.081 0.005 1.93 2.01 3.18
12 stranded 7 6530 0.092 0.006 1.98 2.05 3.25
10 solid 1 10380 0.102 0.008 1.21 1.26 2.0
10 stranded 7 10380 0.116 0.011 1.24 1.29 2.04
8 solid 1 16510 0.128 0.013 0.764 0.786 1.26
8 stranded 7 16510 0.146 0.017 0.778 0.809 1.28
6 stranded 7 26240 0.184 0.027 0.491 0.51 0.808
4 stranded 7 41740 0.232 0.042 0.308 0.321 0.508
3 stranded 7 52620 0.26 0.053 0.245 0.254 0.403
2 stranded 7 66360 0.292 0.067 0.194 0.201 0.319
1 stranded 19 83690 0.332 0.087 0.154 0.16 0.253
1/0 stranded 19 105600 0.372 0.109 0.122 0.127 0.201
2/0 stranded 19 133100 0.418 0.137 0.0967 0.101 0.159
3/0 stranded 19 167800 0.47 0.173 0.0766 0.0797 0.126
4/0 stranded 19 211600 0.528 0.219 0.0608 0.0626 0.1
250 stranded 37 250000 0.575 0.26 0.0515 0.0535 0.0847
300 stranded 37 300000 0.63 0.312 0.0429 0.0446 0.0707
350 stranded 37 350000 0.681 0.364 0.0367 0.0382 0.0605
400 stranded 37 400000 0.728 0.416 0.0321 0.0331 0.0529
500 stranded 37 500000 0.813 0.519 0.0258 0.0265 0.0424
600 stranded 61 600000 0.893 0.626 0.0214 0.0223 0.0353
700 stranded 61 700000 0.964 0.73 0.0184 0.0189 0.0303
750 stranded 61 750000 0.998 0.782 0.0171 0.0176 0.0282
"""

TYPED = {
    "ampacity": AMPACITY,
    "conductors": CONDUCTORS,
    "count_adjustment": "1 3 100|4 6 80|7 9 70|10 20 50|21 30 45|31 40 40|41 - 35",
    "terminals": "0 100 60|101 - 75",
    "small_conductors": "14 15 -|12 20 15|10 30 25",
    "equipment_ground": "15 14 12|20 12 10|60 10 8|100 8 6|200 6 4|300 4 2|400 3 1|500 2 1/0|600 1 2/0|800 1/0 3/0|"
    "1000 2/0 4/0|1200 3/0 250|1600 4/0 350|2000 250 400|2500 350 600|3000 400 600|4000 500 750|5000 700 1250|6000 800 1250",
    "current_carrying": "two-wire 2|two legs 2|two legs and neutral 2|two legs and neutral of a wye 3|three-phase 3|"
    "three-phase and neutral 3",
    "burial_cover": "yard 24 6 18 12|driveway 18 18 18 12|street 24 24 24 24|slab 18 4 4 6|building - 0 0 -",
    "electrode_ceilings": "rod 6 4|pipe 6 4|plate 6 4|footing 4 -",
}  # fmt: skip


@pytest.mark.parametrize("name", TYPED)
def test_a_table_is_as_typed_a_second_time(name: str) -> None:
    assert plain(name).split("\n") == [line for line in TYPED[name].replace("|", "\n").split("\n") if line]


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
        f"{cable} {place} {columns[cable]}" for cable in where for place in where[cable].split()
    ]


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
