"""The legs of a panel against an even split."""

from __future__ import annotations

from calc.families.branch_circuits.panel import PanelWork
from calc.work import Sheet
from calc.work.chart import Chart, Levels
from calc.work.printing import rounded


def legs_chart(work: PanelWork, sheet: Sheet) -> Chart:
    """Amperes of both legs and the neutral as the breakers stand, those of the best arrangement, and an even split."""
    printed = {line["key"]: line["result"] for line in sheet.as_json()["lines"]}

    def amperes(key: str) -> float:
        return float(printed[key].removesuffix(" A").replace(",", ""))  # as the sheet prints it

    one, two = amperes("leg_1_a"), amperes("leg_2_a")
    bars = [("leg 1", one), ("leg 2", two), ("neutral, all on", amperes("neutral_a"))]
    if sheet.value("best_unbalance_va").number < sheet.value("unbalance_va").number:
        bars.append(("worst leg, best arrangement", amperes("best_worst_leg_a")))
    even = float(rounded((sheet.value("leg_1_a").number + sheet.value("leg_2_a").number) / 2, 1))
    said = "; ".join(f"{label} {value:,.1f} A" for label, value in bars)
    return Chart(f"Legs of {work.panel.name}, by connected load", f"{said}. An even split would be {even:,.1f} A.",
                 Levels(bars, [("even split", even)], "A"))  # fmt: skip
