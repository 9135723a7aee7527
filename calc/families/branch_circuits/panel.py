"""A panel: the load on its legs and its neutral, the best that could be had, and the spaces that are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from calc.codebook import Codebook
from calc.families.branch_circuits.legs import MOST_BLOCKS
from calc.families.branch_circuits.placing import Entry, Layout, laid_out
from calc.job import Circuit, Job, Panel, Run, place
from calc.wiring.circuits import Branch, unplaced
from calc.wiring.house import House
from calc.wiring.reading import carry, counted, read
from calc.wiring.tree import below, panel_of
from calc.work import Refused, Sheet, Value, constant, excess, given, larger, root, smaller, total

HALF = constant("half on each leg", 0.5, "")


@dataclass(frozen=True)
class Breaker:
    """What stands in the panel: its entry for the layout, its load, and its circuit or the run that it feeds."""

    entry: Entry
    circuit: Circuit | None
    va: Value | None
    run: Run | None = None


@dataclass(frozen=True)
class PanelWork:
    """A panel with its breakers, where they stand, and where they would stand best."""

    panel: Panel
    breakers: list[Breaker]
    layout: Layout
    best: Layout


def panel_work(job: Job, panel: Panel, branches: Sequence[Branch], sheets: dict[str, Sheet]) -> PanelWork:
    """The breakers of a panel, laid out as the job places them and as they would stand best."""
    found = [_of_branch(b, sheets[b.name]) for b in branches if b.panel == panel.name]
    found += [
        Breaker(_entry(c, 0.0, c.load_va or 0.0), c, read(c, "load_va", c.name) if c.load_va else None)
        for c in job.circuits
        if c.panel == panel.name and c.status != "removed" and c.purpose in ("feeder", "spare")
    ]
    named = {b.entry.name for b in found}
    found += [_of_run(job, run, branches, sheets) for run in _feeders(job, panel) if not named & {run.name, run.feeds}]
    shares = {b.entry.partner: b.entry.name for b in found if b.entry.partner}  # whichever half names the other
    found = [replace(b, entry=replace(b.entry, partner=b.entry.partner or shares.get(b.entry.name))) for b in found]
    entries = [b.entry for b in found]
    return PanelWork(panel, found, laid_out(entries, panel.spaces), laid_out(entries, panel.spaces, keep_stated=False))


def _of_branch(branch: Branch, sheet: Sheet) -> Breaker:
    va = None
    if any(line.key == "load_va" for line in sheet.lines):
        va = carry(sheet, "load_va", branch.name)
    number = va.number if va is not None else sum(c.va.number for c in branch.loads)
    one_pole = branch.circuit.poles == 1
    return Breaker(_entry(branch.circuit, number if one_pole else 0.0, 0.0 if one_pole else number), branch.circuit, va)


def _entry(circuit: Circuit, neutral_va: float, between_va: float) -> Entry:
    return Entry(
        circuit.name,
        circuit.poles,
        neutral_va,
        between_va,
        circuit.positions,
        circuit.status == "existing",
        circuit.tandem,
        circuit.multiwire_with,
    )


def _feeders(job: Job, panel: Panel) -> list[Run]:
    """Runs that begin at a breaker of this panel and feed another; none where its three legs aren't balanced here."""
    if _phases(job, panel) == 3:
        return []
    return [
        run for run in job.runs
        if run.role == "feeder" and run.fed_from == panel.name and run.status != "removed" and run.phases == 1
    ]  # fmt: skip


def _of_run(job: Job, run: Run, branches: Sequence[Branch], sheets: dict[str, Sheet]) -> Breaker:
    """A feeder without a circuit of its own: two poles, its load as the run states it or as what is beyond adds up."""
    va: Value | None = None
    if run.calculated_a is not None:
        va = read(run, "calculated_a", f"load of {run.name}") * read(run, "volts", f"volts of {run.name}")
    elif run.feeds is not None:
        inside = below(job, run.feeds)
        circuits = [_of_branch(b, sheets[b.name]).va for b in branches if b.panel in inside]
        loose = [load for load in unplaced(job, branches) if panel_of(job, load) in inside]
        beyond = [*(found for found in circuits if found is not None), *(c.va for c in counted(loose))]
        va = total(beyond) if beyond else None
    entry = Entry(run.name, 2, 0.0, va.number if va is not None else 0.0, stays=run.status == "existing")
    return Breaker(entry, None, va, run)


def panel_sheet(sheet: Sheet, house: House, work: PanelWork) -> None:
    """Print legs, neutral, balance and spaces."""
    if _phases(house.job, work.panel) == 3:
        raise Refused(f"{work.panel.name} is a three-phase panel: its three legs are not balanced here.")
    if (poles := sum(b.entry.poles for b in work.breakers)) > MOST_BLOCKS:
        raise Refused(f"{work.panel.name} has breakers of {poles:,} poles; no panel takes more than {MOST_BLOCKS}, tandem "
                      "breakers in all of its spaces. Name the panel of each circuit.")  # fmt: skip
    system = house.job.service.system if house.job.service else "120/240"
    row = house.code.row("nominal_voltages", system=system)
    volts = sheet.line("line_to_neutral_v", row["line_to_neutral_v"])
    between_v = sheet.line("line_to_line_v", row["line_to_line_v"])
    one, two = (sheet.line(f"leg_{leg}_neutral_va", _on_leg(work, work.layout, leg)) for leg in (1, 2))
    between = sheet.line(
        "between_legs_va", total(b.va for b in work.breakers if b.entry.poles == 2 and b.va is not None)
    )
    sheet.line("leg_1_va", one + between * HALF)
    sheet.line("leg_2_va", two + between * HALF)
    amperes = [sheet.line(f"leg_{leg}_a", va / volts + between / between_v) for leg, va in ((1, one), (2, two))]
    sheet.which("worst_leg", {"leg 1": amperes[0], "leg 2": amperes[1]})
    sheet.line("worst_leg_a", larger(*amperes))
    if system == "208Y/120":
        first, second = (sheet.line(f"leg_{leg}_neutral_a", va / volts) for leg, va in ((1, one), (2, two)))
        sheet.line(
            "neutral_a",
            root(first * first + second * second - first * second),
            cites=[house.code.cite("neutral_of_wye")],
        )
    else:
        sheet.line(
            "neutral_a", (larger(one, two) - smaller(one, two)) / volts, cites=[house.code.cite("neutral_basis")]
        )
    sheet.line("neutral_most_a", larger(one, two) / volts, cites=[house.code.cite("neutral_basis")])
    if any(b.entry.poles == 1 for b in work.breakers):
        _best(sheet, work, (one, two), between)
    _spaces(sheet, house.code, work)
    _cautions(sheet, work)


def _phases(job: Job, panel: Panel) -> int:
    """Phases of the panel: of what feeds it, else of the service where it is the house's own."""
    fed = next((run.phases for run in job.runs if run.feeds == panel.name and run.status != "removed"), None)
    if fed is not None:
        return fed
    return job.service.phases if job.service and panel.unit_group is None else 1


def _on_leg(work: PanelWork, layout: Layout, leg: int) -> Value:
    return total(
        b.va for b in work.breakers
        if b.va is not None and b.entry.poles == 1 and layout.legs.get(b.entry.name) == (leg,)
    )  # fmt: skip


def moves(work: PanelWork) -> list[str]:
    """The breakers that stand on another leg in the best balance; legs are only names, so the fewer moves count."""
    movable = [b.entry for b in work.breakers if b.entry.poles == 1 and not b.entry.stays]
    now, best = work.layout.legs, work.best.legs
    changed = [e.name for e in movable if now.get(e.name) != best.get(e.name)]
    stays = any(b.entry.stays and b.entry.poles == 1 for b in work.breakers)
    if not stays and len(changed) > len(movable) - len(changed):
        changed = [e.name for e in movable if e.name not in changed]
    return changed


def _best(sheet: Sheet, work: PanelWork, legs: tuple[Value, Value], between: Value) -> None:
    """The difference between the legs, the least that any arrangement has, and what would have to move for it."""
    now = sheet.line("unbalance_va", larger(*legs) - smaller(*legs))
    volts, between_v = sheet.value("line_to_neutral_v"), sheet.value("line_to_line_v")
    first, second = (sheet.line(f"best_leg_{leg}_neutral_va", _on_leg(work, work.best, leg)) for leg in (1, 2))
    best = sheet.line("best_unbalance_va", larger(first, second) - smaller(first, second))
    sheet.line("best_worst_leg_a", larger(first, second) / volts + between / between_v)
    gains = now > best
    changed = moves(work) if gains.holds else []
    sheet.find("moves", ", ".join(changed) or "none: no arrangement is better", [gains if gains.holds else now <= best])


def _spaces(sheet: Sheet, code: Codebook, work: PanelWork) -> None:
    panel = work.panel
    poles = sum(b.entry.poles for b in work.breakers)
    waiting = sum(b.entry.poles for b in work.breakers if b.entry.name not in work.layout.spaces)
    taken = given(
        "spaces that the breakers take", len(work.layout.taken) + waiting, "space", f"circuits of {panel.name}"
    )
    if panel.spaces is not None:
        there = read(panel, "spaces", f"spaces of {panel.name}")
        sheet.line("spare_spaces", excess(there, taken))
        sheet.check("spaces_enough", there >= taken, remedy="a panel with more spaces, a subpanel, or tandem breakers where the "
                "panel's label allows them", cites=[code.cite("panel_circuits")])  # fmt: skip
    elif panel.status == "new" or any(b.circuit is not None and b.circuit.status == "new" for b in work.breakers):
        sheet.unknown(
            "spaces_enough",
            "its full-size spaces, from its label",
            place(panel, "spaces"),
            cites=[code.cite("panel_circuits")],
        )
    else:
        sheet.caution("caution_spaces_unknown", panel=panel.name)
    if panel.circuits_most is None and any(b.entry.tandem for b in work.breakers):
        sheet.unknown("label_allows", "the most circuits that its label allows, since tandem breakers are in it",
                  place(panel, "circuits_most"), cites=[code.cite("panel_circuits")])  # fmt: skip
    if panel.circuits_most is not None:
        number = given("poles and tandem halves", poles, "circuit", f"circuits of {panel.name}")
        sheet.check("label_allows", number <= read(panel, "circuits_most", f"most circuits of {panel.name}"),
                remedy="a panel whose label allows more, or a subpanel", cites=[code.cite("panel_circuits")])  # fmt: skip


def _cautions(sheet: Sheet, work: PanelWork) -> None:
    unknown = [b.entry.name for b in work.breakers if b.va is None and not (b.circuit and b.circuit.purpose == "spare")]
    if unknown:
        sheet.caution("caution_load_unknown", circuits=", ".join(unknown))
    sheet.caution("caution_legs")
