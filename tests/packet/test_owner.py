"""The owner's page on paper: made from what its notebook showed, in a folder of its own."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from calc.documents.owner import owner_page
from calc.job import read_job
from calc.packet import PacketError, packet_notebooks
from calc.packet.owner import make_owner
from calc.packet.sections import section_pages
from calc.show.display import show_document
from calc.wiring.house import House
from tests.packet import samples
from tests.packet.reading import reader, structure, text_of
from tests.packet.samples import output
from tests.packet.test_run import in_process, showing, written  # noqa: F401
from tests.test_pages import BARRED, KEY, texts

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
DEMO = JOBS / "cask-lane-27.toml"


def made(tmp_path: Path, document: dict[str, Any]) -> Any:
    notebook = written(tmp_path / "nb" / "1.ipynb", showing(output("document", document)))
    return make_owner(DEMO, notebooks=[notebook], out_dir=tmp_path / "reports", engine="in-process")


def test_the_page_names_the_house_and_says_what_fits(tmp_path: Path) -> None:
    document = owner_page(House.of(read_job(DEMO)))
    assert document is not None
    page = made(tmp_path, show_document(document).forms["application/vnd.studbay.document+json"])
    assert page.pdf == tmp_path / "reports" / "cask-lane-27" / "owner" / "owner.pdf"
    pdf = page.pdf.read_bytes()
    text = text_of(pdf)
    for said in ("27 Cask Lane, Old Ferrow", "Everything planned is too much for the 100 A service; less of it fits.",
                 "The circuit Furnace, gas, to be taken out is to be removed, which frees 1 of the spaces of",
                 "up to 21 A, 100 A: fits", "What a new service would be", "125 A by calculation (optional method)"):  # fmt: skip
        assert said in text, said
    assert (len(reader(pdf).pages), page.fits) == (1, False)


def test_the_page_is_tagged_and_each_number_on_it_is_one_that_the_document_says(tmp_path: Path) -> None:
    """Headings, tables with their heads, no figure without words; what setting adds is the number of pages and the fingerprint."""
    document = owner_page(House.of(read_job(DEMO)))
    assert document is not None
    pdf = made(tmp_path, show_document(document).forms["application/vnd.studbay.document+json"]).pdf.read_bytes()
    tags = structure(pdf)
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/L"} <= set(tags)
    assert tags.count("/Table") == sum(part.kind == "table" for part in document.sections[0].parts)
    assert (
        next(entry.title for entry in reader(pdf).outline if not isinstance(entry, list)) == document.sections[0].title
    )
    said = " ".join(map(str, texts(section_pages(document.as_json(), {}))))
    page = text_of(pdf).replace("page 1 of 1", "").replace(f"job file {read_job(DEMO).fingerprint[:12]}", "")
    numbers = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?")
    assert set(numbers.findall(page)) - set(numbers.findall(f"{said} {document.subject}")) == set()


@pytest.mark.parametrize("name", ["cask-lane-27", "cask-lane-27-new-service", "fernhollow-lot-14"])
def test_the_page_has_no_key_and_no_place_of_the_job_file(name: str) -> None:
    """In the trade's words at most: it is for somebody who is no electrician."""
    document = owner_page(House.of(read_job(JOBS / f"{name}.toml")))
    assert document is not None
    for text in texts(section_pages(document.as_json(), {})):
        for pattern in (*BARRED.values(), KEY.pattern):
            assert not re.search(pattern, text), text


def test_without_a_page_for_the_owner_nothing_is_made(tmp_path: Path) -> None:
    with pytest.raises(PacketError, match="no notebook shows an owner's page"):
        made(tmp_path, samples.document())
    assert not (tmp_path / "reports" / "cask-lane-27" / "owner" / "owner.pdf").exists()


def test_the_notebook_that_ships_is_the_owner_s_alone() -> None:
    folder = JOBS.parent
    assert [path.name for path in packet_notebooks(folder, "owner")] == ["01b-owner-choices.ipynb"]
    assert not set(packet_notebooks(folder, "owner")) & {*packet_notebooks(folder), *packet_notebooks(folder, "walk")}
