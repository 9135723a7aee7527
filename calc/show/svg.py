"""Drawings written straight as SVG: lines, circles and text in the one visual language, quick to make."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from calc.show.style import style

THIN = 0.9


class Canvas:
    """Parts of a drawing in points, from the top left."""

    def __init__(self) -> None:
        look = style()
        self.colours, self.font, self.size = look["colours"], look["fonts"]["chart"], look["sizes_pt"]["chart"]
        self.parts: list[str] = []

    def stroke(self, *points: tuple[float, float], weight: float = THIN, colour: str = "ink", dash: str = "") -> None:
        """A line through points."""
        path = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
        self.path(f"M{path}", weight, colour, dash)

    def path(self, data: str, weight: float = THIN, colour: str = "ink", dash: str = "", fill: str = "none") -> None:
        """A path as SVG writes it; ``fill`` is a colour as SVG writes it."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<path d="{data}" fill="{fill}" stroke="{self.colours[colour]}" stroke-width="{weight:g}"{dashed}/>'
        )

    def circles(self, places: Iterable[tuple[float, float, float]], fill: str = "none") -> None:
        """Circles by middle and radius."""
        self.parts += [
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r:g}" fill="{fill}" stroke="{self.colours["ink"]}" stroke-width="{THIN}"/>'
            for x, y, r in places
        ]

    def text(
        self, text: str, x: float, y: float, colour: str = "ink", anchor: str = "start", turn: float = 0.0, bold: bool = False
    ) -> None:  # fmt: skip
        """A line of text, its middle at a height; ``turn`` in degrees about its place."""
        more = "" if anchor == "start" else f' text-anchor="{anchor}"'
        more += f' transform="rotate({turn:g} {x:.1f} {y:.1f})"' if turn else ""
        more += ' font-weight="bold"' if bold else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y + self.size * 0.35:.1f}" font-family="{self.font}" font-size="{self.size:g}" '
            f'fill="{self.colours[colour]}"{more}>{escape(text, quote=False)}</text>'
        )

    def svg(self, width: float, height: float, tallest: float = float("inf")) -> str:
        """The drawing as text; one that is taller than that is made smaller, for nothing may be cut off."""
        scale = min(1.0, tallest / height)
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * scale:g}pt" height="{height * scale:.1f}pt" '
            f'viewBox="0 0 {width:g} {height:.1f}">'
        )
        return "\n".join([head, *self.parts, "</svg>\n"])
