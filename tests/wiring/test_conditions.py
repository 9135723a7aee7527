"""What lowers an ampacity, each at its limit: cable and terminals, roofs, raceways, nipples, bundles."""

from __future__ import annotations

from typing import Any

import pytest

from calc.work import Sheet
from tests.families.runs import LUGS_75, failing, results, run, toml, worked


def pairs(sheet: Sheet, key: str) -> list[tuple[str, bool]]:
    """The comparisons that a found line shows."""
    return [(pair.sign, pair.holds) for line in sheet.lines if line.key == key for pair in line.compared]


@pytest.mark.parametrize(
    ("keys", "limit"),
    [
        ({"cable": "6/2 NM", **LUGS_75}, "NM cable"),
        ({"cable": "2-2-2-4 SER Al", "neutral": True, **LUGS_75}, "the terminals"),
        ({"insulation": "TW", "size": "6", **LUGS_75}, "the insulation"),
    ],
)
def test_the_lowest_of_cable_insulation_and_terminals_limits(keys: dict[str, Any], limit: str) -> None:
    """NM keeps to 60 C; where the cable allows more the terminals decide."""
    found = results(run(calculated_a=30, breaker_a=40, **keys))["governing_limit"]
    assert found.startswith(limit)


@pytest.mark.parametrize(("above", "air", "sign"), [(0.875, 95, ">="), (0.8, 155, "<"), (2, 95, ">=")])
def test_a_roof_heats_what_lies_close_to_it(above: float, air: int, sign: str) -> None:
    """60 F are added under 7/8 in; the comparison that decides is shown."""
    s = worked(
        run(
            size="6",
            calculated_a=20,
            location="rooftop",
            ambient_f=95,
            insulation="THWN-2",
            above_roof_in=above,
            **LUGS_75,
        )
    )
    assert s.results["ambient_f"] == air
    assert pairs(s, "above_roof") == [(sign, True)]


@pytest.mark.parametrize(
    ("length_ft", "more", "adjusted"), [(2, {}, None), (2.1, {}, 80), (2, {"current_carrying": 6}, 80), (None, {}, 80)]
)
def test_in_a_nipple_nothing_is_adjusted(length_ft: float | None, more: dict[str, Any], adjusted: int | None) -> None:
    """Six conductors in 24 in or less; a number that the job counted itself is adjusted all the same."""
    pipe = toml("raceways", name="pipe", kind="EMT", length_ft=length_ft, holds=["4 x 12 THHN"])
    s = worked(pipe + run(size="6", calculated_a=20, raceway="pipe", wiring_method=None, **more, **LUGS_75))
    assert s.results.get("adjustment_pct") == adjusted
    assert ("nipple" in s.results) is (adjusted is None)


def test_others_in_the_raceway_are_counted_and_those_elsewhere_are_not() -> None:
    """Two of its own, two of another run there; not of one beside it, nor of one that is taken out."""
    pipes = toml("raceways", name="pipe", kind="EMT", length_ft=20) + toml(
        "raceways", name="other", kind="EMT", length_ft=20
    )
    mine = run(size="6", calculated_a=20, raceway="pipe", wiring_method=None, **LUGS_75)
    beside = [run(name=name, size="6", calculated_a=20, raceway=pipe, wiring_method=None, status=status, **LUGS_75)
              for name, pipe, status in (("A", "pipe", "new"), ("B", "other", "new"), ("C", "pipe", "removed"))]  # fmt: skip
    found = results(pipes + mine + "".join(beside))
    assert (found["current_carrying"], found["other_conductors[A]"]) == (4, 2)
    assert {key for key in found if key.startswith("other_conductors")} == {"other_conductors[A]"}


@pytest.mark.parametrize(("bundled", "number", "let_off"), [(1, 2, False), (2, 4, True), (3, 6, True)])
def test_cables_together_count_each(bundled: int, number: int, let_off: bool) -> None:
    """One is no bundle; of AC the let-off that isn't taken is named."""
    s = worked(run(cable="12/2 AC", calculated_a=10, breaker_a=20, cables_bundled=bundled, **LUGS_75))
    assert s.results["current_carrying"] == number
    assert ("bundle_counted" in s.results) is let_off


@pytest.mark.parametrize(
    ("kind", "via", "location", "short"),
    [
        ("FMC", "method", "wet", True),
        ("FMC", "raceway", "wet", True),
        ("EMT", "raceway", "wet", False),
        ("ENT", "raceway", "buried", True),
        ("PVC-40", "raceway", "buried", False),
        ("FMC", "raceway", "dry", False),
    ],
)
def test_a_raceway_is_known_by_the_run_or_by_its_own_entry(kind: str, via: str, location: str, short: bool) -> None:
    """Whichever names it; the method of the run goes before."""
    text = toml("raceways", name="pipe", kind=kind, length_ft=20) if via == "raceway" else ""
    way = {"raceway": "pipe", "wiring_method": None} if via == "raceway" else {"wiring_method": kind}
    s = worked(text + run(size="6", calculated_a=20, insulation="THWN-2", location=location, **way, **LUGS_75))
    assert ("raceway_fits_place" in failing(s)) is short


def test_a_cable_in_a_conduit_is_named_with_it_where_it_may_not_lie() -> None:
    """NM in PVC underground is still NM."""
    bare = worked(run(cable="6/3 NM", location="wet", calculated_a=40))
    inside = worked(run(cable="6/3 NM", wiring_method="PVC-40", location="wet", calculated_a=40))
    texts = [
        next(str(check) for check in s.as_json()["checks"] if check["key"] == "type_fits_place") for s in (bare, inside)
    ]
    assert "in PVC-40" not in texts[0]
    assert "in PVC-40" in texts[1]


@pytest.mark.parametrize(("sets", "keys"), [(1, set()), (2, {"uncorrected_a"})])
def test_sets_in_parallel_add_up(sets: int, keys: set[str]) -> None:
    """Each set at its own ampacity, as often as there are sets."""
    found = results(run(size="1/0", sets=sets, calculated_a=100, breaker_a=125, **LUGS_75))
    assert found["ampacity_a"] == 150 * sets
    assert {"uncorrected_a"} & set(found) == keys


@pytest.mark.parametrize(
    ("outlets", "purpose", "most"),
    [(["lighting"], "lighting", 20), (["lighting", "receptacles"], "lighting", None), ([], "general", None)],
)
def test_the_next_rating_up_is_for_what_has_no_receptacles(outlets: list[str], purpose: str, most: int | None) -> None:
    """240.4(B): 16 A of conductor may stand behind 20 A where lights alone hang on it."""
    text = toml("circuits", name="C", purpose=purpose, outlets=outlets or None)
    hot = run(role="branch", feeds="C", volts=120, neutral=None, cable="12/2 NM", ambient_f=125, location="attic", cables_bundled=4,
              calculated_a=10, breaker_a=20)  # fmt: skip
    s = worked(text + hot)
    assert ("breaker_protects" in failing(s)) is (most is None)
    if most:
        assert s.results["largest_breaker_a"] == most
