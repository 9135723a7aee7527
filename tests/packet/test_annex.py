"""The worked annex of whole houses: nothing of a sheet is lost, every mark is tagged, and each page is well filled."""

from __future__ import annotations

import copy
import re
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf.generic import ContentStream

from calc.families import families
from calc.packet import Collected, Display, typeset
from calc.packet.wording import printed, told
from tests import houses
from tests.packet import samples
from tests.packet.reading import reader, structure

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
Json = dict[str, Any]


@cache
def sheets(name: str) -> tuple[Json, ...]:
    """Every sheet of a demo house, in its public form."""
    house = houses.demo(name)
    worked = (family.work(house) for family in families().values() if not family.needs(house.job))
    return tuple(sheet.as_json() for found in worked for sheet in found)  # type: ignore[misc]


@cache
def annex(name: str) -> bytes:
    """Its annex, with two charts and a long table."""
    return of(name, [Display("sheet", sheet) for sheet in sheets(name)])


def of(name: str, displays: list[Display]) -> bytes:
    more = [Display("chart", samples.chart(), samples.chart_svg()), Display("chart", samples.chart(title="Another"), samples.chart_svg()),
            Display("table", samples.table(40))]  # fmt: skip
    return typeset(Collected([*displays, *more]), name=name, fingerprint=samples.FINGERPRINT,
                   job_text=(JOBS / f"{name}.toml").read_text(encoding="utf-8"))  # fmt: skip


def squeezed(text: str) -> str:
    """Text without what breaks it into rows and pages."""
    return re.sub(r"\s|\u200b|\u2060", "", text)


Piece = tuple[float, float, float]


@cache
def laid(name: str) -> list[tuple[str, list[Piece]]]:
    """The text of each page; and left edge, height above the foot and size of type of each piece of it, but for its
    footer."""
    found = []
    for page in reader(annex(name)).pages:
        pieces: list[Piece] = []

        def take(
            text: str, cm: list[float], tm: list[float], _: object, size: float, pieces: list[Piece] = pieces
        ) -> None:
            x, y = tm[4] * cm[0] + tm[5] * cm[2] + cm[4], tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            if text.strip() and y > 46:
                pieces.append((x, y, size))

        found.append((page.extract_text(visitor_text=take), pieces))
    return found


@cache
def texts(name: str) -> dict[int, str]:
    """The text of each sheet of a house by its number, footers and page breaks taken out; under 0 what stands before."""
    pages = [text for text, _ in laid(name)]
    whole = squeezed(
        "\n".join(re.sub(r"\n[^\n]*\s*page \d+ of \d+\s+job file \w+$", "", page.strip()) for page in pages)
    )
    parts = re.split(r"sheet(\d+)(?=passes|FALLSSHORT|NOTSHOWN|NOTWORKED)", whole)
    return {int(number): text for number, text in zip(["0", *parts[1::2]], parts[::2], strict=True)}


HOUSES = ["fernhollow-lot-14", "fernhollow-lot-12"]


@pytest.mark.parametrize("name", HOUSES)
def test_nothing_of_a_sheet_is_lost(name: str) -> None:
    """Each line by its number and name with its result, each check with its text, each requirement that waits for an
    entry, each refusal, stands in the part of the annex that is the sheet's; notes and cautions stand in its chapter."""
    whole = "".join(texts(name).values())
    assert len(texts(name)) == len(sheets(name)) + 1 > 90
    left = [text for number, text in texts(name).items() if number]
    for sheet in sheets(name):
        text = next((text for text in left if holds(text, sheet)), "")
        assert text, f"{sheet['title']}, {sheet['subject']}"
        left.remove(text)
        for words in (*(note["text"] for note in sheet["notes"]), *sheet["cautions"]):
            assert squeezed(told(words)) in whole, words


def holds(text: str, sheet: Json) -> bool:
    """Whether a sheet's part of the annex says all that the sheet says."""
    at = 0
    for line in sheet["lines"]:
        for words in (
            f"{line['number']}{capital(line['name'])}",
            line["numbers"] and printed(line["numbers"]),
            printed(line["result"]),
        ):
            at = text.find(squeezed(words), at)
            if at < 0:
                return False
    said = [f"{capital(check['name'])}" for check in (*sheet["checks"], *sheet["not_shown"])]
    said += [printed(check["text"]) for check in sheet["checks"]] + [told(check["remedy"]) for check in sheet["checks"]]
    said += [told(each["missing"]) for each in sheet["not_shown"]]
    said += [told(sheet["refused"]["reason"])] if sheet["refused"] else []
    return all(squeezed(words) in text for words in said)


def capital(name: str) -> str:
    return name[:1].upper() + name[1:]


@pytest.mark.parametrize("name", HOUSES)
def test_every_mark_on_a_page_is_tagged_or_an_artifact(name: str) -> None:
    """PDF/UA: what is drawn belongs to the structure, or is said to be decoration."""
    found = reader(annex(name))
    for number, page in enumerate(found.pages, 1):
        depth = 0
        for _, operator in ContentStream(page.get_contents(), found).operations:
            depth += (operator in (b"BDC", b"BMC")) - (operator == b"EMC")
            assert depth or operator not in (b"Tj", b"TJ", b"Do", b"f", b"f*", b"S", b"s", b"B", b"sh"), (
                f"page {number}: {operator!r}"
            )
        assert depth == 0


@pytest.mark.parametrize("name", HOUSES)
def test_the_structure_has_headings_in_order_and_words_for_each_figure(name: str) -> None:
    tags = structure(annex(name))
    levels = [int(tag[2]) for tag in tags if re.fullmatch(r"/H[1-6]", tag)]
    assert levels
    assert all(after - before <= 1 for before, after in zip([0, *levels], levels, strict=False)), "a level is skipped"
    assert tags.count("/Figure") == len(alternatives(annex(name))) >= 2
    assert all(alternatives(annex(name)))
    assert "/Table" in tags
    assert "/TH" in tags


def alternatives(pdf: bytes) -> list[str]:
    """The alternative text of each figure."""
    waiting, found = [reader(pdf).trailer["/Root"]["/StructTreeRoot"]], []  # type: ignore[index]
    while waiting:
        node = waiting.pop()
        if node.get("/S") == "/Figure":
            found.append(str(node.get("/Alt", "")))
        kids = node.get("/K", [])
        objects = [kid.get_object() for kid in (kids if isinstance(kids, list) else [kids])]
        waiting += [kid for kid in objects if isinstance(kid, dict) and kid.get("/Type") != "/MCR"]
    return found


def outline(pdf: bytes) -> list[tuple[int, str, int]]:
    """Level, title and page of each bookmark."""
    found = reader(pdf)

    def walk(items: list[Any], level: int) -> list[tuple[int, str, int]]:
        flat: list[tuple[int, str, int]] = []
        for item in items:
            if isinstance(item, list):
                flat += walk(item, level + 1)
            else:
                flat.append((level, str(item.title), (found.get_destination_page_number(item) or 0) + 1))
        return flat

    return walk(found.outline, 1)


def test_the_outline_goes_by_subject() -> None:
    """The drop of run R4 is found under the run; nothing is called 'Checks' fifty times, and page 1 is in it."""
    marks = outline(annex("fernhollow-lot-14"))
    titles = [title for _, title, _ in marks]
    at = titles.index("Run R4: vehicle supply")
    assert titles[at + 1 : at + 5] == [
        "Conductors, branch", "Voltage drop by direct-current resistance", "Fault current", "Raceway fill",
    ]  # fmt: skip
    assert "Box B4: stair, landing" in titles
    assert marks[0][2] == 1
    assert not {"Checks", "Notes", "Cautions"} & set(titles)
    assert not any("\u200b" in title for title in titles)
    repeated = [title for level, title, _ in marks if level < 3]
    assert len(repeated) == len(set(repeated)), "a subject stands once"


# -- how pages are filled -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", HOUSES)
def test_no_page_is_under_half_full_but_the_last_and_no_heading_stands_at_a_foot(name: str) -> None:
    pieces = [page for _, page in laid(name)]
    for number, page in enumerate(pieces, 1):
        assert number == len(pieces) or min(y for _, y, _ in page) < 396, f"page {number}"
        for column in ([piece for piece in page if piece[0] < 306], [piece for piece in page if piece[0] >= 306]):
            if column:
                assert min(column, key=lambda piece: piece[1])[2] < 10, f"page {number}"


def test_a_heading_of_drawings_stands_with_the_first_of_them() -> None:
    """After short contents too, and where a sentence stands between them."""
    tall = samples.chart_svg().replace('height="140pt"', 'height="600pt"').replace("0 0 480 140", "0 0 480 600")
    section = {"title": "Schedule", "parts": [{"kind": "chart", "title": "Another"}]}
    displays = [Display("document", samples.document(sections=[section])), Display("sheet", samples.dwelling_sheet()),
                Display("chart", samples.chart(title="Tall"), tall)]  # fmt: skip
    pdf = of("fernhollow-lot-14", displays)
    (page,) = [page for page in reader(pdf).pages if "not here again" in page.extract_text()]
    assert "Tall" in page.extract_text()


# -- a house that is too much ---------------------------------------------------------------------------------------


def test_a_house_of_150_circuits_and_80_rooms_grows_by_whole_pages_and_nothing_overlaps_or_is_cut() -> None:
    """With a name of 300 letters in a circuit, a room and a box."""
    every = sheets("fernhollow-lot-14")
    long = "N" * 300
    displays = [Display("sheet", sheet) for sheet in every]
    for title, count in (("Branch circuit", 150), ("Receptacles and lighting", 80), ("Box fill", 2)):
        alike = [sheet for sheet in every if sheet["title"] == title]
        for n in range(count):
            again = copy.deepcopy(alike[n % len(alike)]) | {"subject": long if n == 0 else f"Number {n}"}
            displays.append(Display("sheet", again))
    pdf = of("fernhollow-lot-14", displays)
    pages = reader(pdf).pages
    assert len(pages) > len(reader(annex("fernhollow-lot-14")).pages) + 15
    assert all([float(x) for x in page.mediabox[2:]] == [612, 792] for page in pages)
    titles = [title for _, title, _ in outline(pdf)]
    assert f"Circuit: {long}" in titles
    assert "Circuit: Number 149" in titles
    for number, words in enumerate(word_boxes(pdf), 1):
        assert all(left > 36 and right < 576 and top > 30 for left, top, right, _ in words), f"page {number}: cut"
        assert not overlapping(words), f"page {number}: {overlapping(words)}"


def word_boxes(pdf: bytes) -> list[list[tuple[float, float, float, float]]]:
    """Left, top, right and bottom of each word, page by page, as another reader of PDF finds them."""
    shown = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    word = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">')
    return [[tuple(map(float, box)) for box in word.findall(page)] for page in shown.split("<page ")[1:]]  # type: ignore[misc]


def overlapping(words: list[tuple[float, float, float, float]]) -> list[tuple[float, ...]]:
    """Words that stand on another by more than a third of their height and of a letter's width."""
    found: list[tuple[float, ...]] = []
    ordered = sorted(words, key=lambda box: box[1])
    for place, (left, top, right, bottom) in enumerate(ordered):
        for other in ordered[place + 1 : place + 60]:
            if other[1] > bottom - (bottom - top) / 3:
                break
            if min(right, other[2]) - max(left, other[0]) > 3 and min(bottom, other[3]) - max(top, other[1]) > 4:
                found.append((left, top, *other))
    return found
