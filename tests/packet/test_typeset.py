"""The packet's PDF: what it claims, what it carries, what each page says, and that nothing typed becomes markup."""

from __future__ import annotations

import json
import random
import re
from datetime import date
from typing import Any

import pytest

from calc.packet import Collected, Display, TypesetError, typeset
from calc.packet.typeset import PDF_STANDARDS, _fonts
from tests.hostile.texts import NAMES
from tests.packet import samples
from tests.packet.reading import reader, structure, text_of


def displays(*, sheets: Any = None) -> Collected:
    """The sample's displays."""
    shown = [Display("sheet", sheet) for sheet in (sheets or [samples.dwelling_sheet()])]
    shown += [Display("chart", samples.chart(), samples.chart_svg()), Display("table", samples.table())]
    return Collected(shown)


def made(collected: Collected | None = None, **changes: Any) -> bytes:
    """The sample packet."""
    given = {
        "name": "Fernhollow Lot 12",
        "fingerprint": samples.FINGERPRINT,
        "job_text": samples.JOB_TEXT,
        "dated": date(2024, 3, 5),
    }
    return typeset(collected or displays(), **(given | changes))


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return made()


def test_same_job_same_bytes(pdf: bytes) -> None:
    assert made() == pdf
    assert made(name="Another") != pdf


def test_claims_archive_and_accessibility(pdf: bytes) -> None:
    """PDF/A part 3 level A and PDF/UA part 1, in the metadata that validators read."""
    metadata = reader(pdf).trailer["/Root"]["/Metadata"].get_data().decode()  # type: ignore[index]
    for claim in (
        "<pdfaid:part>3<",
        "<pdfaid:conformance>A<",
        "<pdfuaid:part>1<",
        "Worked annex: 118 Sorrel Bend, Marrow Creek",
    ):
        assert claim in metadata
    root = reader(pdf).trailer["/Root"]
    assert root["/Lang"] == "en-US"  # type: ignore[index]
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert PDF_STANDARDS == ["a-3a", "ua-1"]


def test_tags_headings_tables_and_figures(pdf: bytes) -> None:
    tags = structure(pdf)
    assert tags.count("/TH") >= 3
    assert "/Figure" in tags
    levels = [int(tag[2]) for tag in tags if tag in ("/H1", "/H2", "/H3")]
    assert levels
    assert all(after - before <= 1 for before, after in zip([0, *levels], levels, strict=False)), "a level is skipped"


def test_date_is_the_job_s_own_or_a_fixed_one() -> None:
    assert reader(made()).metadata["/CreationDate"].startswith("D:20240305")  # type: ignore[index]
    assert reader(made(dated=None)).metadata["/CreationDate"].startswith("D:19800101")  # type: ignore[index]


def test_page_1_says_whose_sheets_these_are_and_what_they_come_to(pdf: bytes) -> None:
    page = text_of(pdf, 1)
    for fact in (
        "118 Sorrel Bend, Marrow Creek", "Worked annex", "Job Fernhollow Lot 12", "What is shown: passes", "Edition 2023",
        "Amendments none", "Sheets fingerprint ", "page 1 of", "job file 3f9c1a77d0b2", "Contents", "Dwelling load, standard method",
        "This PDF carries the job file and sheets as attachments.",
    ):  # fmt: skip
        assert fact in page, fact


def test_failures_and_refusals_stand_over_page_1() -> None:
    short = samples.dwelling_sheet(status="falls short")
    short["checks"] = [
        samples.check("serves", "the service serves", "200 A provided, 252.0 A required", "230.42", False, "400 A")
    ]
    refused = samples.dwelling_sheet(title="Existing dwelling", lines=[], checks=[])
    refused |= {
        "refused": {"reason": "the table of 2026 is not confirmed", "sections": ["120.83"], "missing": None},
        "status": "not worked",
    }
    packet = made(displays(sheets=[short, refused]))
    first = text_of(packet, 1)
    assert "What is shown: falls short" in first
    assert "FALLS SHORT" in first
    assert "NOT WORKED" in first
    everything = text_of(packet)
    assert "To correct it: 400 A" in everything
    assert "the table of 2026 is not confirmed [120.83]" in everything


def test_a_sheet_shows_lines_checks_notes_and_cautions(pdf: bytes) -> None:
    everything = text_of(pdf)
    for text in (
        "= 3,000 VA × 100 % + 12,720 VA × 35 %, portions of 15,720 VA", "floor area × unit load = 3,240 ft² × 3 VA/ft²",
        "Table cooking: appliances = 3, column b_pct", "400 A provided, 252.0 A required",
        "From memory. Value from memory", "From connected load to demand load", "The load by edition", "Spas, pools and their bonding",
    ):  # fmt: skip
        assert text in everything, text


def test_reasons_are_the_learner_s() -> None:
    """The learner's version has each, and half of each page to work in."""
    learner = made(learner=True)
    assert "burns every lamp" in text_of(learner)
    assert "burns every lamp" not in text_of(made())
    page = next(
        page
        for page in reader(learner).pages
        if "Dwelling load, standard method" in page.extract_text() and "Contents" not in page.extract_text()
    )
    right: list[float] = []
    page.extract_text(
        visitor_text=lambda text, cm, tm, *_: right.append(tm[4] * cm[0] + cm[4]) if text.strip() else None
    )
    assert sorted(right)[int(len(right) * 0.97)] < 612 - 3.5 * 72


def test_attachments_hold_the_job_and_the_sheets_exactly(pdf: bytes) -> None:
    attached = reader(pdf).attachments
    assert attached["job.toml"] == [samples.JOB_TEXT.encode()]
    sheets = json.loads(attached["sheets.json"][0])
    assert sheets["sheets"] == [samples.dwelling_sheet()]
    assert sheets["fingerprint"] == samples.FINGERPRINT


def test_attachments_can_be_left_out_and_the_cover_says_so() -> None:
    packet = made(attachments=False)
    assert not reader(packet).attachments
    assert "No attachments." in text_of(packet, 1)
    assert b"ornhollow Lot 12\\n" not in packet


@pytest.mark.parametrize("text", [*NAMES["Typst"], *NAMES["HTML elements"][:2], "$x^2$", "*bold* _emph_ `raw`"])
def test_what_a_person_typed_stays_text(text: str) -> None:
    """Everywhere that a job's own words can reach."""
    sheet = samples.dwelling_sheet(title=text, subject=text, cautions=[text])
    sheet["lines"][0] |= {"name": text, "formula": text, "reason": text, "sections": [text]}
    sheet["checks"][0] |= {"name": text, "remedy": text, "passes": False, "sections": [text]}
    sheet["givens"] = [samples.given(text, text, text)]
    sheet["rules"] = [samples.rule(text, text)]
    sheet["notes"] = [{"mark": mark, "kind": text, "text": f"{mark} {text}"} for mark in (1, 2)]
    sheet["refused"] = {"reason": text, "sections": [text], "missing": None}
    table = samples.table(title=text, intro=text, rows=[[text] * 3], notes=[text])
    chart = samples.chart(title=text, alt=text)
    collected = Collected(
        [
            Display("sheet", sheet),
            Display("chart", chart, samples.chart_svg()),
            Display("table", table),
        ]
    )
    packet = made(collected, name=text)
    spaceless = text.replace(" ", "")
    assert spaceless in text_of(packet, 1).replace(" ", "")
    assert text_of(packet).replace(" ", "").count(spaceless) >= 10
    assert len(reader(packet).pages) <= 8


def test_any_text_at_all_can_be_set() -> None:
    """Archival PDF bars missing glyphs and some code points; a name in any script must not stop a packet."""
    rng = random.Random(7)
    blocks = [(0x20, 0x24F), (0x300, 0x36F), (0x590, 0x6FF), (0x900, 0xDFF), (0x2000, 0x9FFF), (0xD7F0, 0x1FAFF)]

    def word() -> str:
        first, last = rng.choice(blocks)
        return "".join(chr(rng.choice([rng.randint(first, last), 0x200D, 0x202E])) for _ in range(rng.randint(1, 9)))

    for _ in range(25):
        sheet = samples.dwelling_sheet(cautions=[word() for _ in range(40)])
        for line in sheet["lines"]:
            line["name"] = word()
        drawing = samples.chart_svg("").replace("General", "".join(map(_escaped, word() + word())))
        collected = Collected([Display("sheet", sheet), Display("chart", samples.chart(alt=word()), drawing)])
        assert made(collected, name=word())[:5] == b"%PDF-"


def _escaped(char: str) -> str:
    return {"<": "&lt;", ">": "&gt;", "&": "&amp;"}.get(char, char)


def test_no_text_can_turn_the_reading_direction() -> None:
    """'FALLS SHORT' typed backwards behind an override would be read as a verdict."""
    everything = text_of(made(name="\u202eTROHS SLLAF"))
    assert "TROHS SLLAF" in everything
    assert "\u202e" not in everything


def test_the_last_fallback_font_is_there() -> None:
    families = _fonts(()).families()
    assert {"Libertinus Serif", "DejaVu Sans", "DejaVu Sans Mono", "Last Resort High-Efficiency"} <= set(families)


def test_a_long_table_repeats_its_header_on_each_page() -> None:
    packet = made(Collected([Display("sheet", samples.dwelling_sheet()), Display("table", samples.table(200))]))
    pages = [page.extract_text() for page in reader(packet).pages]
    with_rows = [page for page in pages if "vehicle supply at nameplate, row" in page]
    assert len(with_rows) >= 4
    assert all("What differs" in page for page in with_rows)


@pytest.mark.parametrize("count", [0, 40])
def test_any_number_of_sheets(count: int) -> None:
    sheets = [
        Display("sheet", samples.dwelling_sheet(family="box-fill", subject=f"Number {i}", lines=[]))
        for i in range(count)
    ]
    packet = made(Collected(sheets))
    whole = text_of(packet)
    assert all(len(re.findall(rf"Box: Number {i}\b", whole)) == 2 for i in range(count)), (
        "in the contents, and over the sheet"
    )


def test_monstrous_names_break_instead_of_running_off() -> None:
    """300 letters without a space fit, on page 1 cut short, at the line in full."""
    name = "N" * 300
    sheet = samples.dwelling_sheet()
    sheet["lines"][0]["name"] = name
    packet = made(displays(sheets=[sheet]), name=name)
    assert "…" in text_of(packet, 1)
    assert text_of(packet).count("N") >= 400, "every letter of it, over as many rows as it takes"


def test_a_drawing_that_is_no_svg_is_named() -> None:
    with pytest.raises(TypesetError, match="can't be typeset"):
        made(Collected([Display("chart", samples.chart(), "<svg")]))


def test_the_verdict_of_the_whole_stands_over_page_1_with_its_scope_and_what_is_odd() -> None:
    """One verdict for the document, what nothing is claimed of, and each entry that somebody has to confirm."""
    odd = [
        {"text": f"Load {n}: nameplate load is 9.6 VA: usual 500 to 30,000 VA", "at": f"loads[{n}].load_va"}
        for n in range(5)
    ]
    verdict = {
        "schema_version": 1, "scope": ["Kitchen"], "stated": True, "status": "not shown", "items": [], "open": [],
        "verdict": "Kitchen: 1 not shown", "outside": ["Grounding and bonding"], "to_confirm": odd,
    }  # fmt: skip
    packet = made(Collected([Display("verdict", verdict), *displays().displays]))
    first = text_of(packet, 1)
    assert "Kitchen: 1 not shown" in first
    assert "To be confirmed: Load 4" in text_of(packet)
