"""Raceways near their limits: jamming, what one more would do, whips, cables beside conductors, room in wireways."""

from __future__ import annotations

from typing import Any

import pytest

from calc.codebook import editions
from calc.families import raceway
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import Missing, Sheet
from tests.families.runs import remedy
from tests.families.test_raceway import RUN, SQUARE, job_of, one, results, work


def cites(sheet: Sheet, key: str) -> set[str]:
    """The rules that a line or a check rests on."""
    return {cite.rule for made in (*sheet.lines, *sheet.checks) if made.key == key for cite in made.cites}


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize(
    ("holds", "size", "said"),
    [
        ("3 x 1 THHN", "1", "not likely"),  # 1.049 / 0.446 = 2.35, under 2.8: they can't lie side by side
        ("3 x 1 THHN", "1-1/4", "can jam"),  # 3.09
        ("3 x 1 THHN", "1-1/2", "not likely"),  # 1.610 / 0.446 = 3.61, over 3.2
        ("3 x 6 bare", "1", None),
        ("2 x 1 THHN", "1-1/4", None),
        ("3 x 250 THHN", "2", "can jam"),  # 2.067 / 0.711 = 2.91
    ],
)
def test_three_of_a_size_jam_between_2_8_and_3_2_times_their_diameter(
    holds: str, size: str, said: str | None, edition: str
) -> None:
    """Below that they can't line up, above it there is room to pass; two, four or bare ones are not asked about."""
    job = job_of([{"name": "r", "kind": "EMT", "holds": [holds], "trade_size": size}], edition=edition)
    (sheet,) = work(job)
    assert sheet.results.get("jamming") == said
    assert any("jam" in text for text in sheet.cautions) is (said == "can jam")
    if said:
        (line,) = [line for line in sheet.lines if line.key == "jamming"]
        assert all(pair.holds for pair in line.compared), "what is shown is what is so"
        signs = {"can jam": ">= <=", "not likely": "<" if size == "1" else ">"}[said]
        assert " ".join(pair.sign for pair in line.compared) == signs


def test_the_inside_of_its_own_kind_decides_whether_they_jam() -> None:
    """Three 4/0 THHN of 0.642 in in 2 in of schedule 80: 1.913 / 0.642 = 2.98; in EMT 2.067 / 0.642 = 3.22."""
    assert results("PVC-80", ["3 x 4/0 THHN"], trade_size="2")["jamming"] == "can jam"
    assert results("EMT", ["3 x 4/0 THHN"], trade_size="2")["jamming"] == "not likely"


@pytest.mark.parametrize(
    ("holds", "size"), [(["442 x 12 THHN", "1 x 10 THHN"], "4"), (["443 x 12 THHN", "1 x 14 THHN"], None)]
)
def test_a_hair_over_the_largest_size_is_too_much(holds: list[str], size: str | None) -> None:
    """4 in EMT: 14.753 x 40 % = 5.901 in2; 5.8997 go in, 5.9016 do not."""
    s = one("EMT", holds, length_ft=10)
    assert s.results.get("trade_size") == size
    assert (s.refused is None) is (size is not None)


@pytest.mark.parametrize(("said", "wires", "fill"), [
    ("4/0-4/0-2/0-4 Al XHHW-2", 4, 2 * 0.3197 + 0.2190 + 0.0814),
    ("2 x 4/0-4/0-2/0-4 Al XHHW-2", 8, 2 * (2 * 0.3197 + 0.2190 + 0.0814)),
    ("4 x 6 THHN + 2 x 10 bare", 6, 4 * 0.0507 + 2 * 0.011),
])  # fmt: skip
def test_sets_written_with_a_count_are_all_in_it(said: str, wires: int, fill: float) -> None:
    """Each conductor of each set, at its own area; bare ones by their own table."""
    found = results("PVC-40", [said])
    assert found["conductors"] == wires
    assert found["fill_in2"] == pytest.approx(fill, abs=1e-3)


def test_only_the_largest_of_a_lot_is_asked_whether_it_jams() -> None:
    """Three 1 AWG with a ground of 8 AWG beside them: the ground is no fourth of their size."""
    assert results("EMT", ["3 x 1 THHN + 8 ground"], trade_size="1-1/4")["jamming"] == "can jam"
    assert "jamming" not in results("EMT", ["2 x 1 THHN", "3 x 8 THHN"], trade_size="1-1/4")


def test_a_cable_is_one_conductor_of_its_own_width_and_only_it_cites_that_rule() -> None:
    """Beside two 12 AWG THHN a 12/2 of 0.437 in makes three: 0.150 + 2 x 0.0133 in2 at 40 %."""
    s = one("EMT", ["12/2 with ground", "2 x 12 THHN"], cable_width_in=0.437, trade_size="3/4")
    assert (s.results["conductors"], s.results["limit_pct"]) == (3, 40)
    assert s.results["fill_in2"] == pytest.approx(0.785398163 * 0.437**2 + 2 * 0.0133, abs=1e-6)
    assert cites(s, "part_in2[cable]") >= {"cable_as_conductor"}
    assert "cable_as_conductor" not in cites(s, "part_in2[12 AWG THHN]")


def test_cables_alike_are_not_rounded_up() -> None:
    """The eight tenths that count as one more are for conductors: 3.87 cables of 0.437 in are three, not four."""
    s = one("EMT", ["4 x 12/2"], cable_width_in=0.437, trade_size="1-1/4", length_ft=10)
    assert s.results["fill_in2"] == pytest.approx(0.6, abs=1e-3)
    assert s.results["limit_in2[1-1/4]"] == pytest.approx(0.598)
    assert (s.results["allowed[1-1/4]"], s.passes) == (3, False)
    assert s.results["smallest_trade_size"] == "1-1/2"


@pytest.mark.parametrize(
    ("holds", "length_ft", "room"),
    [
        (["1 x 6 THHN", "1 x 8 THHN"], 10, 0.4 * 0.864 - 0.0507 - 0.0366),  # two now at 31 %, three at 40 %
        (["2 x 6 THHN", "1 x 8 THHN"], 10, 0.4 * 0.864 - 2 * 0.0507 - 0.0366),
        (["1 x 6 THHN", "1 x 8 THHN"], 2, 0.6 * 0.864 - 0.0507 - 0.0366),  # a nipple keeps its share
    ],
)
def test_one_more_is_tried_at_the_share_that_it_would_make(holds: list[str], length_ft: float, room: float) -> None:
    """A third conductor raises the share from 31 to 40 %; in a nipple the share doesn't go by number."""
    s = one("EMT", holds, trade_size="1", length_ft=length_ft)
    assert s.results["room_in2"] == pytest.approx(room, abs=6e-4)
    assert ("share_with_more_pct" in s.results) is (holds[0].startswith("1") and length_ft > 2)


@pytest.mark.parametrize(
    ("size", "most"),
    [("1/2", 1), ("3/4", 1), ("1", 3), ("1-1/4", 5)],
)
def test_the_most_of_one_kind_goes_by_the_share_of_that_number(size: str, most: int) -> None:
    """4 AWG THHN (0.0824 in2) in EMT: 1/2 in 53 % of 0.304 is 1.96, 31 % of it 1.14: one. 3/4 in 31 % of 0.533: 2.0 is two."""
    found = results("EMT", ["1 x 4 THHN"], trade_size=size, length_ft=10)
    table = {"1/2": 0.304, "3/4": 0.533, "1": 0.864, "1-1/4": 1.496}[size]
    by_share = {n: int(round(table * pct, 3) / 0.0824 + 0.2) for n, pct in ((1, 0.53), (2, 0.31), (3, 0.40))}
    expected = by_share[3] if by_share[3] >= 3 else 2 if by_share[2] >= 2 else min(by_share[1], 1)
    assert found["most_conductors"] == expected
    assert found["more_that_fit[4 AWG THHN]"] == expected - 1


@pytest.mark.parametrize("length_ft", [2.0, 2.01])
def test_a_nipple_says_so_and_a_longer_one_is_none(length_ft: float) -> None:
    """24 in is the longest."""
    found = results("RMC", ["4 x 6 THHN"], length_ft=length_ft)
    assert ("nipple" in found, found["limit_pct"]) == ((True, 60) if length_ft == 2 else (False, 40))
    unknown = one("RMC", ["4 x 6 THHN"])
    assert unknown.results["limit_pct"] == 40
    assert any("length" in text.lower() for text in unknown.cautions)


# ---- whips


@pytest.mark.parametrize(
    ("holds", "passes"),
    [
        (["3 x 14 THHN + 14 ground"], True),
        (["3 x 14 THHN", "14 bare"], True),
        (["2 x 14 THHN + 2 x 14 ground"], True),  # the second ground counts as a conductor: three
        (["3 x 14 THHN + 2 x 14 ground"], False),
        (["2 x 14 THHN", "1 x 14 THHN"], True),
        (["2 x 14 THHN", "2 x 14 THHN"], False),
        (["14-14-14 THHN"], True),
        (["2 x 14-14-14 THHN"], False),  # two sets of three: six
    ],
)
def test_one_ground_of_a_whip_is_free_and_each_further_one_counts(holds: list[str], passes: bool) -> None:
    """Three 14 AWG THHN go into 3/8 flexible conduit with fittings inside, and one ground besides."""
    assert one("FMC", holds, trade_size="3/8", length_ft=5).passes is passes


def test_a_whip_holds_the_conductors_of_its_runs_too_and_wants_them_listed() -> None:
    """Two of the list and two of a run are four, over three; a run that lists none is not shown."""
    pipe = {"name": "w", "kind": "FMC", "trade_size": "3/8", "length_ft": 5, "holds": ["2 x 14 THHN"]}
    run = {"name": "r", "role": "branch", "fed_from": "utility", "volts": 120, "raceway": "w", "calculated_a": 5}
    (full,) = work(job_of([pipe], [{**run, "cable": "2 x 14 THHN"}]))
    assert (full.results["whip_count"], full.passes) == (4, False)
    (single,) = work(job_of([pipe], [{**run, "cable": "1 x 14 THHN"}]))
    assert (single.results["whip_count"], single.passes) == (3, True)
    (unknown,) = work(job_of([pipe], [{**run, "insulation": "THHN", "material": "copper"}]))
    assert isinstance(unknown.refused, Missing)
    assert unknown.refused.at == "runs[1].cable"
    (empty,) = work(job_of([{**pipe, "holds": []}]))
    assert isinstance(empty.refused, Missing)
    assert empty.refused.at == "raceways[1].holds"


def test_a_run_may_be_a_whip_of_its_own() -> None:
    """By its own conductors, length and raceway; how its fittings grip is then taken as the one that holds less."""
    run = {"name": "r", "role": "branch", "fed_from": "utility", "volts": 240, "wiring_method": "FMC",
           "raceway_trade_size": "3/8", "calculated_a": 10, "cable": "2 x 12 THHN + 12 ground"}  # fmt: skip
    (good,) = work(job_of([], [{**run, "length_ft": 6}]))
    assert (good.results["whip_count"], good.results["trade_size"], good.passes) == (2, "3/8", True)
    (long,) = work(job_of([], [{**run, "length_ft": 6.5}]))
    assert not long.passes
    (unknown,) = work(job_of([], [run]))
    assert [each.at for each in unknown.unknowns] == ["runs[1].length_ft"]


@pytest.mark.parametrize(
    ("holds", "fittings", "most"),
    [
        ("1 x 12 XHHW-2", "inside", 1),
        ("2 x 12 XHHW-2", "outside", 2),
        ("1 x 10 THHN", "outside", 1),
        ("2 x 14 XHHW-2", "inside", 2),
    ],
)
def test_the_number_of_a_whip_goes_by_insulation_size_and_fittings(holds: str, fittings: str, most: int) -> None:
    """Each cell of the table is for one insulation and size, by how the fittings grip; not said, the smaller number counts."""
    s = one("FMC", [holds], trade_size="3/8", length_ft=5, fittings=fittings)
    said = holds.split(" ")
    assert s.results[f"whip_most[{said[2]} AWG {said[3]}]"] == most
    assert s.passes
    taken = one("FMC", [holds], trade_size="3/8", length_ft=5)
    assert len(taken.remarks) == len(s.remarks) + 1, "that fittings inside are taken"
    assert any("general wiring" in text for text in s.cautions)


def test_a_whip_that_falls_short_names_its_rule_and_what_would_serve() -> None:
    """Too full or too long: the next trade size has no such limit; the length is from 348.20(A)(2)."""
    s = one("FMC", ["4 x 14 THHN"], trade_size="3/8", length_ft=7)
    assert {check.key: check.remedy.split(",")[0] for check in s.checks} == {
        "whip_holds": "trade size 1/2",
        "whip_short": "trade size 1/2",
    }
    assert cites(s, "whip_short") == {"whip_length"}
    assert cites(s, "whip_holds") >= {"whip"}


# ---- too much for one


@pytest.mark.parametrize(
    ("holds", "size", "smallest", "remedy"),
    [
        ("9 x 6 THHN", "3/4", "1-1/4", "trade size 1-1/4"),  # 0.4563 in2; 1 in EMT allows 0.346, 1-1/4 0.598
        ("12 x 750 THHN", "4", "none: EMT ends at 4", "more than one raceway"),
    ],
)
def test_an_overfull_raceway_names_the_size_that_serves_or_that_none_does(
    holds: str, size: str, smallest: str, remedy: str
) -> None:
    """The smallest that holds it; past the largest, more than one raceway."""
    s = one("EMT", [holds], trade_size=size)
    (check,) = s.checks
    assert (s.results["smallest_trade_size"], check.holds.holds, check.remedy) == (smallest, False, remedy)


# ---- wireways


def test_the_fill_of_a_wireway_is_of_its_whole_inside_and_its_adjustment_is_pointed_at() -> None:
    """10 of 12 AWG THHN in 16 in2: 0.133 / 16 = 0.83 %; up to 30 that carry current are not adjusted (376.22(B))."""
    s = one("metal-wireway", ["10 x 12 THHN"], **SQUARE)
    assert s.results["fill_pct"] == pytest.approx(100 * 0.133 / 16)
    assert any("more than 30 current-carrying" in text for text in s.cautions)


def test_more_that_fit_in_a_wireway_are_those_of_the_room_left() -> None:
    """16 in2 x 20 % = 3.2 less 10 x 0.0133 leaves 3.067: 230 more of 12 AWG; a full one takes none."""
    s = one("metal-wireway", ["10 x 12 THHN"], **SQUARE)
    assert s.results["room_in2"] == pytest.approx(3.067)
    assert s.results["more_that_fit[12 AWG THHN]"] == 230
    assert one("metal-wireway", ["300 x 12 THHN"], **SQUARE).results["more_that_fit[12 AWG THHN]"] == 0


def test_the_largest_is_told_by_size_not_by_its_name() -> None:
    """250 kcmil and 1/0 beside 4 AWG, though '4' comes after them in the alphabet; what falls short says what would serve."""
    s = one("metal-wireway", ["1 x 4 THHN", "1 x 250 THHN", "1 x 1/0 THHN"], **SQUARE)
    assert s.results["bending_in[250 kcmil]"] == 4.5
    assert remedy(s, "wireway_bends") == "a wireway 4.5 in across where they bend"
    full = one("metal-wireway", ["300 x 12 THHN"], **{**SQUARE, "splices_in2": 9})
    assert remedy(full, "wireway_large_enough") == "a wireway of 19.95 in2 inside, or more"
    assert remedy(full, "splices_fit") == "a wireway of 17.32 in2 inside, or more"


@pytest.mark.parametrize(("more", "passes"), [({"bend_in": 4.5}, True), ({"bend_in": 4.4}, False), ({}, False)])
def test_the_largest_conductor_decides_the_room_to_bend(more: dict[str, Any], passes: bool) -> None:
    """250 kcmil wants 4.5 in where 12 AWG wants nothing; the way that they bend is as stated, else the smaller side."""
    sides = {"width_in": 8, "height_in": 4, "splices_in2": 0}
    assert one("metal-wireway", ["3 x 12 THHN", "1 x 250 THHN"], **sides, **more).passes is passes
    assert "bending_in[12 AWG]" not in one("metal-wireway", ["3 x 12 THHN"], **sides).results


# ---- runs and tables


def test_each_set_of_a_run_has_a_raceway_to_itself_and_a_shared_one_holds_all_of_them() -> None:
    """Two sets of three 1/0: three in each raceway of its own, six in the one that they share."""
    run = {**RUN, "calculated_a": 200, "breaker_a": 225, "sets": 2, "size": "1/0", "neutral_size": "1/0",
           "ground_size": "4", "terminations_from_c": 75, "terminations_to_c": 75}  # fmt: skip
    (alone,) = work(job_of([], [{**run, "wiring_method": "PVC-40"}]))
    assert alone.results["conductors"] == 4
    (single,) = work(job_of([], [{**run, "wiring_method": "PVC-40", "calculated_a": 100, "breaker_a": 100, "sets": 1}]))
    assert len(set(alone.cautions) - set(single.cautions)) == 1, "that it is of one set"
    (shared,) = work(job_of([{"name": "trench", "kind": "PVC-40"}], [{**run, "raceway": "trench"}]))
    assert shared.results["conductors"] == 8


def test_a_cable_that_a_run_only_names_by_its_type_is_a_cable_in_the_raceway() -> None:
    """NM whose size is to be found is still one cable, of the diameter that the raceway states."""
    run = {"name": "r", "role": "branch", "fed_from": "utility", "volts": 120, "raceway": "p", "calculated_a": 10}
    for keys in ({"wiring_method": "NM", "material": "copper"}, {"cable": "12/2 NM"}):
        (s,) = work(job_of([{"name": "p", "kind": "EMT", "cable_width_in": 0.437}], [{**run, **keys}]))
        assert (s.results["conductors"], s.results["limit_pct"]) == (1, 53)
        assert s.results["fill_in2"] == pytest.approx(0.150, abs=5e-4)
        assert ("'12/2 NM' of r" if "cable" in keys else "NM cable of r") in str(s.as_json()["lines"])


def test_a_run_that_is_taken_out_leaves_its_raceway() -> None:
    """Only live runs lie in it; without any it waits for what it holds."""
    run = {**RUN, "cable": "3 x 6 THWN-2 + 10 ground", "raceway": "trench"} | {"insulation": None, "material": None}
    run = {key: value for key, value in run.items() if value is not None}
    pipe = {"name": "trench", "kind": "PVC-40", "holds": ["2 x 12 THWN-2"]}
    (live,) = work(job_of([pipe], [run]))
    (gone,) = work(job_of([pipe], [{**run, "status": "removed"}]))
    assert (live.results["conductors"], gone.results["conductors"]) == (6, 2)


def test_the_table_has_a_row_for_each_raceway_with_fill_and_verdict() -> None:
    """Name, kind, size, filled, allowed, smallest size and verdict; numbers stand to the right."""
    job = job_of([{"name": "riser", "kind": "PVC-80", "trade_size": "1-1/4", "holds": ["3 x 1 THHN"]}])
    (table,) = raceway.tables(House.of(job))
    (row,) = table.rows
    assert row[:3] == ["riser", "PVC-80", "1-1/4"]
    assert row[4:] == ["40 %", "1-1/4", "passes"]
    assert [column.align for column in table.columns] == ["left", "left", "right", "right", "right", "right", "left"]


def test_a_run_alone_in_its_raceway_says_nothing_of_compact_conductors() -> None:
    """Only a raceway of the job says that they are: 4/0 XHHW-2 counts at its full 0.3197 in2."""
    run = {**RUN, "material": "aluminum", "insulation": "XHHW-2", "size": "4/0", "neutral_size": "4/0", "ground_size": "4",
           "calculated_a": 150, "wiring_method": "PVC-40"}  # fmt: skip
    (s,) = work(job_of([], [run]))
    assert s.results["part_in2[4/0 AWG XHHW-2]"] == pytest.approx(3 * 0.3197)


def test_compact_conductors_of_a_run_are_its_aluminum_alone() -> None:
    """A copper ground beside compact aluminum keeps its own area."""
    run = {"name": "r", "role": "feeder", "fed_from": "utility", "volts": 240, "neutral": False, "calculated_a": 100,
           "breaker_a": 100, "raceway": "p", "material": "aluminum", "insulation": "XHHW-2", "size": "1/0",
           "ground_size": "6"}  # fmt: skip
    pipe = {"name": "p", "kind": "EMT", "compact": True}
    names = {
        "aluminum": {True: "1/0 AWG XHHW-2 compact", False: "1/0 AWG XHHW-2"},
        "copper": {True: "1/0 AWG XHHW-2", False: "1/0 AWG XHHW-2"},
    }
    for metal, by_pipe in names.items():
        for compact, name in by_pipe.items():
            text = {"code": {"edition": "2023"}, "job": {"name": "t"}, "raceways": [{**pipe, "compact": compact}]}
            (found,) = work(make_job({**text, "runs": [{**run, "material": metal}]}))
            assert f"part_in2[{name}]" in found.results
