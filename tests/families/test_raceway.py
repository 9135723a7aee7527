"""Raceway fill: the slips of the trade notes, each rule, what is refused, and what must always hold."""

from __future__ import annotations

import random
from math import hypot
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.codebook import editions
from calc.families import raceway
from calc.families.raceway.section import pack
from calc.job import Job, JobError
from calc.job.read import make_job
from calc.wiring.house import House
from calc.work import FALLS_SHORT, NOT_SHOWN, PASSES, Missing, Sheet


def job_of(raceways: list[dict[str, Any]], runs: list[dict[str, Any]] | None = None, edition: str = "2023") -> Job:
    return make_job({"code": {"edition": edition}, "job": {"name": "test"}, "raceways": raceways, "runs": runs or []})


def one(kind: str = "EMT", holds: list[str] | None = None, **more: Any) -> Sheet:
    job = job_of([{"name": "raceway", "kind": kind, "holds": holds or [], **more}])
    sheet = raceway.work(House.of(job))[0]
    sheet.as_json()  # replayed
    return sheet


def results(*args: Any, **more: Any) -> dict[str, Any]:
    return one(*args, **more).results


SHOP = ["3 x 1 THHN + 8 ground"]


# ---- the slips of the trade notes: 3 x 1 AWG THHN and an 8 AWG ground, schedule 80


def test_slips_of_the_shop_riser() -> None:
    """Slips 1 to 3: 0.505 in2 needs 1-1/2 of schedule 80; 1-1/4 of schedule 40 would do; without the ground it passes."""
    found = results("PVC-80", SHOP, trade_size="1-1/4")
    assert found["fill_in2"] == pytest.approx(0.505, abs=5e-4)
    assert (found["passes"], found["smallest_trade_size"], found["limit_pct"]) == (False, "1-1/2", 40)
    assert found["limit_in2[1-1/4]"] == pytest.approx(0.495, abs=5e-4)
    assert results("PVC-40", SHOP)["trade_size"] == "1-1/4"
    assert results("PVC-80", ["3 x 1 THHN"], trade_size="1-1/4")["passes"]


@pytest.mark.parametrize(("length_ft", "pct"), [(1.5, 60), (2.0, 60), (2.5, 40), (10, 40)])
def test_only_a_nipple_of_24_in_or_less_fills_to_60(length_ft: float, pct: int) -> None:
    """Slip 4."""
    assert results("RMC", ["4 x 6 THHN"], length_ft=length_ft)["limit_pct"] == pct


@pytest.mark.parametrize(("count", "pct"), [(1, 53), (2, 31), (3, 40), (12, 40)])
def test_share_by_number(count: int, pct: int) -> None:
    """Slip 5: two at 31 %, not 40 %."""
    assert results("EMT", [f"{count} x 12 THHN"], length_ft=10)["limit_pct"] == pct


def test_a_cable_counts_as_one_conductor_by_its_larger_diameter() -> None:
    """Slip 6; one 12/2 of 0.437 in: 0.150 in2 at 53 %."""
    found = results("EMT", ["12/2 with ground"], cable_width_in=0.437)
    assert (found["conductors"], found["limit_pct"], found["trade_size"]) == (1, 53, "1/2")
    assert found["fill_in2"] == pytest.approx(0.150, abs=5e-4)


def test_a_bare_ground_takes_less_than_an_insulated_one() -> None:
    """Slip 9: 8 AWG 0.0366 in2 insulated, 0.017 in2 bare and stranded, which the sheet says."""
    assert results("EMT", ["3 x 6 THHN + 8 ground"])["fill_in2"] == pytest.approx(3 * 0.0507 + 0.0366)
    bare = one("EMT", ["3 x 6 THHN", "8 bare"])
    assert bare.results["fill_in2"] == pytest.approx(3 * 0.0507 + 0.017)
    assert "stranded" in bare.as_json()["notes"][0]["text"]


def test_the_round_up_is_for_equal_sizes_only() -> None:
    """Slip 10: twelve 14 AWG RHH in 1 in EMT quotient 11.81: twelve equal ones pass, a mixed lot of that area fails."""
    equal = one("EMT", ["12 x 14 RHH"], trade_size="1")
    assert equal.results["most_conductors"] == 12
    assert equal.passes
    mixed = one("EMT", ["11 x 14 RHH", "1 x 14 RHH + 14 bare"], trade_size="1")
    assert not mixed.passes
    assert equal.results["fill_in2"] > 0.346, "the area alone would fail"


# ---- conductors


@pytest.mark.parametrize(
    ("said", "area"),
    [("1 x 6 THHN", 0.0507), ("1 x 6 THWN-2", 0.0507), ("1 x 6 XHHW-2", 0.059), ("1 x 6 THW", 0.0726), ("1 x 6 TW", 0.0726),
     ("1 x 6 RHW", 0.1041), ("1 x 6 RHW without covering", 0.0726), ("1 x 12 bare", 0.006)],
)  # fmt: skip
def test_areas_by_insulation(said: str, area: float) -> None:
    """Chapter 9, tables 5 and 8."""
    assert results("EMT", [said])["fill_in2"] == pytest.approx(area)


def test_compact_aluminum_has_its_own_table() -> None:
    """Chapter 9, table 5A: 4/0 XHHW compact 0.2733 in2, else 0.3197; copper stays as it is."""
    assert results("EMT", ["3 x 4/0 XHHW-2 Al"])["fill_in2"] == pytest.approx(3 * 0.3197)
    assert results("EMT", ["3 x 4/0 XHHW-2 Al"], compact=True)["fill_in2"] == pytest.approx(3 * 0.2733)
    assert results("EMT", ["3 x 4/0 XHHW-2"], compact=True)["fill_in2"] == pytest.approx(3 * 0.3197)


def test_jam_caution() -> None:
    """Side job: three 1 AWG THHN in 1-1/4 EMT, 1.380 / 0.446 = 3.09."""
    jams = one("EMT", ["3 x 1 THHN"], trade_size="1-1/4")
    assert jams.results["jam_ratio"] == pytest.approx(3.09, abs=0.005)
    assert jams.results["jamming"] == "can jam"
    assert jams.passes, "advice, not a limit"
    assert any("jam" in text for text in jams.cautions)
    assert results("EMT", ["3 x 1 THHN"], trade_size="2")["jamming"] == "not likely"
    assert "jamming" not in results("EMT", ["4 x 1 THHN"], trade_size="2")


def test_insulations_of_like_dimensions_count_as_one_size() -> None:
    """Six THHN and six THWN-2 of one size are twelve equal conductors, called by the first name."""
    found = results("EMT", ["6 x 14 THWN-2", "6 x 14 THHN"], trade_size="1/2")
    assert found["most_conductors"] == 12
    assert found["part_in2[14 AWG THWN-2]"] == pytest.approx(12 * 0.0097)


# ---- what is refused


@pytest.mark.parametrize(
    ("kind", "holds", "more", "said"),
    [
        ("EMT", [], {}, "Nothing is said to be in this raceway"),
        ("EMT", ["3 x 6"], {}, "names no insulation"),
        ("EMT", ["3 x 6 USE-2"], {}, "USE has no dimensions"),
        ("EMT", ["3 x 1000 THHN"], {}, "it lists 14 AWG to 750 kcmil"),
        ("EMT", ["12/2"], {}, "the larger diameter"),
        ("ENT", ["3 x 6 THHN"], {"trade_size": "3"}, "no row for ENT, trade size 3"),
        ("FMC", ["2 x 14 THHN + 12 ground"], {"trade_size": "3/8"}, "of one size and insulation"),
        ("ENT", ["12 x 500 THHN"], {}, "take more than one raceway"),
    ],
)
def test_refused_with_the_reason(kind: str, holds: list[str], more: dict[str, Any], said: str) -> None:
    sheet = one(kind, holds, **more)
    assert sheet.refused is not None
    assert said in sheet.refused.reason


@pytest.mark.parametrize(
    ("holds", "fittings", "passes"),
    [
        ("2 x 12 THHN + 12 ground", "inside", True),
        ("3 x 12 THHN + 12 ground", "inside", False),
        ("3 x 12 THHN + 12 ground", "outside", True),
        ("4 x 14 THHN + 14 ground", "outside", True),
        ("4 x 14 THHN + 14 ground", "inside", False),
        ("3 x 14 THHN + 2 x 14 ground", "inside", False),
        ("2 x 12 XHHW-2 + 12 ground", "outside", True),
        ("3 x 12 THHN", None, False),
    ],
)
@pytest.mark.parametrize("kind", ["FMC", "LFMC"])
def test_a_whip_holds_what_its_table_says(kind: str, holds: str, fittings: str | None, passes: bool) -> None:
    """Table 348.22: two 12 AWG THHN where fittings grip inside, three outside, and one ground of the size besides."""
    more = {} if fittings is None else {"fittings": fittings}
    assert one(kind, [holds], trade_size="3/8", length_ft=5, **more).passes == passes


def test_a_whip_is_6_ft_long_at_most() -> None:
    """348.20(A)(2); a length that nobody entered is asked for."""
    for length, passes in ((6, True), (6.1, False)):
        assert one("FMC", ["2 x 14 THHN"], trade_size="3/8", length_ft=length).passes == passes
    unknown = one("FMC", ["2 x 14 THHN"], trade_size="3/8")
    assert [each.at for each in unknown.unknowns] == ["raceways[1].length_ft"]


# ---- metal wireways

SQUARE = {"width_in": 4, "height_in": 4, "splices_in2": 0}


@pytest.mark.parametrize("edition", editions())
@pytest.mark.parametrize(("count", "passes"), [(240, True), (241, False)])
def test_a_metal_wireway_fills_to_a_fifth(edition: str, count: int, passes: bool) -> None:
    """376.22(A): of 16 in2 inside 3.2 may be filled, which 240 of 12 AWG THHN (0.0133 in2) do with 0.008 in2 to spare."""
    job = job_of(
        [{"name": "trough", "kind": "metal-wireway", "holds": [f"{count} x 12 THHN"], **SQUARE}], edition=edition
    )
    sheet = raceway.work(House.of(job))[0]
    assert sheet.results["wireway_room_in2"] == pytest.approx(3.2)
    assert sheet.passes == passes


def test_a_short_wireway_is_no_nipple() -> None:
    """The 60 % of a nipple are not for wireways."""
    assert one("metal-wireway", ["241 x 12 THHN"], length_ft=1, **SQUARE).results["limit_pct"] == 20


@pytest.mark.parametrize(("splices_in2", "status"), [(11.33, PASSES), (11.34, FALLS_SHORT), (None, NOT_SHOWN)])
def test_splices_in_a_wireway_leave_a_quarter_free(splices_in2: float | None, status: str) -> None:
    """376.56(A): 50 of 12 AWG THHN take 0.665 in2, so of the 12 in2 allowed 11.335 are left; not entered is not known."""
    found = {"width_in": 4, "height_in": 4, **({} if splices_in2 is None else {"splices_in2": splices_in2})}
    assert one("metal-wireway", ["50 x 12 THHN"], **found).status == status


@pytest.mark.parametrize(
    ("size", "more", "passes"),
    [
        ("1/0", {}, True),
        ("250", {}, False),
        ("250", {"width_in": 6}, False),
        ("250", {"width_in": 6, "bend_in": 6}, True),
    ],
)
def test_conductors_have_room_to_bend_in_a_wireway(size: str, more: dict[str, Any], passes: bool) -> None:
    """376.23(A): 1/0 AWG needs 3.5 in, 250 kcmil 4.5 in, across the smaller side where it is not said which way they bend."""
    assert one("metal-wireway", [f"3 x {size} THHN"], **{**SQUARE, **more}).passes == passes


@pytest.mark.parametrize("side", ["width_in", "height_in"])
def test_the_inside_of_a_wireway_is_asked_for(side: str) -> None:
    """It has no trade size to tell it by."""
    refused = one(
        "metal-wireway", ["3 x 12 THHN"], **{key: value for key, value in SQUARE.items() if key != side}
    ).refused
    assert isinstance(refused, Missing)
    assert refused.at == f"raceways[1].{side}"


@pytest.mark.parametrize("size", ["5", "6"])
def test_a_trade_size_without_a_known_inside_is_refused_where_it_is_read(size: str) -> None:
    """No second source gives the inside of trade sizes 5 and 6, so a job that states one is told what is taken."""
    with pytest.raises(JobError, match="2-1/2"):
        one("PVC-80", ["3 x 250 XHHW-2"], trade_size=size)


@pytest.mark.parametrize(
    ("holds", "at"),
    [([], "raceways[1].holds"), (["3 x 6"], "raceways[1].holds[1]"), (["12/2"], "raceways[1].cable_width_in")],
)
def test_what_a_raceway_lacks_is_named_with_its_place(holds: list[str], at: str) -> None:
    """What lies in it, its insulation, the width of a cable: not shown until it is entered."""
    s = one("EMT", holds)
    assert s.status == "not shown"
    assert isinstance(s.refused, Missing)
    assert s.refused.at == at


def test_small_trade_sizes_are_not_proposed() -> None:
    """Trade size 3/8 is for a few short uses only; given, it is worked."""
    assert results("LFNC-B", ["1 x 14 THHN"])["trade_size"] == "1/2"
    assert results("LFNC-B", ["1 x 14 THHN"], trade_size="3/8")["passes"]


# ---- runs

RUN = {"name": "shop", "role": "feeder", "fed_from": "utility", "volts": 240, "material": "copper", "calculated_a": 40,
       "length_ft": 145, "insulation": "THWN-2"}  # fmt: skip


def work(job: Job) -> list[Sheet]:
    sheets = raceway.work(House.of(job))
    for sheet in sheets:
        sheet.as_json()
    return sheets


def test_a_run_brings_the_conductors_of_its_own_sheet() -> None:
    stated = {**RUN, "size": "6", "neutral_size": "6", "ground_size": "10", "wiring_method": "PVC-80", "breaker_a": 60}
    sheet = work(job_of([], [stated]))[0]
    assert sheet.subject == "shop"
    assert sheet.results["run_conductors[shop]"].startswith(
        "2 x 6 AWG ungrounded, 1 x 6 AWG neutral, 1 x 10 AWG ground"
    )
    assert sheet.results["fill_in2"] == pytest.approx(3 * 0.0507 + 0.0211)


def test_runs_share_a_raceway_with_what_it_holds() -> None:
    pipe = {"name": "trench", "kind": "PVC-40", "holds": ["2 x 12 THWN-2 + 12 ground"]}
    run = {k: v for k, v in RUN.items() if k not in ("insulation", "material")}
    sheets = work(job_of([pipe], [{**run, "cable": "3 x 6 THWN-2 + 10 ground", "raceway": "trench", "sets": 1}]))
    assert len(sheets) == 1
    assert sheets[0].results["conductors"] == 7
    assert sheets[0].results["fill_in2"] == pytest.approx(3 * 0.0507 + 0.0211 + 3 * 0.0133)


def test_a_run_that_is_not_worked_leaves_its_raceway_so() -> None:
    """With the reason and the sections of its own sheet."""
    sheet = work(job_of([], [{**RUN, "calculated_a": 3900, "breaker_a": 4000, "wiring_method": "EMT"}]))[0]
    assert sheet.refused is not None
    assert sheet.status == "not worked"
    assert "not worked on its sheet of conductors" in sheet.refused.reason


def test_a_run_that_lacks_an_entry_leaves_its_raceway_not_shown() -> None:
    """The entry that is missing is named with its place."""
    unknown = {k: v for k, v in RUN.items() if k != "calculated_a"} | {"feeds": "Bench", "wiring_method": "EMT"}
    data = {"code": {"edition": "2023"}, "job": {"name": "test"}, "panels": [{"name": "Bench"}], "runs": [unknown]}
    sheet = work(make_job(data))[0]
    assert isinstance(sheet.refused, Missing)
    assert sheet.refused.at.startswith("runs[1].")
    assert "not shown on its sheet of conductors" in sheet.refused.reason


def test_needs_a_raceway() -> None:
    assert raceway.needs(job_of([], [{**RUN, "wiring_method": "NM", "insulation": "THHN"}]))
    assert raceway.needs(job_of([], [{**RUN, "wiring_method": "EMT"}])) == []


# ---- what must always hold

KINDS = ["EMT", "IMC", "RMC", "FMC", "LFMC", "LFNC-A", "LFNC-B", "ENT", "PVC-40", "PVC-80", "HDPE"]
LOTS = st.lists(
    st.tuples(st.integers(1, 9), st.sampled_from(["14", "12", "10", "8", "6", "4"]), st.sampled_from(["THHN", "XHHW", "THW"])),
    min_size=1, max_size=4,
)  # fmt: skip


def text(lot: list[tuple[int, str, str]]) -> list[str]:
    return [f"{count} x {size} {insulation}" for count, size, insulation in lot]


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(KINDS), LOTS, st.sampled_from([1.0, 10.0]))
def test_the_smallest_size_passes_and_the_next_smaller_fails(kind: str, lot: Any, length_ft: float) -> None:
    found = one(kind, text(lot), length_ft=length_ft)
    if found.refused:
        assert "take more than one raceway" in found.refused.reason
        return
    smallest = found.results["smallest_trade_size"]
    sizes = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]
    assert one(kind, text(lot), length_ft=length_ft, trade_size=smallest).passes
    if smallest != "1/2":
        below = sizes[sizes.index(smallest) - 1]
        sheet = one(kind, text(lot), length_ft=length_ft, trade_size=below)
        assert not sheet.passes
        assert sheet.as_json()["checks"][0]["remedy"] == f"trade size {smallest}"


@settings(max_examples=80, deadline=None)
@given(LOTS, st.integers(0, 3))
def test_as_many_more_fit_as_the_sheet_says(lot: Any, which: int) -> None:
    found = one("PVC-40", text(lot), length_ft=10)
    if found.refused:
        return
    _, size, insulation = lot[which % len(lot)]
    more = found.results[f"more_that_fit[{size} AWG {insulation}]"]
    trade = found.results["trade_size"]
    added = [f"{int(more)} x {size} {insulation}"] if more else []
    assert one("PVC-40", text(lot) + added, length_ft=10, trade_size=trade).passes
    over = [f"{int(more) + 1} x {size} {insulation}"]
    assert not one("PVC-40", text(lot) + over, length_ft=10, trade_size=trade).passes


@settings(max_examples=50, deadline=None)
@given(LOTS, st.sampled_from(["1 x 12 THHN", "1 x 8 bare", "1 x 4 THW"]))
def test_adding_a_conductor_never_empties_a_raceway(lot: Any, more: str) -> None:
    before, after = one("RMC", text(lot)), one("RMC", [*text(lot), more])
    assert after.results["fill_in2"] > before.results["fill_in2"]


def test_discs_of_the_section_neither_overlap_nor_leave_the_ring() -> None:
    rng = random.Random(9)
    for _ in range(40):
        radii = sorted((rng.uniform(0.05, 0.2) for _ in range(rng.randint(1, 14))), reverse=True)
        discs = pack(radii, 1.0)
        assert len(discs) == len(radii)
        for at, (x, y, r) in enumerate(discs):
            assert hypot(x, y) <= 1.0 - r + 1e-6
            assert all(hypot(x - a, y - b) >= r + q - 1e-6 for a, b, q in discs[:at])
    assert pack([0.6, 0.6], 1.0)[1][0] > 1.0, "what finds no room lies beside the ring"


def test_the_section_shows_every_conductor_and_says_so() -> None:
    job = job_of([{"name": "riser", "kind": "PVC-80", "trade_size": "1-1/4", "holds": SHOP}])
    (chart,) = raceway.charts(House.of(job), work(job))
    circles = [shape for shape in chart.data.shapes if shape.kind == "circle"]
    assert len(circles) == 1 + 4
    assert "3 x 1 AWG THHN, 0.446 in; 1 x 8 AWG THHN, 0.216 in" in chart.alt
    assert raceway.tables(House.of(job))[0].rows[0][-1] == "FALLS SHORT"


def test_what_takes_all_that_the_table_prints_still_fits() -> None:
    """3 x 14, 2 x 10 and a 6 THHN take 3 x 0.0097 + 2 x 0.0211 + 0.0507 = 0.122 in2, the 40 % column of 1/2 EMT."""
    s = one("EMT", ["3 x 14 THHN", "2 x 10 THHN", "1 x 6 THHN"], length_ft=10)
    assert s.results["fill_in2"] == pytest.approx(0.122)
    assert s.results["smallest_trade_size"] == "1/2"
    (line,) = [line for line in one("EMT", ["9 x 6 THHN"]).lines if line.key == "smallest_trade_size"]
    assert [pair.sign for pair in line.compared] == [">=", "<"]  # what fits, and the one size below


def test_each_set_of_a_run_lies_in_the_raceway_that_it_names() -> None:
    """Two sets of three ungrounded conductors are six, written out as wires or found by the run's own sheet."""
    keys: dict[str, Any] = {"name": "R", "role": "feeder", "fed_from": "utility", "volts": 240, "sets": 2, "raceway": "raceway",
                            "calculated_a": 200, "breaker_a": 225}  # fmt: skip
    for said in (
        {"cable": "3 x 1/0 THHN + 6 ground"},
        {"size": "1/0", "material": "copper", "insulation": "THHN", "neutral": True},
    ):
        (s,) = raceway.work(House.of(job_of([{"name": "raceway", "kind": "EMT"}], [keys | said])))
        assert s.results["conductors"] == 8, said


def test_a_raceway_that_nothing_serves_is_not_drawn() -> None:
    """Neither is one whose size the table lacks; beside them, one that is worked is."""
    raceways = [
        {"name": name, "kind": "EMT", "holds": [f"{count} x 500 THHN"]} for name, count in (("full", 90), ("good", 3))
    ]
    house = House.of(job_of(raceways))
    found = raceway.work(house)
    assert [s.refused is None for s in found] == [False, True]
    assert [chart.title for chart in raceway.charts(house, found)] == [raceway.charts(house, found)[0].title]
    assert "good" in raceway.charts(house, found)[0].title


def test_a_cable_s_area_and_the_splices_of_a_wireway_say_by_what_rule() -> None:
    """Chapter 9 note 9 makes one conductor of a cable; 376.56(A) has splices and taps within 75 %."""
    lines = {line["key"]: line for line in one("EMT", ["12/2 with ground"], cable_width_in=0.437).as_json()["lines"]}
    assert "Chapter 9, notes 5 and 9" in str(lines["area_in2[cable]"]["sections"])
    (unknown,) = [u for u in one("wireway", ["3 x 6 THHN"], width_in=4, height_in=4).unknowns if u.key == "splices_fit"]
    assert [cite.section for cite in unknown.cites] == ["376.56(A)"]
