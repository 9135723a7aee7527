"""Tables of box fill and raceways: in order, agreeing with geometry, and with values typed a second time."""

from __future__ import annotations

import json
from itertools import pairwise
from math import floor, pi
from pathlib import Path

import pytest

from calc.codebook import tables


def rows(name: str) -> list[dict[str, str]]:
    return [dict(row) for row in tables.load(tables.FOLDER / f"{name}.csv").rows]


@pytest.mark.parametrize(
    ("name", "diameter", "within"),
    [
        ("raceways", "inside_in", 0.0015),
        ("insulated_conductors", "diameter_in", 0.0001),
        ("compact_conductors", "diameter_in", 0.0001),
    ],
)
def test_areas_are_those_of_circles(name: str, diameter: str, within: float) -> None:
    """Area against pi/4 of the diameter squared; both are printed rounded, so within that rounding."""
    for row in rows(name):
        d = float(row[diameter])
        assert abs(float(row["area_in2"]) - pi / 4 * d * d) <= within + pi / 2 * d * 0.0005, row


@pytest.mark.parametrize(
    ("name", "group", "column"),
    [("raceways", "kind", "area_in2"), ("insulated_conductors", "insulation", "area_in2"),
     ("compact_conductors", "insulation", "area_in2")],
)  # fmt: skip
def test_each_step_is_larger_than_the_one_before(name: str, group: str, column: str) -> None:
    for one, two in pairwise(rows(name)):
        if one[group] == two[group]:
            assert float(two[column]) > float(one[column]), two


def test_allowances_grow_with_the_conductor() -> None:
    cells = [float(row["allowance_in3_per_conductor"]) for row in rows("box_fill_allowances")]
    assert cells == sorted(set(cells))


@pytest.mark.parametrize(
    ("box", "counts"),
    [
        ("4 x 1-1/2 octagon", {"14": 7, "12": 6}),
        ("4 x 1-1/2 square", {"12": 9}),
        ("4-11/16 x 1-1/2 square", {"12": 13}),
        ("3 x 2 x 3-1/2 device", {"12": 8}),
        ("4 x 2-1/8 square", {"14": 15, "12": 13}),
    ],
)
def test_printed_counts_follow_from_the_volume(box: str, counts: dict[str, int]) -> None:
    """Most conductors of table 314.16(A): a textbook (2017 NEC, chapter 21, 31R), magazine examples, S10."""
    volume = next(float(row["volume_in3"]) for row in rows("metal_boxes") if row["box"] == box)
    each = {row["size"]: float(row["allowance_in3_per_conductor"]) for row in rows("box_fill_allowances")}
    assert {size: int(volume / each[size]) for size in counts} == counts


def test_every_group_of_insulation_has_dimensions() -> None:
    known = {row["insulation"] for row in rows("insulated_conductors")}
    assert {row["group"] for row in rows("insulation_groups")} == known


def test_areas_typed_a_second_time() -> None:
    """THHN areas as the examples RF-01, RF-12 and RF-15 print them; THW and bare as RF-16 and RF-19 do."""
    table = {(row["insulation"], row["size"]): float(row["area_in2"]) for row in rows("insulated_conductors")}
    printed = {"500": 0.7073, "400": 0.5863, "250": 0.397, "4/0": 0.3237, "3": 0.0973, "6": 0.0507, "8": 0.0366,
               "10": 0.0211, "12": 0.0133}  # fmt: skip
    assert {size: table["THHN", size] for size in printed} == printed
    assert (table["THW", "10"], table["THW", "14"], table["RHH", "14"]) == (0.0243, 0.0139, 0.0293)


ANNEX_C = json.loads((Path(__file__).parent / "second_reading" / "annex_c.json").read_text(encoding="utf-8"))
BY_MILLIMETRES = {("PVC-80", "14", "1"), ("PVC-80", "12", "1/2")}
"""Printed counts that follow from areas in mm2 only, and are one more than from those in in2."""


@pytest.mark.parametrize("group", ["EMT RHH", "PVC-80 XHHW"])
def test_printed_counts_of_conductors_follow_from_three_tables(group: str) -> None:
    """Annex C out of the areas of raceways and conductors and the share that may be filled; 0.8 counts as one (note 7)."""
    kind, insulation = group.split()
    inside = {row["trade_size"]: float(row["area_in2"]) for row in rows("raceways") if row["kind"] == kind}
    over = {row["size"]: float(row["area_in2"]) for row in rows("insulated_conductors") if row["insulation"] == insulation}  # fmt: skip
    one, two, more = (float(row["fill_pct"]) / 100 for row in rows("raceway_fill"))

    def most(size: str, trade: str) -> int:
        fits = {least: floor(share * inside[trade] / over[size] + 0.2) for least, share in ((3, more), (2, two), (1, one))}  # fmt: skip
        return next((count if least == 3 else least for least, count in fits.items() if count >= least), 0)

    for size, printed in ANNEX_C[group].items():
        for trade, count in zip(ANNEX_C["trade_sizes"], printed, strict=True):
            assert most(size, trade) == count - ((kind, size, trade) in BY_MILLIMETRES), (size, trade)
