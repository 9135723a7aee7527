"""One visual language: style.json says every colour and letter; what is read keeps its contrast, light and dark."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from calc.show.assets import looks
from calc.show.html import sheet_html, table_html
from calc.show.style import style
from calc.work.table import Table, figures
from tests.packet import samples
from tests.packet.test_style import contrast

REPOSITORY = Path(__file__).parents[2]
THEMES = Path(sys.prefix) / "share" / "jupyter" / "lab" / "themes" / "@jupyterlab"
LITERAL = re.compile(
    r"""(?<![&\w])\#[0-9a-f]{3}(?:[0-9a-f]{3})?\b(?!\w) | \b(?:rgba?|hsla?|luma|cmyk|oklch)\(
    | \b(?:color|colour|background|background-color|fill|stroke|facecolor|edgecolor)\s*[:=]\s*["']?
      (?:red|green|blue|black|white|gr[ae]y|silver|navy|orange|yellow|purple|teal|maroon)\b
    | font-family\s*:\s*(?!\{|@) | \bfont\s*:\s*["']""",
    re.IGNORECASE | re.VERBOSE,
)
BY_STYLE = "#let colour = style.colours.pairs().map(((k, v)) => (k, rgb(v))).to-dict()"


def lines() -> Iterator[tuple[str, str]]:
    """Each line of all that draws: its place and its text."""
    for folder, endings in (
        ("calc/show", "py js css"),
        ("calc/lab", "j2 css"),
        ("calc/packet", "py"),
        ("templates", "typ"),
    ):
        for path in sorted((REPOSITORY / folder).rglob("*")):
            if path.suffix[1:] in endings.split():
                for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
                    yield f"{path.relative_to(REPOSITORY)}:{number}", line


def test_no_colour_and_no_typeface_is_named_anywhere_else() -> None:
    found = [(place, line.strip()) for place, line in lines() if LITERAL.search(line)]
    assert [text for _, text in found] == [BY_STYLE], found


@pytest.mark.parametrize("said", ["color: #a01c1c;", "fill: red", 'color="black"', 'font: "Arial"', "rgb(1,2,3)"])
def test_a_colour_named_elsewhere_would_be_found(said: str) -> None:
    assert LITERAL.search(said)


def test_pages_take_their_colours_by_name() -> None:
    assert "@" not in re.sub(r"@(media|container)", "", looks())
    for colour in set(re.findall(r"#[0-9a-f]{6}", looks())):
        assert colour in style()["colours"].values()


def themed(theme: str, name: str) -> str:
    """A colour of JupyterLab's own, as the forms take it: an opaque one as #rrggbb."""
    css = (THEMES / f"theme-{theme}-extension" / "index.css").read_text(encoding="utf-8")
    said = re.findall(rf"--jp-{name}: ?([^;}}]+)", css)[0]
    said = re.sub(r"^var\([^,]+, ?(.*)\)$", r"\1", said)
    if found := re.fullmatch(r"rgba\(0, ?0, ?0, ?(\.\d+)\)", said):
        return blended("#000000", "#ffffff", float(found[1]))
    said = {"white": "#ffffff", "black": "#000000"}.get(said, said)
    return said if len(said) == 7 else "#" + "".join(2 * digit for digit in said[1:])


def blended(text: str, ground: str, share: float) -> str:
    """What is seen of a text of some opacity on a ground."""
    parts = [(int(text[i : i + 2], 16), int(ground[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a * share + b * (1 - share)):02x}" for a, b in parts)


def opacity(of: str) -> float:
    return float(re.search(rf"{re.escape(of)}[^{{]*{{[^}}]*opacity: ([\d.]+)", looks())[1])  # type: ignore[index]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["layout-color1", "layout-color2"])
@pytest.mark.parametrize("ink", ["content-font-color1", "content-link-color"])
def test_forms_keep_their_contrast_in_each_theme(theme: str, ground: str, ink: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5:1 for text. The names are those that page.css asks JupyterLab for."""
    assert f"--jp-{ink}" in looks()
    assert f"--jp-{ground}" in looks()
    assert contrast(themed(theme, ink), themed(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_placeholder_keeps_its_contrast(theme: str) -> None:
    ground = themed(theme, "layout-color1")
    seen = blended(themed(theme, "content-font-color1"), ground, opacity(".sb input::placeholder"))
    assert contrast(seen, ground) >= 4.5


@pytest.mark.parametrize("ink", ["ink", "muted", "accent", "pass", "short", "refused"])
def test_a_sheet_that_is_not_current_can_still_be_read(ink: str) -> None:
    paper = style()["colours"]["paper"]
    assert contrast(blended(style()["colours"][ink], paper, opacity(".sb .sb-page.sb-old")), paper) >= 4.5


def test_verdicts_are_words_whatever_their_colour() -> None:
    """In black and white a sheet says the same."""
    colours = style()["colours"]
    sheet = samples.dwelling_sheet()
    sheet["checks"] = [{**sheet["checks"][0], "passes": passes} for passes in (True, False)]
    html = sheet_html(sheet | {"refused": {"reason": "no table", "sections": [], "missing": None}})
    assert re.findall(f'color:{colours["pass"]};">([^<]+)', html) == ["passes"]
    assert re.findall(f'color:{colours["short"]};">([^<]+)', html) == ["FALLS SHORT"]
    assert "<strong>NOT WORKED</strong>" in html


def test_what_is_shown_has_no_other_colour() -> None:
    shown = sheet_html(samples.dwelling_sheet()) + table_html(
        Table("Sizes", figures("Size", "A"), [["4/0 AWG", "180"]], "What serves.", ["At 75 C."])
    )
    assert set(re.findall(r"#[0-9a-f]{6}", shown)) <= set(style()["colours"].values())
