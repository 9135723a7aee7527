"""The runs of a house, one row each: what they carry, what they are made of, and what they have left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calc.documents.house import amounts
from calc.documents.house.found import Found, checks, needed, number, sheet_name, state, why, word
from calc.documents.house.made_of import conductors, ground, way
from calc.families.voltage_drop.advice import limit
from calc.job import Run
from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.table import Table, weighed

CARRIES = ("dwelling_share", "carries_load", "carries_continuous")


@dataclass(frozen=True)
class Rows:
    """The sheets about one run, as far as they are in scope."""

    run: Run
    conductors: Sheet | None
    drop: Sheet | None
    raceway: Sheet | None

    @property
    def sheets(self) -> tuple[Sheet | None, ...]:
        """All of them."""
        return (self.conductors, self.drop, self.raceway)


def run_table(house: House, standing: Standing) -> Table | None:
    """One row for each run in scope, in the order of the job; None where there is none."""
    found = Found(standing.sheets)
    rows = list(_runs(house, found))
    if not rows:
        return None
    return Table(
        title="Runs",
        columns=weighed(
            ("Run", 30), ("Load, A", 13, "right"), ("Breaker, A", 16, "right"), ("Conductors", 26), ("Ground", 14),
            ("Method, place, length", 25), ("Needs, A", 14, "right"), ("Ampacity, A", 18, "right"), ("Decided by", 19),
            ("Drop, % of limit", 18), ("Raceway, fill, %", 18), ("Left, %", 18), ("State", 15),
        ),
        rows=[_row(house, each) for each in rows],
        sheets=[sheet_name(*each.sheets) for each in rows],
        notes=[
            "Needs: the ampacity that the load, or a dwelling's share, asks for. Left: the least that ampacity, voltage drop "
            "or fill has left of its limit, and which of them that is.",
            *why((each.run.name, each.sheets) for each in rows),
        ],
    )  # fmt: skip


def _runs(house: House, found: Found) -> Iterator[Rows]:
    for run in house.job.runs:
        if run.status == "removed":
            continue
        drop = next((s for s in found.sheets.get("voltage-drop", ()) if s.subject == run.name), None)
        raceway = found.of("raceway", "Raceway fill", run.raceway or run.name)
        rows = Rows(run, found.of("feeder", "Conductors", run.name), drop, raceway)
        if any(rows.sheets):
            yield rows


def _row(house: House, it: Rows) -> list[str]:
    run, s = it.run, it.conductors
    needs = max((needed(check).number for check in checks(s, *CARRIES)), default=None)
    return [
        _from_to(run),
        _amperes(number(s, "calculated_a"), run.calculated_a),
        _rating(run, s),
        conductors(run, s),
        ground(run, s),
        way(run),
        "" if needs is None else amounts.load_a(needs),
        "" if (amperes := number(s, "ampacity_a")) is None else amounts.load_a(amperes),
        word(s, "governing_limit").removeprefix("the ").replace(", ", " ").replace(" °", "\u00a0°"),
        _drop(house, it),
        _raceway(it.raceway),
        _least_left(it),
        state(it.sheets),
    ]


def _from_to(run: Run) -> str:
    begins = run.fed_from or "not described"
    existing = " (existing)" if run.status == "existing" else ""
    return f"{run.name}{existing}: {begins} to {run.feeds}" if run.feeds else f"{run.name}{existing}: from {begins}"


def _amperes(worked: float | None, stated: float | None) -> str:
    amperes = stated if worked is None else worked
    return "" if amperes is None else amounts.load_a(amperes)


def _rating(run: Run, sheet: Sheet | None) -> str:
    rating = number(sheet, "breaker_a") or run.breaker_a
    return amounts.rating_a(rating) if rating else ""


def _drop(house: House, it: Rows) -> str:
    pct = number(it.drop, "drop_pct")
    if pct is None:
        return ""
    most = limit(house.code, it.run)
    if most is None:
        return f"{amounts.drop(pct)}, no limit"
    required = any(checks(it.drop, "own_within"))
    return f"{amounts.drop(pct)} of {most.number:g}" + ("" if required else " advised")


def _raceway(sheet: Sheet | None) -> str:
    """'2 in, 25 of 40'."""
    size, fill, most = word(sheet, "trade_size"), number(sheet, "fill_pct"), number(sheet, "limit_pct")
    if not size:
        return ""
    return f"{size} in" + (f", {amounts.used(fill / 100)} of {most:g}" if fill is not None and most is not None else "")


def _least_left(it: Rows) -> str:
    shares: dict[str, float] = {}
    for name, sheet, stems in (
        ("ampacity", it.conductors, CARRIES),
        ("drop", it.drop, ("own_within", "total_within")),
    ):
        for check in checks(sheet, *stems):
            share = amounts.share_used(check)
            if share is not None:
                shares[name] = max(share, shares.get(name, 0.0))
    fill, most = number(it.raceway, "fill_pct"), number(it.raceway, "limit_pct")
    if fill is not None and most:
        shares["fill"] = fill / most
    if not shares:
        return ""
    name = max(shares, key=lambda each: shares[each])
    return f"{amounts.left(shares[name])}, {name}"
