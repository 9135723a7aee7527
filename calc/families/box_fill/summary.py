"""All boxes of a job at a glance: the tightest first, and what fills them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import ceil

from calc.job import Box
from calc.work import PASSES, STATUSES, Sheet, Value, loud
from calc.work.chart import Chart, Parts
from calc.work.keys import stem_of
from calc.work.table import Table, columns

MOST_CHARTED = 12
GROUPS = {
    "conductors": ("conductors_in3", "through_in3", "looped_in3"),
    "grounds": ("grounds_in3", "isolated_grounds_in3"),
    "devices": ("device_in3",),
    "others": ("clamps_in3", "fitting_in3", "terminal_block_in3", "fixture_wires_in3", "canopy_wires_in3"),
}
"""Which lines make up each part of the chart; the words file names the parts."""


def tightness(sheet: Sheet) -> float:
    """Share of the box that is taken; a box of which nothing is known stands before all others."""
    if sheet.refused or "provided_in3" not in sheet:
        return float("inf") if sheet.refused else 0.0
    return float(sheet.value("required_in3").number / sheet.value("provided_in3").number)


def table(boxes: Sequence[tuple[Box, Sheet]]) -> Table:
    """The summary table: needed, provided, left, verdict and the smallest standard box."""
    ordered = sorted(boxes, key=lambda pair: tightness(pair[1]), reverse=True)
    counts = Counter(s.status for _, s in ordered)
    said = ", ".join(f"{status}: {counts[status]}" for status in STATUSES if status != PASSES and counts[status])
    intro = (
        f"{sum(box.count for box, _ in boxes)} boxes on {len(boxes)} sheets, the tightest first; {said or 'all pass'}."
    )
    return Table(
        title="Boxes, the tightest first",
        intro=intro,
        columns=columns("Box", "Room", "Needs in3", "Has in3", "Used", "Verdict", "Smallest box", right=(2, 3, 4)),
        rows=[_row(box, s) for box, s in ordered],
        notes=[note for _, s in ordered for note in _notes(s)],
    )


def _notes(sheet: Sheet) -> list[str]:
    """Why a box is not worked or not shown, or falls short although its volume is enough."""
    failed = [check for check in sheet.checks if check.key != "volume_enough" and not check.holds.holds]
    return [
        *([f"{sheet.subject}: {sheet.refused.reason}"] if sheet.refused else []),
        *(f"{sheet.subject}: falls short: {check.name}; to correct it: {check.remedy}" for check in failed),
        *(f"{sheet.subject}: not shown: {each.name}; missing: {each.missing}" for each in sheet.unknowns),
    ]


def _row(box: Box, sheet: Sheet) -> list[str]:
    shown = {line["key"]: line["result"].removesuffix(" in3") for line in sheet.as_json()["lines"]}
    known = not sheet.refused and "provided_in3" in shown
    used = (
        f"{ceil(round(100 * tightness(sheet), 6))}\u00a0%" if known else ""
    )  # up: a box that is over never reads 100 %
    verdict = loud(sheet.status)
    name = sheet.subject + (f" ({box.count} alike)" if box.count > 1 else "")
    inside = " x ".join(shown[key] for key in ("length_least_in", "width_least_in") if key in shown)
    smallest = f"{inside} inside" if inside else shown.get("smallest_box", "")
    return [name, box.room or "", shown.get("required_in3", ""), shown.get("provided_in3", ""), used, verdict, smallest]


def charts(sheets: Sequence[Sheet]) -> list[Chart]:
    """One chart: each of the tightest boxes as a stacked bar of its parts, against its volume."""
    known = [s for s in sheets if not s.refused and "provided_in3" in s]
    tightest = sorted(known, key=tightness, reverse=True)[:MOST_CHARTED]
    if not tightest:
        return []
    words = tightest[0].words
    rows = [(s.subject, [_part(s, keys) for keys in GROUPS.values()], s.value("provided_in3").number) for s in tightest]
    used = [at for at in range(len(GROUPS)) if any(values[at] for _, values, _ in rows)]
    names = [words.text(f"group_{group}", "name") for group in GROUPS]
    said = "; ".join(f"{label}: {round(sum(values), 4):g} of {limit:g} in3" for label, values, limit in rows)
    title = "What fills the box" if len(known) == 1 else "What fills the tightest boxes"
    data = Parts(
        [names[at] for at in used],
        [(label, [values[at] for at in used], limit) for label, values, limit in rows],
        "volume of the box",
        "in3",
    )
    return [Chart(title, f"{said}.", data)]


def _part(sheet: Sheet, keys: tuple[str, ...]) -> float:
    """The volume that the lines of these keys make up."""
    lines = [line.value for line in sheet.lines if stem_of(line.key) in keys]
    return round(sum(value.number for value in lines if isinstance(value, Value)), 4)
