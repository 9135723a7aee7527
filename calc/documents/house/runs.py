"""The runs of a house, one row each: what they carry, what they are made of, and what they have left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from calc.documents.house import amounts
from calc.documents.house.found import (
    Found,
    carries_the_dwelling,
    checks,
    needed,
    number,
    of_the_dwelling,
    sheet_name,
    state,
    why,
    word,
)
from calc.documents.house.made_of import conductors, ground, way
from calc.families.voltage_drop.advice import limit
from calc.job import Run
from calc.verdict.standing import Standing
from calc.wiring.circuits import branches
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
            ("Drop, % of limit", 18), ("Raceway, fill, %", 18), ("Left, %", 22), ("State", 15),
        ),
        rows=[_row(house, found, each) for each in rows],
        sheets=[sheet_name(*each.sheets) for each in rows],
        notes=[
            *_stated(house, found, rows),
            "Needs: the ampacity that the load asks for (a dwelling's in whole amperes), or a whole dwelling's share of the rating. Left: the least that ampacity, voltage drop "
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


def _row(house: House, found: Found, it: Rows) -> list[str]:
    run, s = it.run, it.conductors
    needs = max((needed(check).number for check in checks(s, *CARRIES)), default=None)
    return [
        _from_to(run),
        _amperes(_load_a(house, found, it)),
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


def _load_a(house: House, found: Found, it: Rows) -> float | None:
    """What flows in it, A: as the run states it; else as its circuit counts it, whose equipment may ask for more; else the
    load of the dwelling as page 1 says it; else as its sheet works it."""
    if it.run.calculated_a is not None:
        return it.run.calculated_a
    dwelling = of_the_dwelling(house, found) if carries_the_dwelling(house, it.run) else None
    if dwelling is not None:
        return dwelling[2]
    circuit = _circuit_a(house, found, it.run)
    return number(it.conductors, "calculated_a") if circuit is None else circuit


def _circuit_a(house: House, found: Found, run: Run) -> float | None:
    """The load of the circuit that a run is, A; None where it is none or that is not in scope."""
    name = next((b.name for b in branches(house) if b.run is not None and b.run.name == run.name), None)
    return number(found.of("branch-circuits", "Branch circuit", name), "load_a") if name else None


def _stated(house: House, found: Found, rows: Sequence[Rows]) -> Iterator[str]:
    """The runs whose stated load is not the one that their circuit comes to, each with both."""
    both = [(it.run, circuit) for it in rows if it.run.calculated_a is not None
             and (circuit := _circuit_a(house, found, it.run)) is not None
             and amounts.load_a(circuit) != amounts.load_a(it.run.calculated_a)]  # fmt: skip
    said = [f"{run.name} {_amperes(run.calculated_a)} A, {_amperes(circuit)} A" for run, circuit in both]
    if said:
        yield f"Load as the job states it for the run, then what its circuit counts: {'; '.join(said)}."


def _amperes(amperes: float | None) -> str:
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
