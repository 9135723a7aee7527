"""Hostile text on its way in and out as data: job files, drafts, spreadsheets, file names, classes, amendments."""

from __future__ import annotations

import csv
import io
import os
import re
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result

from calc.cli import main
from calc.job import Job, JobError, changed, export_parts, import_parts, read_job, save_job
from calc.job.draft import Draft
from calc.job.places import value_at
from calc.packet.batch import Done
from calc.packet.overview import HEADINGS, as_csv, as_pdf, as_xlsx
from tests.hostile.texts import FORMULAS, READABLE, UNREAD, house, written

PLACES = ("loads[1].name", "job.address", "panels[1].name", "rooms[1].name", "findings[1].section", "job.name")
LISTS = ("loads", "boxes", "circuits", "rooms", "runs", "panels", "findings", "stairs")


def run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


def plain(text: str) -> bool:
    """Whether nothing in it could move a terminal's cursor, colour it, or turn its reading direction."""
    return all(line.isprintable() for line in text.split("\n"))


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    return read_job(written(tmp_path_factory.mktemp("job"))[0])


def refusal(job: Job, at: str, text: str) -> str:
    """Why a place of the job doesn't take a text; '' where it does."""
    try:
        changed(job, {at: text})
    except JobError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("text", UNREAD, ids=ascii)
def test_what_can_t_be_read_is_no_name(job: Job, text: str) -> None:
    """An optional text that is left blank counts as left out; all else is refused in words."""
    for at in PLACES:
        said = refusal(job, at, text)
        if not text and at in ("job.address", "findings[1].section"):
            blank = changed(job, {at: text})
            assert not (blank.job.address if at == "job.address" else blank.findings[0].section)
            continue
        assert plain(said)
        assert "; allowed: " in said
        assert all(len(line) < 700 for line in said.splitlines())


@pytest.mark.parametrize("text", [t for t in UNREAD if t.strip() and "x" * 81 not in t], ids=ascii)
def test_notes_take_lines_and_nothing_that_moves_a_cursor(job: Job, text: str) -> None:
    if plain(text.replace("\t", " ").replace("\r", " ")):
        assert changed(job, {"job.notes": text}).job.notes == text
    else:
        with pytest.raises(JobError) as caught:
            changed(job, {"job.notes": text})
        assert plain(str(caught.value))


def test_a_message_says_what_can_t_be_seen(job: Job) -> None:
    with pytest.raises(JobError, match=r'is "zero\\u200bwidth"; allowed: .* can be seen'):
        changed(job, {"loads[1].name": "zero\u200bwidth"})


@pytest.mark.parametrize("text", [*READABLE, *FORMULAS])
def test_a_job_s_name_is_a_folder_of_its_own(job: Job, text: str, tmp_path: Path) -> None:
    """Refused, or a folder right inside the one for reports."""
    if said := refusal(job, "job.name", text):
        assert re.search(r"; allowed: .*(reports are kept in a folder of this name|characters)", said)
        return
    name = changed(job, {"job.name": text}).job.name
    (tmp_path / name).mkdir()
    assert os.listdir(tmp_path) == [name]
    assert not re.fullmatch(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?|.*[. ]", name)
    assert len(name.encode()) <= 200


@pytest.mark.parametrize("text", [*READABLE, *FORMULAS, *(text for text in UNREAD if "\0" not in text)], ids=ascii)
def test_a_new_job_stays_in_its_folder(text: str, tmp_path: Path) -> None:
    inside = tmp_path / "work"
    made = run("new", "--folder", inside, "--", text)
    assert made.exit_code in (0, 2), made.exception
    assert plain(made.output)
    jobs = [path for path in tmp_path.rglob("*") if path.suffix not in (".ipynb", "")]
    assert jobs == ([inside / "notebooks" / "jobs" / jobs[0].name] if made.exit_code == 0 else [])
    for path in jobs:
        assert read_job(path).job.name == text
        assert re.fullmatch(r"\w[\w-]*\.toml", path.name)


def test_a_house_full_of_them_reads_back_as_it_was_written(tmp_path: Path) -> None:
    texts = (*READABLE, *FORMULAS)
    data, said = house(texts)
    path, _ = written(tmp_path, texts)
    job = read_job(path)
    assert job.data == data
    assert len(said) > 90
    swapped = changed(job, {"job.owner": said[0], "loads[1].name": said[1] + "!", "job.notes": "\n".join(texts)})
    assert save_job(swapped).data == swapped.data == read_job(path).data


def test_a_draft_keeps_whatever_was_typed(tmp_path: Path) -> None:
    path, _ = written(tmp_path)
    draft = Draft(path)
    places = ("job.owner", "job.notes", "loads[1].name", "job.phone", "service.rating_a")
    for begin in range(0, len(READABLE + FORMULAS + UNREAD), len(places)):
        typed = dict(zip(places, (READABLE + FORMULAS + UNREAD)[begin:], strict=False))
        draft.change(typed)
        assert all(plain(said) for said in draft.problems.values())
        draft = Draft(path)  # as a new kernel takes it up
        assert {at: value_at(draft.data, at) for at in typed} == typed
    assert {re.sub("[0-9a-f]{8}", "x", each.name) for each in tmp_path.iterdir()} == {
        "house.toml",
        ".house.toml.x.draft",
    }


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_spreadsheets_give_back_each_text(ending: str, tmp_path: Path) -> None:
    texts = READABLE if ending == ".xlsx" else [text for text in READABLE if text[0] not in "=+-@"]
    job = read_job(written(tmp_path, texts)[0])
    for key in LISTS:
        table = export_parts(job, key, tmp_path / f"{key}{ending}")
        assert import_parts(job, key, table).model_dump() == job.model_dump(), key


@pytest.mark.parametrize("text", FORMULAS)
def test_a_formula_stays_text_or_stays_out(job: Job, text: str, tmp_path: Path) -> None:
    named = changed(job, {"stairs[1].name": text})
    book = export_parts(named, "stairs", tmp_path / "stairs.xlsx")
    cells = [cell for row in openpyxl.load_workbook(book).active.iter_rows() for cell in row if cell.value == text]
    assert [cell.data_type for cell in cells] == ["s"]
    assert import_parts(named, "stairs", book).data == named.data
    with pytest.raises(JobError, match="a spreadsheet would take it as a formula") as caught:
        export_parts(named, "stairs", tmp_path / "stairs.csv")
    assert plain(str(caught.value))
    assert not (tmp_path / "stairs.csv").exists()


def tabled(path: Path, *rows: list[str]) -> Path:
    with path.open("w", encoding="utf-8", errors="surrogatepass", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


def test_what_a_table_says_is_told_without_its_tricks(job: Job, tmp_path: Path) -> None:
    texts = (*READABLE, *FORMULAS, *UNREAD)
    tables = [[["name", text], ["a", "x"]] for text in texts] + [[["name", "kind"], [text, text]] for text in texts]
    for rows in tables:
        with pytest.raises(JobError) as caught:
            import_parts(job, "loads", tabled(tmp_path / "loads.csv", *rows))
        assert plain(str(caught.value)), ascii(str(caught.value))
        assert "loads.csv" in str(caught.value)


def test_a_batch_s_summary_holds_text_alone() -> None:
    found = [Done(text, "failed", text, falls_short=(text,)) for text in (*READABLE, *FORMULAS, *UNREAD)]
    for row in list(csv.reader(as_csv(found).decode().splitlines()))[1:]:
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)
    sheet = openpyxl.load_workbook(io.BytesIO(as_xlsx(found))).active
    assert {cell.data_type for row in sheet.iter_rows(min_row=2, max_col=len(HEADINGS)) for cell in row} <= {
        "s",
        "inlineStr",
        "n",
    }
    assert as_pdf(found, "".join(READABLE)).startswith(b"%PDF")


def test_amperes_in_a_batch_s_summary_are_numbers() -> None:
    made = Done("ok", "made", figures={"calculated_a": 100.0, "service_a": 200})
    sheet = openpyxl.load_workbook(io.BytesIO(as_xlsx([made]))).active
    assert sheet.cell(2, HEADINGS.index("Calculated A") + 1).value == 100


def test_a_table_of_lots_is_told_without_its_tricks(tmp_path: Path) -> None:
    path, _ = written(tmp_path)
    options = tmp_path / "options.toml"
    options.write_text("[plain]\n")
    texts = [text for text in (*READABLE, *FORMULAS, *UNREAD) if text and "\0" not in text and len(text) < 1000]
    asked = [[["options"], *([text] for text in texts if not text.startswith("="))]]
    asked += [[[head], ["1"]] for text in UNREAD[:20] for head in (text, f"loads[{text}].load_va")]
    asked += [[["loads[1].kind"], [text]] for text in UNREAD[:10]]
    for rows in asked:
        table = tabled(tmp_path / "lots.csv", *rows)
        said = run("packet", path, "--lots", table, "--options", options, "--out", tmp_path / "out")
        assert said.exit_code == 2, said.output
        assert plain(said.output), ascii(said.output)
        assert "lots.csv" in said.output
    assert not (tmp_path / "out").exists()


def test_a_class_s_answers_are_marked_without_their_tricks(tmp_path: Path) -> None:
    table = tmp_path / "answers.csv"
    texts = [text for text in UNREAD if "\0" not in text and text.isascii()]
    for head in ("general_lighting_va", "what\x1b[2Jever"):
        tabled(table, ["learner", head], *([text, text] for text in texts))
        said = run("practice", "sheet", "dwelling-load", "--answers", table)
        assert said.exit_code in (0, 2), said.output
        assert plain(said.output)


@pytest.mark.parametrize("name", [*FORMULAS, "\x1b[31mred", "two\nlines"])
def test_a_learner_is_no_formula(name: str, tmp_path: Path) -> None:
    said = run("practice", "class", "dwelling-load", f"Ann,{name},Bo", "--out", tmp_path)
    assert said.exit_code == 2
    assert "allowed: " in said.output
    assert plain(said.output)
    assert os.listdir(tmp_path) == []


def test_learners_may_be_called_anything_else(tmp_path: Path) -> None:
    names = [text for text in READABLE if "," not in text and text[0] not in "=+-@"][::9]
    said = run("practice", "class", "dwelling-load", ",".join(names), "--level", 1, "--out", tmp_path)
    assert said.exit_code == 0, said.output
    pages = [name for name in os.listdir(tmp_path) if name.endswith(".html")]
    assert sorted({*os.listdir(tmp_path)} - {*pages}) == ["answers.xlsx", "key.pdf", "papers.pdf", "set.json"]
    book = openpyxl.load_workbook(tmp_path / "answers.xlsx")
    assert [row[0].value for row in book.active.iter_rows(min_row=2)] == names
    assert len(pages) == len(names)
    for row in book.active.iter_rows(min_row=2, min_col=2, max_col=2):
        row[0].value = 3
    book.save(tmp_path / "answers.xlsx")
    marked = run("practice", "mark", tmp_path, tmp_path / "answers.xlsx")
    assert marked.exit_code == 0, marked.output
