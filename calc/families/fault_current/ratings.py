"""What is available at a panel against its interrupting rating, or the series rating that covers it."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.families.fault_current.source import Point
from calc.job import Fault, Job, Panel, Run, place
from calc.wiring.house import House
from calc.wiring.reading import carry, read
from calc.work import Sheet, Value, larger
from calc.work.keys import item_of


def panels_at(job: Job, run: Run | None) -> list[Panel]:
    """Panels at the end of a run (or, without one, right at the utility), with those that hang on them without a run."""
    live = [panel for panel in job.panels if panel.status != "removed"]
    fed = {other.feeds for other in job.runs if other.status != "removed"}
    found = [panel for panel in live if panel.name == run.feeds] if run is not None else []
    names = {"utility"} if run is None else {panel.name for panel in found}
    while more := [p for p in live if p.fed_from in names and p.name not in fed and p not in found]:
        found += more
        names |= {panel.name for panel in more}
    return found


def nowhere(job: Job) -> list[Panel]:
    """Panels that no run and no other panel joins to the utility: no sheet is about them."""
    found = [panel for panel in job.panels if panel.status != "removed"]
    fed = {run.feeds for run in job.runs if run.status != "removed"}
    return [panel for panel in found if panel.fed_from is None and panel.name not in fed]


def not_known(sheet: Sheet, code: Codebook, panels: list[Panel]) -> None:
    """Say of each panel that hangs nowhere that nobody can tell what may flow there."""
    for panel in panels:
        sheet.unknown("interrupting_ok", "what feeds it: 'utility', a panel, or a run", place(panel, "fed_from"), panel.name,
                  [code.cite("interrupting_rating")])  # fmt: skip


def judge(sheet: Sheet, house: House, point: Point, panels: list[Panel]) -> None:
    """Each panel's rating against the largest current; where none is stated, that it is not known."""
    most = sheet.line("largest_fault_a", larger(*point.amperes.values()))
    sold = sheet.line("rating_sold_a", house.code.at_least("interrupting_ratings", most))
    remedy = f"breakers with an interrupting rating of {sold.number:,.0f} A, or a marked series rating that covers it"
    for panel in panels:
        if panel.interrupting_a is None:
            sheet.unknown(
                "interrupting_ok", f"the rating read from its breakers; {sold.number:,.0f} A or more is needed",
                place(panel, "interrupting_a"), panel.name, [house.code.cite("interrupting_rating")],
            )  # fmt: skip
            continue
        own = read(panel, "interrupting_a", f"interrupting rating of {panel.name}") >= most
        if own.holds or panel.series_rating_a is None:
            sheet.check("interrupting_ok", own, remedy, item=panel.name, cites=[house.code.cite("interrupting_rating")])
            continue
        sheet.find(
            "own_rating",
            "not enough by itself",
            [own.left < most],
            panel.name,
            [house.code.cite("interrupting_rating")],
        )
        series = read(panel, "series_rating_a", f"series rating of {panel.name}")
        sheet.check("series_ok", series >= most, remedy, item=panel.name, cites=[house.code.cite("series_rating")])
        sheet.caution("caution_series", panel=panel.name)


def by_angles(sheet: Sheet, code: Codebook, fault: Fault, ratios: Sequence[Value], others: Sequence[Sheet]) -> None:
    """Say of each rating that plain numbers meet and angles may not that the source's X/R decides.

    ``others`` are the same sheet with each of the ``ratios``, between which that of a transformer for dwellings lies.
    """
    met = [check for check in sheet.checks if check.holds.holds]
    if not met or any("largest_fault_a" not in other for other in others):
        return
    found = [
        carry(other, "largest_fault_a", f"largest fault current with an X/R of {ratio.number:g}")
        for ratio, other in zip(ratios, others, strict=True)
    ]
    most = larger(*found)
    open_ = [check for check in met if (check.holds.left < most).holds]
    if not open_:
        return
    cites = [code.cite(each) for each in ("x_over_r_least", "x_over_r_most", "interrupting_rating")]
    worst = sheet.line("largest_by_angles_a", most, cites=cites[:2])
    for check in open_:
        sheet.unknown("angles_serve", f"the source's X/R, which may let {worst.number:,.0f} A through", place(fault, "x_over_r"),
                  item_of(check.key), cites)  # fmt: skip
