"""A house full of hostile names is shown as a harmless one is: the same elements, the names as they were typed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html.parser import HTMLParser
from pathlib import Path
from string import ascii_letters
from typing import Any
from xml.etree import ElementTree

import pytest

from calc.codebook import Codebook
from calc.documents.owner import owner_page
from calc.families import dwelling_load, families
from calc.job import Job, read_job
from calc.show.charts import draw
from calc.show.display import show_document, show_front, show_sheet, show_table
from calc.show.glance import glance_table
from calc.show.live import chart_page
from calc.wiring.house import House
from calc.wiring.reading import codebook_for
from calc.work import Sheet, as_text, table_text
from calc.work.chart import Chart, Clouds, Curve, Curves, Drawing, Lettering, Levels, Pairs, Parts, Picture
from calc.work.plain import plain
from tests.hostile.texts import FORMULAS, READABLE, written

HOSTILE = (*READABLE, *FORMULAS)
TURNED = (*HOSTILE[60:], *HOSTILE[:60])  # so that each text gets to stand in places of several kinds


def harmless(texts: Sequence[str]) -> tuple[str, ...]:
    """A plain word for each text, as long as it: a result's length decides where on the sheet it stands."""
    words = (ascii_letters[number // 26] + ascii_letters[number % 26] for number in range(len(texts)))
    return tuple(word.ljust(len(text), "a") for word, text in zip(words, texts, strict=True))


Shape = list[tuple[str, tuple[str, ...]]]


class Worked:
    """All sheets, tables and charts of a house."""

    def __init__(self, folder: Path, texts: Sequence[str]) -> None:
        self.path, self.said = written(folder, texts)
        self.job: Job = read_job(self.path)
        self.code: Codebook = codebook_for(self.job)
        self.sheets: list[Sheet] = []
        self.tables = [glance_table(self.path)]
        owner = owner_page(House(self.job, self.code))
        assert owner is not None
        self.owner = owner
        self.charts: list[Chart] = [*dwelling_load.sweeps(House(self.job, self.code))]
        for family in families().values():
            sheets = family.work(House(self.job, self.code))
            self.sheets += sheets
            self.tables += family.tables(House(self.job, self.code))
            self.charts += family.charts(House(self.job, self.code), sheets)

    def pages(self) -> Iterator[str]:
        """Everything as HTML."""
        for shown in (
            show_front(dwelling_load.front(House(self.job, self.code))),
            *map(show_sheet, self.sheets),
            *map(show_table, self.tables),
            show_document(self.owner),
        ):
            yield shown._repr_mimebundle_()["text/html"]


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sequence[str]], Worked]:
    known: dict[tuple[str, ...], Worked] = {}

    def of(texts: Sequence[str]) -> Worked:
        if tuple(texts) not in known:
            known[tuple(texts)] = Worked(tmp_path_factory.mktemp("house"), texts)
        return known[tuple(texts)]

    return of


class Page(HTMLParser):
    """What a browser makes of HTML: elements with the names of their attributes, and the text between them."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.shape: Shape = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if (tag, attrs) != ("span", []):  # those part a sign of mathematics from its text
            self.shape.append((tag, tuple(name for name, _ in attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_comment(self, data: str) -> None:
        self.shape.append(("comment", (data,)))

    def handle_decl(self, decl: str) -> None:
        self.shape.append(("declaration", (decl,)))

    unknown_decl = handle_decl

    def handle_pi(self, data: str) -> None:
        self.shape.append(("instruction", (data,)))


def test_there_are_enough_of_them() -> None:
    assert len(set(HOSTILE)) == len(HOSTILE) > 100


@pytest.mark.parametrize("texts", [HOSTILE, TURNED], ids=["hostile", "turned"])
def test_pages_have_the_elements_of_harmless_ones(
    worked: Callable[[Sequence[str]], Worked], texts: Sequence[str]
) -> None:
    found = [Page(html) for html in worked(texts).pages()]
    plain = [Page(html) for html in worked(harmless(texts)).pages()]
    assert len(found) == len(plain) > 90
    for page, other in zip(found, plain, strict=True):
        assert page.shape == other.shape


@pytest.mark.parametrize("texts", [HOSTILE, TURNED], ids=["hostile", "turned"])
def test_pages_say_the_names_as_they_were_typed(
    worked: Callable[[Sequence[str]], Worked], texts: Sequence[str]
) -> None:
    house = worked(texts)
    for sheet in house.sheets:
        data, text = sheet.as_json(), Page(show_sheet(sheet)._repr_mimebundle_()["text/html"]).text
        for said in (data["subject"], *(line["name"] for line in data["lines"]), *data["cautions"]):
            assert said in text
    for table in house.tables:
        text = Page(show_table(table)._repr_mimebundle_()["text/html"]).text
        assert all(str(cell) in text for row in table.rows for cell in row)
    everything = "".join(Page(html).text for html in house.pages())
    seen = {said for said in house.said if said in everything}
    assert len(seen) > 80


@pytest.mark.filterwarnings("error")
def test_charts_draw_names_as_text(worked: Callable[[Sequence[str]], Worked]) -> None:
    """Not as mathematics, which would lose the dollar signs, and none left out of a legend."""
    for chart, other in zip(worked(TURNED).charts, worked(harmless(TURNED)).charts, strict=True):
        drawn, other_drawn = ElementTree.fromstring(draw(chart)), ElementTree.fromstring(draw(other))
        assert {each.tag for each in drawn.iter()} == {each.tag for each in other_drawn.iter()}, chart.title
        lettering = _close("".join("".join(each.itertext()) for each in drawn.iter() if each.tag.endswith("}text")))
        for label in map(_close, _labels(plain(chart.data))):
            cut_short = "…" in lettering and label[:8] in lettering
            assert label in lettering or cut_short, label


def _close(text: str) -> str:
    """Without spaces: lettering is broken over lines where it must be."""
    return "".join(text.split())


def _labels(data: Any) -> Iterator[str]:
    """The words of a chart, wherever they stand in its data, other than those that name a kind of thing."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for key, value in data.items():
            if key == "key":
                yield from (text for _, text in value)
            elif key not in ("kind", "sign", "unit", "mark", "interrupting"):
                yield from _labels(value)
    elif isinstance(data, (list, tuple)):
        for value in data:
            yield from _labels(value)


LEGENDS = [text for text in HOSTILE if "$" in text or text.startswith("_")]  # what matplotlib would take for its own
CHARTS: list[Picture] = [
    Pairs([(text, 1.0, 2.0) for text in HOSTILE], "a", "b", "VA"),
    Levels([(text, 1.0) for text in HOSTILE], [("limit", 2.0)], "A"),
    Levels([("bar", 1.0)], [(text, 2.0) for text in LEGENDS], "A"),
    Curves(
        [Curve(text, [(0.0, 1.0), (2.0, 3.0)]) for text in LEGENDS], "ft", "A", [(text, 2.0) for text in LEGENDS],
        [(text, 1.0, 2.0) for text in LEGENDS],
    ),
    Clouds([Curve(text, [(0.0, 1.0)]) for text in LEGENDS], "ft2", "A", "remark"),
    Parts(["a"], [(text, [1.0], 2.0) for text in HOSTILE], "b", "in3"),
    Drawing(
        "ft", [Lettering((float(at), float(at)), text) for at, text in enumerate(HOSTILE)],
        [(at % 3, text) for at, text in enumerate(LEGENDS)],
    ),
]  # fmt: skip


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("data", CHARTS, ids=lambda data: data.kind)
def test_each_kind_of_chart_draws_text_as_text(data: Picture) -> None:
    drawn = ElementTree.fromstring(draw(Chart("title", "words", data)))
    lettering = _close("".join("".join(each.itertext()) for each in drawn.iter() if each.tag.endswith("}text")))
    for label in set(map(_close, _labels(plain(data)))):
        assert label[:24] in lettering, label


def test_a_chart_s_own_words_can_t_leave_their_attribute(worked: Callable[[Sequence[str]], Worked]) -> None:
    for chart in worked(HOSTILE).charts[:3]:
        page = Page(chart_page(Chart('" onclick="alert(1)', chart.alt, chart.data)))
        assert page.shape[0] == ("div", ("role", "aria-label"))


def test_the_terminal_gets_letters_alone(worked: Callable[[Sequence[str]], Worked]) -> None:
    house = worked(HOSTILE)
    said = [as_text(sheet.as_json(), reasons=True) for sheet in house.sheets]
    said += [table_text(table) for table in house.tables]
    assert [line for text in said for line in text.split("\n") if not line.replace("\xa0", " ").isprintable()] == []
