"""Hostile text through the notebooks and onto paper: run headless, displayed as data, typeset as text."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from calc.packet import restore_job
from calc.work.signs import with_signs
from tests.hostile.test_shown import TURNED, Page, harmless
from tests.hostile.texts import written
from tests.packet.reading import reader
from tests.packet.test_phone import Seen

KNOWN = {
    "text/html", "text/plain", "image/svg+xml",
    *(f"application/vnd.studbay.{kind}+json" for kind in ("verdict", "front", "sheet", "table", "chart", "walk", "document")),
}  # fmt: skip
LINK = b"/URI", b"/JavaScript", b"/Launch", b"/GoToR"
MADE = "fernhollow-lot-12"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The folders of the packets of a hostile house and of a harmless one, the crew's packet inside."""
    folders = {}
    for name, texts in (("hostile", TURNED), ("harmless", harmless(TURNED))):
        folder = tmp_path_factory.mktemp(name)
        path, _ = written(folder, texts)
        for also in ([], ["--for", "crew"]):
            done = studbay("packet", str(path), "--out", str(folder / "reports"), *also)
            assert done.returncode == 1, done.stderr  # the house is as a first day left it
        folders[name] = folder
    return folders


def studbay(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "calc", *args], capture_output=True, text=True)


def pdfs(folder: Path) -> list[Path]:
    made = folder / "reports" / MADE
    return [made / "worked-annex.pdf", made / "crew" / "crew.pdf", made / "permit-set.pdf"]


def outputs(folder: Path) -> Iterator[dict[str, Any]]:
    """What each cell of the executed notebooks put out, in order."""
    for path in sorted((folder / "reports" / MADE).rglob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            yield from cell.get("outputs", ())


def texts_of(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, (dict, list)):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            if key != "changes":  # what a mend would write into the job file, for the program
                yield from texts_of(value)


def close(text: str) -> str:
    """Without spaces and places to break, as a search would compare it."""
    return re.sub(r"[\s\u200b]", "", unicodedata.normalize("NFC", text))


def test_notebooks_display_data_alone(made: dict[str, Path]) -> None:
    hostile, others = list(outputs(made["hostile"])), list(outputs(made["harmless"]))
    assert len(hostile) == len(others) > 100
    for one, plain in zip(hostile, others, strict=True):
        assert one["output_type"] == plain["output_type"]
        assert set(one.get("data", {})) <= KNOWN
        if "text/html" in one.get("data", {}):
            assert Page("".join(one["data"]["text/html"])).shape == Page("".join(plain["data"]["text/html"])).shape
        if one["output_type"] == "stream":
            assert (one["name"], one["text"]) == (plain["name"], plain["text"]), "nothing is printed or warned of"


def test_packets_say_each_text_as_text(made: dict[str, Path]) -> None:
    """Every text that a display holds, in the PDF as it was typed or with a multiplication sign for its x; scripts
    read from the right aside."""
    _, said = written(made["hostile"] / "again", TURNED)
    shown: set[str] = set()
    for pdf in pdfs(made["hostile"]):
        paper = "".join(
            close(subprocess.run(["pdftotext", how, pdf, "-"], capture_output=True, text=True).stdout)
            for how in ("-layout", "-raw")  # -raw keeps the lines of a narrow column together
        )
        displays = [o["data"] for o in outputs(made["hostile"]) if "data" in o]
        kind = {"crew.pdf": "walk", "permit-set.pdf": "document"}.get(pdf.name, "sheet")
        held = set(texts_of([d[m] for d in displays for m in d if m == f"application/vnd.studbay.{kind}+json"]))
        found = {text for text in said if text in held and unicodedata.bidirectional(text[0]) not in ("R", "AL")}
        assert {text for text in found if close(text) not in paper and close(with_signs(text)) not in paper} == set()
        shown |= found
    assert len(shown) > 60


def test_packets_carry_two_files_and_no_way_out(made: dict[str, Path]) -> None:
    annex, _crew, permit = pdfs(made["hostile"])
    job = (made["hostile"] / "house.toml").read_text(encoding="utf-8")
    assert restore_job(annex) == restore_job(permit) == job
    assert set(reader(annex.read_bytes()).attachments) == {"job.toml", "sheets.json"}
    assert set(reader(permit.read_bytes()).attachments) == {"job.toml"}
    for pdf, plain in zip(pdfs(made["hostile"]), pdfs(made["harmless"]), strict=True):
        read = reader(pdf.read_bytes())
        said = b"".join(
            str(part).encode()
            for page in read.pages
            for part in page.get("/Annots", ())
            for part in [part.get_object()]
        )
        assert not [sign for sign in LINK if sign in said]
        assert len(read.pages) <= len(reader(plain.read_bytes()).pages) + 12


@pytest.mark.parametrize("name", ['a"; import os #.toml', "-rf{x}'!ls.toml", "%run é\\n.toml"])
def test_a_job_file_may_be_called_anything(name: str, tmp_path: Path) -> None:
    """The file's name is the one parameter of a notebook, as a string."""
    text = '[code]\nedition = "2023"\n[job]\nname = "hill"\n[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1500\n'
    (tmp_path / name).write_text(text, encoding="utf-8")
    done = studbay("packet", "--out", str(tmp_path / "reports"), "--", str(tmp_path / name))
    assert done.returncode in (0, 1), done.stderr
    ran = json.loads((tmp_path / "reports" / "hill" / "01-dwelling-load.ipynb").read_text(encoding="utf-8"))
    (given,) = [c for c in ran["cells"] if "injected-parameters" in c["metadata"].get("tags", ())]
    names: dict[str, Any] = {}
    exec("".join(given["source"]), names)
    assert names["job_path"] == name


def test_the_crew_s_page_for_the_phone_is_the_same_page_of_any_house(made: dict[str, Path]) -> None:
    """Its elements and attributes are those of a harmless house's, and its own script stands there once, unchanged."""
    one, other = (
        Seen((made[name] / "reports" / MADE / "crew" / "crew.html").read_text(encoding="utf-8"))
        for name in ("hostile", "harmless")
    )
    assert one.shape == other.shape
    assert one.raw["script"][1:] == other.raw["script"][1:]
    assert len(one.raw["script"]) == 2
