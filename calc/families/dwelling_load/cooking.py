"""Household cooking appliances: columns A, B and C of the demand table with their notes 1 to 3."""

from __future__ import annotations

from collections.abc import Sequence

from calc.codebook import Codebook
from calc.families.dwelling_load.demand import Demand
from calc.families.dwelling_load.spread import Spread
from calc.wiring.reading import Counted
from calc.work import VA_PER_KW, Comparison, Refused, Sheet, Value, excess, larger, smaller, total, whole

Rated = tuple[Counted, Value]  # an appliance and its rating in kW


def cooking(
    sheet: Sheet, code: Codebook, appliances: Sequence[Counted], mixed_columns: str, demand: Demand,
    spread: Spread | None = None,
) -> None:  # fmt: skip
    """Demand of the cooking appliances, taken into ``demand``: those of the table together, small ones apart.

    Column C covers any of them. Those of columns A and B may instead be taken by nameplate and percent and added to
    what column C gives for the rest; the smaller is used. ``mixed_columns`` is the job's reading of the count:
    'each-column' enters a column with its own appliances, 'all-appliances' with all. On a three-phase service the
    table is entered with twice the largest number between two legs.
    """
    rated = [(a, sheet.line("cooking_rating_kw", a.each / VA_PER_KW, item=a.load.name)) for a in appliances]
    placed = [(a, kw, *_column(code, kw)) for a, kw in rated]
    what = ", ".join(f"{a.load.name}: {column}" for a, _, column, _ in placed)
    sheet.find("cooking_columns", what, [pair for *_, pair in placed])
    groups = {c: [(a, kw) for a, kw, its, _ in placed if its == c] for c in ("no table", "A", "B", "C")}
    tabled = [a for column in "ABC" for a, _ in groups[column]]
    if tabled:
        if spread is None:
            load = _by_table(sheet, code, groups, mixed_columns) * VA_PER_KW
        else:
            load = spread.of_three_phases("ranges", _between_two_legs(sheet, code, groups, spread))
        demand.add("cooking", tabled, sheet.line("cooking_demand_va", load), heats=True)
    small = [a for a, _ in groups["no table"]]
    if small:
        in_full = sheet.line("cooking_outside_table_va", total(a.va for a in small), cites=[code.cite("cooking_least")])
        demand.add("small_cooking", small, in_full)


def _column(code: Codebook, kw: Value) -> tuple[str, Comparison]:
    """Where an appliance stands in the table, and the comparison that says so."""
    if (kw > code["cooking_largest"]).holds:
        raise Refused(f"{kw.name} is over the largest size that the cooking table covers", code.cite("cooking_largest"))
    for column, pair in (
        ("no table", kw <= code["cooking_least"]),
        ("A", kw < code["cooking_column_a_limit"]),
        ("B", kw <= code["cooking_column_b_limit"]),
    ):
        if pair.holds:
            return column, pair
    return "C", kw > code["cooking_column_b_limit"]


def _by_table(sheet: Sheet, code: Codebook, groups: dict[str, list[Rated]], mixed_columns: str) -> Value:
    """Demand in kW: column C for all, or the columns apart where that is smaller.

    The increase over 12 kW averages appliances over 8-3/4 kW only, so beside a larger one the small stand apart.
    """
    everything = [pair for column in "ABC" for pair in groups[column]]
    small, limit = [*groups["A"], *groups["B"]], code["cooking_column_c_limit"]
    apart = bool(small) and any((kw > limit).holds for _, kw in groups["C"])
    all_c = None if apart else _column_c(sheet, code, everything, _count(sheet, everything, "all"), "all")
    if all_c is not None and not small:
        return all_c
    parts = []
    for column in ("A", "B", "C"):
        group = groups[column]
        entered = everything if mixed_columns == "all-appliances" else group
        if group and column == "C":
            parts.append(_column_c(sheet, code, group, _count(sheet, entered, "column C"), "column C"))
        elif group:
            parts.append(_own_column(sheet, code, group, entered, column))
    own = parts[0]
    if parts[1:]:
        sheet.remark(f"note_cooking_{mixed_columns}")
        own = sheet.line("cooking_own_columns_kw", total(parts, "kW"), cites=[code.cite("cooking_own_column")])
    if all_c is None:
        return own
    return sheet.line("cooking_smaller_kw", smaller(all_c, own), cites=[code.cite("cooking_own_column")])


def _own_column(sheet: Sheet, code: Codebook, group: list[Rated], entered: list[Rated], column: str) -> Value:
    count = sheet.line("cooking_own_count", total([a.count for a, _ in entered]), item=column)
    percent = code.row("cooking_demand", appliances=count)[f"column_{column.lower()}_pct"]
    factor = sheet.line("cooking_own_pct", percent, item=column)
    return sheet.line("cooking_own_kw", total(a.times(kw) for a, kw in group) * factor, item=column)


def _between_two_legs(sheet: Sheet, code: Codebook, groups: dict[str, list[Rated]], spread: Spread) -> Value:
    """Demand in VA of twice the largest number between two legs: column C, or the one column where all are alike."""
    everything = [pair for column in "ABC" for pair in groups[column]]
    count = spread.effective("ranges", _count(sheet, everything, "all"))
    demand = _column_c(sheet, code, groups["C"] or everything, count, "twice the largest number")
    column = next((column for column in "AB" if groups[column] == everything), None)
    alike = len({kw.number for _, kw in everything}) == 1
    if column is not None and alike:
        percent = code.row("cooking_demand", appliances=count)[f"column_{column.lower()}_pct"]
        factor = sheet.line("cooking_own_pct", percent, item=column)
        own = sheet.line("cooking_own_kw", everything[0][1] * count * factor, item=column)
        demand = sheet.line("cooking_smaller_kw", smaller(demand, own), cites=[code.cite("cooking_own_column")])
    elif not alike:
        sheet.remark("note_three_phase_unlike")
    return sheet.line("ranges_of_two_legs_va", demand * VA_PER_KW)


def _count(sheet: Sheet, entered: list[Rated], which: str) -> Value:
    return sheet.line("cooking_count", total([a.count for a, _ in entered]), item=which)


def _column_c(sheet: Sheet, code: Codebook, group: list[Rated], count: Value, which: str) -> Value:
    """Column C for the group, raised for what its average has over 12 kW (smaller ones averaged as 12)."""
    row = code.row("cooking_demand", appliances=count)
    demand = sheet.line("cooking_column_c_row_kw", row["column_c_kw"], item=which)
    if row.has("column_c_each_kw"):
        each = sheet.line("cooking_column_c_each_kw", row["column_c_each_kw"], item=which)
        demand = sheet.line("cooking_column_c_count_kw", demand + each * count, item=which)
    limit = code["cooking_column_c_limit"]
    if all((kw <= limit).holds for _, kw in group):
        return demand  # the average would be 12 kW and the increase nothing
    averaged = total([a.count for a, _ in group])
    average = total(a.times(larger(kw, limit)) for a, kw in group) / averaged
    average = sheet.line("cooking_average_kw", average, item=which)
    beyond = sheet.line("cooking_excess_kw", whole(excess(average, limit), "half up"), item=which)
    increase = sheet.line("cooking_increase_pct", beyond * code["cooking_increase"], item=which)
    return sheet.line("cooking_column_c_kw", demand + demand * increase, item=which)
