"""The permit set on paper: as many pages as the scope asks for, each of them full, nothing that a reader trips over."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from calc.job import parse_job
from calc.job.starters import new_job
from calc.wiring.house import House
from tests import houses
from tests.documents.houses import LONG, demo, large
from tests.packet.permits import set_of
from tests.packet.reading import reader, text_of

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
DEMO = {"fernhollow-lot-14": 10, "cask-lane-27": 2, "cask-lane-27-new-service": 5, "tinkers-row-4": 4}
STARTERS = {
    "one-family": 2, "existing": 2, "kitchen": 2, "bathroom": 2, "detached-garage": 2, "charger": 2, "heat-pump": 2,
    "service-change": 3,
}  # fmt: skip
MOST = DEMO | STARTERS
HALF_PT, FOOT_PT, HEADING_PT = 396.0, 745.0, 60.0  # of a letter page of 792 pt, from its top; room under a heading


@cache
def made(name: str) -> bytes:
    if name in STARTERS:
        return set_of(House.of(parse_job(new_job("Alder Row 5", name).encode(), Path("alder.toml"))))
    return set_of(houses.demo(name))


def placed(pdf: bytes) -> list[list[tuple[float, str]]]:
    """Of each page, its words with where each ends, in points from the top."""
    told = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True)
    pages = told.stdout.decode().split("<page ")[1:]
    found = [re.findall(r'yMax="([\d.]+)">([^<]*)<', page) for page in pages]
    return [[(float(y), word) for y, word in page] for page in found]


@cache
def words(name: str) -> list[list[tuple[float, str]]]:
    """The words of each page over its footer."""
    return [[(y, word) for y, word in page if y < FOOT_PT] for page in placed(made(name))]


@pytest.mark.parametrize("name", MOST)
def test_a_permit_set_takes_no_more_pages_than_its_scope_needs(name: str) -> None:
    """Ten for a new house, two for loads that are added, three to five with a new service, two for a load or a part of a house."""
    assert len(words(name)) <= MOST[name]


@pytest.mark.parametrize("name", MOST)
def test_every_page_but_the_last_is_more_than_half_full(name: str) -> None:
    assert [at for at, page in enumerate(words(name)[:-1], 1) if max(y for y, _ in page) < HALF_PT] == []


@pytest.mark.parametrize("name", MOST)
def test_the_outline_begins_on_page_1_and_no_heading_stands_at_a_page_s_foot(name: str) -> None:
    read = reader(made(name))
    entries = [entry for entry in read.outline if not isinstance(entry, list)]
    assert read.get_destination_page_number(entries[0]) == 0
    assert entries[0].title in ("Verdict and load", "Verdict")
    pages = [read.get_destination_page_number(entry) for entry in entries]
    assert all(one <= two for one, two in pairwise(filter(None, pages)))
    assert [entry.title for entry in entries if float(entry.top) < 792 - FOOT_PT + HEADING_PT] == []


@pytest.mark.parametrize("name", ["fernhollow-lot-14", "fernhollow-lot-12"])
def test_what_decides_is_set_in_letters_that_are_read_without_effort(name: str) -> None:
    """All of page 2 and of what follows on it under the same heading: at least 8.5 points, the footer aside."""
    sizes: list[float] = []

    def look(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        if text.strip() and tm[5] * cm[3] + cm[5] > 792 - FOOT_PT:
            sizes.append(round(abs(size * tm[3] * cm[3]), 2))

    for page in reader(made(name)).pages[1:3]:
        page.extract_text(visitor_text=look)
    assert min(sizes) >= 8.5


@pytest.mark.parametrize("name", MOST)
def test_no_page_has_a_key_a_path_or_a_word_that_is_the_office_s(name: str) -> None:
    """Entries go by their labels, formulas as a person writes them; that a permit is refused is for the office to say."""
    text = text_of(made(name))
    assert re.findall(r"\b[a-z]+_[a-z_]+\b|\w+\[\d+\]|\.toml\b|\bft2\b|\bin3\b|steps\(|REFUSED|\bPASS\b", text) == []


def test_the_title_is_the_address_and_the_file_is_archival_and_accessible() -> None:
    read = reader(made("fernhollow-lot-14"))
    assert read.metadata is not None
    assert read.metadata.title == "122 Sorrel Bend, Marrow Creek: Permit set"
    xmp = read.trailer["/Root"]["/Metadata"].get_object().get_data()  # type: ignore[index]
    assert b"<pdfaid:part>3<" in xmp
    assert b"<pdfuaid:part>1<" in xmp


def test_page_1_decides_and_is_signed() -> None:
    text = text_of(made("fernhollow-lot-14"), 1)
    _, stands = demo("fernhollow-lot-14")
    for said in (
        f"{stands.verdict}.", "122 Sorrel Bend, Marrow Creek", "MC-26-0431", "Total load, standard method", "60,486",
        "2 sets of 4/0 Al XHHW-2", "interrupting 22,000 A, available fault current 9,970 A", "4 AWG to concrete-encased",
        "Surge protection type 2", "Signature", "For the office: stamp or approval",
        "Dryer: 4,600 counts as the least, 5,000 VA", "worked-annex.pdf, fingerprint",
    ):  # fmt: skip
        assert said in text, said


def test_no_load_is_claimed_of_a_job_that_is_a_kitchen() -> None:
    text = text_of(made("kitchen"))
    assert "Kitchen, Branch circuits: passes." in text
    assert "Nothing is claimed of: dwelling load" in text
    assert "Total load" not in text
    assert "Site not stated" in text


def test_a_house_of_150_circuits_and_80_rooms_grows_the_set_by_pages_and_nothing_is_cut() -> None:
    """Every name stands there in full, in letters that a search finds."""
    house, _ = large()
    pdf = set_of(house)
    text = re.sub(r"[\s\u200b-]", "", text_of(pdf))
    names = [circuit.name for circuit in house.whole_job.circuits] + [room.name for room in house.whole_job.rooms]
    assert len(names) > 200
    assert max(map(len, names)) == LONG
    assert [name for name in names if re.sub(r"[\s-]", "", name) not in text] == []
    assert len(reader(pdf).pages) > 10
    feet = [[word for y, word in page if y >= FOOT_PT] for page in placed(pdf)]
    assert {tuple(foot[1:3]) for foot in feet} == {("page", str(at)) for at in range(1, len(feet) + 1)}
    assert {len(foot) for foot in feet} == {len(feet[0])}, "nothing but the footer stands below the text"
