"""Raceway: how full each raceway is, the smallest trade size that holds its conductors, and what more would fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from calc.families.raceway.contents import held
from calc.families.raceway.fill import Fill, filled, jam, more_that_fit, sized
from calc.families.raceway.section import cross_section
from calc.families.raceway.whip import WHIP, whip
from calc.families.raceway.wireway import wireway
from calc.job import Job, Raceway, Run
from calc.job.wiring import RacewayKind
from calc.wiring.house import House, remembered
from calc.wiring.tree import live_runs
from calc.work import Sheet, loud
from calc.work.chart import Chart
from calc.work.table import Table, columns

FAMILY = "raceway"
TITLE = "Raceway fill"
PLACE = 5


def needs(job: Job) -> list[str]:
    """What the job lacks for this family, in words; empty where it has all."""
    return [] if any(_raceways(job)) else ["[[raceways]], or [[runs]] in a raceway such as EMT"]


def work(house: House) -> list[Sheet]:
    """One sheet a raceway of the job, then one for each run that has a raceway to itself."""
    return [_worked(house, of)[0] for of in _raceways(house.job)]


def charts(house: House, sheets: Sequence[Sheet]) -> list[Chart]:
    """Each raceway cut across, to scale."""
    found = []
    for of in _raceways(house.job):
        s, fill, size = _worked(house, of)
        if fill is not None and size is not None:
            found.append(cross_section(s.subject, of, fill, size, house.code))
    return [chart for chart in found if chart is not None]


def tables(house: House) -> list[Table]:
    """All raceways on one page, the fullest first."""
    rows = [_row(of, s) for of, s in zip(_raceways(house.job), work(house), strict=True)]
    names = ("Raceway", "Kind", "Size", "Filled", "Allowed", "Smallest size", "Verdict")
    return [Table("Raceways", columns(*names, right=(2, 3, 4, 5)), rows)]


def _raceways(job: Job) -> Iterator[Raceway | Run]:
    yield from job.raceways
    kinds = get_args(RacewayKind)
    yield from (run for run in live_runs(job) if run.raceway is None and run.wiring_method in kinds)


@remembered
def _worked(house: House, of: Raceway | Run) -> tuple[Sheet, Fill | None, str | None]:
    s = house.sheet(FAMILY, "Raceway fill", of.name)
    fill, size = None, None
    with s.up_to_a_refusal():
        kind = of.kind if isinstance(of, Raceway) else str(of.wiring_method)
        if isinstance(of, Raceway) and kind in house.code.members("wireway_fill"):
            wireway(s, house, of)
            s.caution("caution_who_decides")
            return s, None, None
        if (of.trade_size if isinstance(of, Raceway) else of.raceway_trade_size) == WHIP and kind in house.code.members(
            "whip"
        ):
            whip(s, house, of)
            s.caution("caution_who_decides")
            return s, None, None
        fill = filled(s, house.code, of, kind, held(s, house, of))
        size = sized(fill, of.trade_size if isinstance(of, Raceway) else of.raceway_trade_size)
        more_that_fit(fill, size)
        jam(fill, size)
    if isinstance(of, Run) and of.sets > 1:
        s.caution("caution_each_set")
    s.caution("caution_ampacity")
    s.caution("caution_who_decides")
    return s, fill, size


def _row(of: Raceway | Run, sheet: Sheet) -> list[str]:
    shown = {line["key"]: line["result"] for line in sheet.as_json()["lines"]}
    verdict = loud(sheet.status)
    kind = of.kind if isinstance(of, Raceway) else str(of.wiring_method)
    return [sheet.subject, kind, *(shown.get(key, "") for key in ("trade_size", "fill_pct", "limit_pct", "smallest_trade_size")),
            verdict]  # fmt: skip
