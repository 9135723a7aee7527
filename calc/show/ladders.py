"""Rows of marks along one scale: each run's ampacity at 100 %, with what makes it and what it is measured against."""

from __future__ import annotations

from calc.show.lettering import broken
from calc.show.svg import Canvas
from calc.work.chart import Ladders

WIDTH_PT = 504.0
LABEL_PT = 150.0
ROW_PT, STEP_PT = 19.0, 10.4
KEY_COLUMNS = 3
LEAST_SCALE = 120.0


def ladders(data: Ladders) -> str:
    """The chart as SVG text. Marks are told apart by their form, and no text stands among them."""
    pen = Canvas()
    left, right = LABEL_PT + 8, WIDTH_PT - 12
    most = max([LEAST_SCALE, *(place for _, places in data.rows for place in places)]) * 1.03
    key_rows = -(-len(data.marks) // KEY_COLUMNS)
    for nth, mark in enumerate(data.marks):
        x, y = 10 + (nth % KEY_COLUMNS) * (WIDTH_PT / KEY_COLUMNS), 8 + STEP_PT * 1.3 * (nth // KEY_COLUMNS)
        _mark(pen, nth, x, y)
        pen.text(mark, x + 9, y)
    top = y = 12 + STEP_PT * 1.3 * key_rows

    def at(percent: float) -> float:
        return left + (right - left) * percent / most

    for label, places in data.rows:
        lines = broken(label, LABEL_PT, pen.size)
        tall = max(ROW_PT, STEP_PT * len(lines) + 4)
        middle = y + tall / 2
        for nth, text in enumerate(lines):
            pen.text(text, LABEL_PT, middle + STEP_PT * (nth - (len(lines) - 1) / 2), anchor="end")
        pen.stroke((at(min(places)), middle), (at(max([100.0, *places])), middle), colour="hairline", weight=1.4)
        for nth, place in enumerate(places):
            _mark(pen, nth, at(place), middle)
        y += tall
    for percent in range(0, int(most) + 1, 50 if most > 250 else 25):
        pen.stroke((at(percent), top), (at(percent), y), colour="ink" if percent == 100 else "hairline", weight=0.6)
        pen.text(f"{percent} %", at(percent), y + 8, anchor="middle")
    pen.text(data.unit, (left + right) / 2, y + 19, anchor="middle")
    return pen.svg(WIDTH_PT, y + 26, 650.0)


def _mark(pen: Canvas, nth: int, x: float, y: float) -> None:
    """The form of a mark: an open triangle, a square, a diamond, a bar; a full circle for the load, a cross for the breaker."""
    paper, ink = pen.colours["paper"], pen.colours["ink"]
    forms = (
        f"M{x - 4:.1f} {y + 3.5:.1f}L{x + 4:.1f} {y + 3.5:.1f}L{x:.1f} {y - 4:.1f}Z",
        f"M{x - 3.2:.1f} {y - 3.2:.1f}h6.4v6.4h-6.4Z",
        f"M{x - 4.2:.1f} {y:.1f}L{x:.1f} {y - 4.2:.1f}L{x + 4.2:.1f} {y:.1f}L{x:.1f} {y + 4.2:.1f}Z",
        f"M{x:.1f} {y - 7:.1f}V{y + 7:.1f}",
    )
    if nth < len(forms):
        pen.path(forms[nth], 2.2 if nth == 3 else 1.0, fill=paper if nth != 3 else "none")
    elif nth == 4:
        pen.circles(((x, y, 3.0),), ink)
    else:
        pen.path(f"M{x - 3.4:.1f} {y - 3.4:.1f}l6.8 6.8M{x - 3.4:.1f} {y + 3.4:.1f}l6.8 -6.8", 1.6)
