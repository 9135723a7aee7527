"""The resistance tables against physics: ASTM B258 diameters, resistivity and its temperature coefficient."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from calc.codebook import open_codebook, tables

CONDUCTORS = tables.load(tables.FOLDER / "conductors.csv").rows
CONDUIT = tables.load(tables.FOLDER / "conduit_impedance.csv").rows
GAUGES = {**{"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}, **{str(n): n for n in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)}}
RESISTIVITY = {"copper": 10.371 * (1 + 0.00393 * 55), "aluminum": 17.002 * (1 + 0.00403 * 55)}
"""Ohm for a circular mil and foot at 75 C, from 100 % and 61 % IACS at 20 C (NBS Handbooks 100 and 109)."""
LAY = {"1": 1.0, "7": 1.02, "19": 1.02, "37": 1.02, "61": 1.02}
"""Strands run in a spiral, about 2 % longer than the conductor (same handbooks)."""


def named(row: dict[str, str]) -> str:
    return f"{row['size']} {row['stranding']}"


@pytest.mark.parametrize("row", CONDUCTORS, ids=named)
def test_area_follows_from_the_gauge(row: dict[str, str]) -> None:
    """ASTM B258: diameter 0.005 in x 92 to the power of (36 - n) / 39; printed to 4 digits. Larger sizes are named by it."""
    cmil = float(row["cmil"])
    if row["size"] in GAUGES:
        diameter_in = 0.005 * 92 ** ((36 - GAUGES[row["size"]]) / 39)
        assert cmil == pytest.approx((diameter_in * 1000) ** 2, rel=0.003)
    else:
        assert cmil == float(row["size"]) * 1000


@pytest.mark.parametrize("row", CONDUCTORS, ids=named)
def test_diameter_follows_from_the_area(row: dict[str, str]) -> None:
    """Solid: the diameter is the root of the circular mils. Concentric strands: 3, 5, 7 or 9 strands across."""
    strands = int(row["strands"])
    across = {1: 1, 7: 3, 19: 5, 37: 7, 61: 9}[strands]
    diameter_in = across * sqrt(float(row["cmil"]) / strands) / 1000
    assert float(row["diameter_in"]) == pytest.approx(diameter_in, abs=0.0015)
    assert float(row["area_in2"]) == pytest.approx(pi / 4 * float(row["diameter_in"]) ** 2, abs=0.0007)


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
@pytest.mark.parametrize("row", CONDUCTORS, ids=named)
def test_resistance_follows_from_area_and_resistivity(row: dict[str, str], metal: str) -> None:
    """Resistivity x lay / circular mils for 1,000 ft; the largest difference is 0.5 % (printed with 3 digits)."""
    ohm = RESISTIVITY[metal] * LAY[row["strands"]] / float(row["cmil"]) * 1000
    assert float(row[f"{metal}_ohm_per_kft"]) == pytest.approx(ohm, rel=0.0051)


@pytest.mark.parametrize(("metal", "alpha"), [("copper", 0.00393), ("aluminum", 0.00403)])
def test_temperature_coefficient_follows_from_the_one_at_20_c(metal: str, alpha: float) -> None:
    """alpha75 = alpha20 / (1 + alpha20 x 55): the same straight line of resistance over temperature."""
    rule = open_codebook("2023")[f"{metal}_coefficient"]
    assert rule.base == pytest.approx(alpha / (1 + alpha * 55), abs=0.000005)


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
@pytest.mark.parametrize("row", CONDUIT, ids=lambda row: f"{row['size']} {row['conduit']}")
def test_printed_impedance_follows_from_resistance_and_reactance(row: dict[str, str], metal: str) -> None:
    """Ze = 0.85 R + 0.527 X, within 6 %: all three are printed with two digits."""
    if row[f"{metal}_ohm_per_kft"] == "":
        assert row[f"{metal}_effective_ohm_per_kft"] == ""
        return
    worked = 0.85 * float(row[f"{metal}_ohm_per_kft"]) + sqrt(1 - 0.85**2) * float(row["reactance_ohm_per_kft"])
    assert float(row[f"{metal}_effective_ohm_per_kft"]) == pytest.approx(worked, rel=0.06)


@pytest.mark.parametrize("conduit", ["pvc", "aluminum", "steel"])
@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_alternating_current_resistance_is_never_far_under_the_direct_one(metal: str, conduit: str) -> None:
    """Skin effect only adds. Small sizes are printed with two digits and solid, so 4 % under is rounding, not physics."""
    direct = {row["size"]: float(row[f"{metal}_ohm_per_kft"]) for row in CONDUCTORS if row["stranding"] == "stranded"}
    for row in CONDUIT:
        if row["conduit"] == conduit and row[f"{metal}_ohm_per_kft"]:
            assert 0.96 < float(row[f"{metal}_ohm_per_kft"]) / direct[row["size"]] < 1.45, row["size"]


def test_reactance_without_steel_is_one_column_and_steel_adds_a_quarter() -> None:
    """The table prints one reactance for plastic and aluminum conduit; steel conduit's is about 1.25 times it."""
    by = {(row["size"], row["conduit"]): float(row["reactance_ohm_per_kft"]) for row in CONDUIT}
    for size in dict.fromkeys(row["size"] for row in CONDUIT):
        assert by[size, "pvc"] == by[size, "aluminum"]
        assert by[size, "steel"] / by[size, "pvc"] == pytest.approx(1.25, rel=0.03)


@pytest.mark.parametrize("column", ["copper_ohm_per_kft", "aluminum_ohm_per_kft"])
def test_resistance_falls_from_size_to_size(column: str) -> None:
    for conduit in ("pvc", "aluminum", "steel"):
        cells = [float(row[column]) for row in CONDUIT if row["conduit"] == conduit and row[column]]
        assert cells == sorted(cells, reverse=True)


@pytest.mark.parametrize(
    ("cmil", "size"), [(104_167, "1/0"), (166_667, "3/0"), (171_876, "4/0"), (38_700, "4"), (32_967, "4")]
)
def test_next_size_for_an_area(cmil: float, size: str) -> None:
    """VD-27 (utility course), VD-06 and VD-34: the next size made that is not smaller than the circular mils."""
    assert next(row["size"] for row in CONDUCTORS if float(row["cmil"]) >= cmil) == size
