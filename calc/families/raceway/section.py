"""A raceway cut across, to scale, with its conductors lying at the bottom as gravity leaves them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot, sqrt

from calc.codebook import Codebook
from calc.families.raceway.contents import Kind
from calc.families.raceway.fill import Fill, cable_width
from calc.job import Raceway, Run
from calc.work.chart import Chart, Circle, Drawing, Lettering, Shape

MOST_DRAWN = 60
WIDTH_IN, HEIGHT_IN = 4.2, 3.0  # two beside one another on paper
Disc = tuple[float, float, float]  # x, y, radius, from the middle of the raceway


def cross_section(subject: str, of: Raceway | Run, filling: Fill, size: str, code: Codebook) -> Chart | None:
    """The chart; None where there are too many conductors to tell apart."""
    counts = {kind: sum(int(value.number) for value in values) for kind, values in filling.held.items()}
    if sum(counts.values()) > MOST_DRAWN:
        return None
    inside_in = float(code.row("raceway_inside", kind=filling.kind, trade_size=size).cells["inside_in"])
    across = {kind: _diameter_in(code, of, kind) for kind in counts}
    wanted = sorted(((kind, across[kind]) for kind, n in counts.items() for _ in range(n)), key=lambda pair: -pair[1])
    discs = pack([diameter / 2 for _, diameter in wanted], inside_in / 2)
    looks = {kind: at for at, kind in enumerate(counts)}
    shapes: list[Shape] = [Circle((0, 0), inside_in / 2)]
    for (kind, _), (x, y, radius) in zip(wanted, discs, strict=True):
        shapes.append(Circle((round(x, 4), round(y, 4)), radius, looks[kind] % 4))
        if x > inside_in / 2:
            shapes.append(Lettering((round(x, 4), round(y + 1.3 * radius, 4)), "no room"))
    said = [f"{n} x {kind.label}, {across[kind]:g} in" for kind, n in counts.items()]
    key = [(looks[kind] % 4, text) for kind, text in zip(counts, said, strict=True)]
    filled = filling.s["fill_pct"]
    alt = (
        f"{filling.kind} trade size {size}, {inside_in:g} in inside, filled to {filled:.1f} %, where {filling.share.number:g} % are "
        f"allowed, with {'; '.join(said)}."
    )
    title = f"{subject}: {size} in {filling.kind} cut across, filled to {filled:.1f} %"
    return Chart(title, alt, Drawing("in", shapes, key, HEIGHT_IN, WIDTH_IN))


def _diameter_in(code: Codebook, of: Raceway | Run, kind: Kind) -> float:
    if kind.form == "cable":
        return cable_width(of).number
    if kind.form == "bare":
        return float(code.row("conductor_properties", size=kind.size, stranding="stranded").cells["diameter_in"])
    row = code.row(f"{kind.form}_conductor", insulation=kind.insulation, size=kind.size)
    return float(row.cells["diameter_in"])


def pack(radii: Sequence[float], around: float) -> list[Disc]:
    """Lay discs, one after the other, as low as they will go in a ring; what finds no room is laid beside it."""
    placed: list[Disc] = []
    beside = around
    for radius in radii:
        lowest_first = sorted(_places(radius, placed, around), key=lambda at: (round(at[1], 6), abs(at[0])))
        free = next((at for at in lowest_first if _is_free(*at, radius, placed, around)), None)
        if free is None:
            free = (beside + 2 * radius, radius - around)
            beside += 2.5 * radius
        placed.append((*free, radius))
    return placed


def _is_free(x: float, y: float, radius: float, placed: Sequence[Disc], around: float) -> bool:
    inside = hypot(x, y) <= around - radius + 1e-9
    return inside and all(hypot(x - a, y - b) >= radius + r - 1e-9 for a, b, r in placed)


def _places(radius: float, placed: Sequence[Disc], around: float) -> Iterator[tuple[float, float]]:
    """The bottom of the ring, and every place that touches two of: the ring, the discs already there."""
    reach = around - radius
    yield 0.0, -reach
    for at, (a, b, r) in enumerate(placed):
        yield from _crossings((0.0, 0.0, reach), (a, b, r + radius))
        for c, d, q in placed[:at]:
            yield from _crossings((a, b, r + radius), (c, d, q + radius))


def _crossings(one: Disc, two: Disc) -> Iterator[tuple[float, float]]:
    """Where two circles cross."""
    (x1, y1, r1), (x2, y2, r2) = one, two
    apart = hypot(x2 - x1, y2 - y1)
    if not abs(r1 - r2) <= apart <= r1 + r2 or apart == 0:
        return
    along = (r1**2 - r2**2 + apart**2) / (2 * apart)
    off = sqrt(max(r1**2 - along**2, 0.0))
    x, y = x1 + along * (x2 - x1) / apart, y1 + along * (y2 - y1) / apart
    for sign in (1, -1):
        yield x + sign * off * (y2 - y1) / apart, y - sign * off * (x2 - x1) / apart
