"""Whatever lies where a person's file is looked for, reading it ends soon, with one message and exit code 2 or a refusal."""

from __future__ import annotations

import os
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result

from calc.cli import main
from calc.intake import MOST_BYTES, MOST_RECORD_BYTES

HEAD = (
    '[code]\nedition = "2023"\n{code}\n[job]\nname = "Alder"\n[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1500\n'
)
BOX = '[[boxes]]\nname = "one"\nmarked_in3 = 18\n'
LONGEST_S = 10


def run(*args: str | Path) -> Result:
    began = time.process_time()
    done = CliRunner().invoke(main, [str(arg) for arg in args])
    assert time.process_time() - began < LONGEST_S
    return done


def _job(folder: Path, code: str = "", rest: str = "") -> Path:
    path = folder / "job.toml"
    path.write_text(HEAD.format(code=code) + rest)
    return path


WAYS: dict[str, Callable[[Path, Path], Result]] = {
    "job": lambda folder, given: run("check", given.rename(folder / "job.toml")),
    "amendments": lambda folder, given: run("work", _job(folder, 'amendments = ["given"]')),
    "table of amendments": lambda folder, given: run("work", _amending(folder)),
    "options": lambda folder, given: run(
        "packet", _job(folder), "--lots", _table(folder), "--options", given, "--out", folder / "out"
    ),
    "lots": lambda folder, given: run(
        "packet", _job(folder), "--lots", given.rename(folder / "l.csv"), "--out", folder / "out"
    ),
    "spreadsheet": lambda folder, given: run("table", _job(folder), "boxes", given.rename(folder / "b.csv"), "--read"),
    "workbook": lambda folder, given: run("table", _job(folder), "boxes", given.rename(folder / "b.xlsx"), "--read"),
    "answers": lambda folder, given: run("practice", "sheet", "dwelling-load", "--answers", given),
    "packet": lambda folder, given: run("new", "Alder", "--from", given, "--folder", folder / "work"),
}


def _amending(folder: Path) -> Path:
    (folder / "a.toml").write_text("title = 'x'\ninherits = '2023'\n[rules.fastened_demand]\ntable = 'given'\n")
    return _job(folder, 'amendments = ["a.toml"]')


def _table(folder: Path) -> Path:
    (folder / "lots.csv").write_text("job.name\nBirch\n")
    return folder / "lots.csv"


@pytest.mark.parametrize("what", ["pipe", "device", "folder", "large", "binary", "nothing"])
@pytest.mark.parametrize("way", WAYS)
def test_what_is_no_file_of_its_kind_is_refused(way: str, what: str, tmp_path: Path) -> None:
    if (way, what) == ("options", "nothing"):
        pytest.skip("no options are no fault")
    given = tmp_path / "given"
    if what == "pipe":
        os.mkfifo(given)
    elif what == "device":
        given.symlink_to("/dev/zero")
    elif what == "folder":
        given.mkdir()
    elif what == "large":
        with given.open("wb") as file:
            file.truncate(200 * MOST_BYTES)
    elif what == "binary":
        given.write_bytes(bytes(range(256)) * 1000)
    else:
        given.write_bytes(b"")
    done = WAYS[way](tmp_path, given)
    assert done.exit_code == 2, done.output
    assert "Traceback" not in done.output
    assert len(done.output) < 2000


@pytest.mark.parametrize("what", ["pipe", "device", "folder", "large"])
def test_a_record_that_is_no_file_is_not_worked(what: str, tmp_path: Path) -> None:
    given = tmp_path / "given"
    if what == "pipe":
        os.mkfifo(given)
    elif what == "device":
        given.symlink_to("/dev/zero")
    elif what == "folder":
        given.mkdir()
    else:
        with given.open("wb") as file:
            file.truncate(MOST_RECORD_BYTES + 1)
    job = _job(tmp_path, rest='status = "existing"\n[measured_demand]\nmethod = "30-day"\nreadings_file = "given"\n'
               '[service]\nrating_a = 100\nload_method = "measured"\n')  # fmt: skip
    done = run("work", job)
    assert done.exit_code == 1, done.output
    assert "given: " in done.output


def _cells(*places: str) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        book = openpyxl.Workbook()
        book.active["A1"], book.active["A2"] = "name", "two"
        for place in places:
            book.active[place] = "x"
        book.save(path)

    return write


def _merged(path: Path) -> None:
    """All cells of a sheet as one: laying it out would take all memory."""
    _cells()(path)
    whole = b'</sheetData><mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells>'
    parts = {entry: zipfile.ZipFile(path).read(entry) for entry in zipfile.ZipFile(path).namelist()}
    with zipfile.ZipFile(path, "w") as made:
        for name, raw in parts.items():
            made.writestr(name, raw.replace(b"</sheetData>", whole) if "sheet1" in name else raw)


@pytest.mark.parametrize(
    ("name", "write", "said"),
    [
        ("b.xlsx", _cells("A1048576"), "has rows after row 10,000"),
        ("b.xlsx", _cells("XFD1"), "row 1 has columns after column BXX"),
        ("b.xlsx", _cells("XFD1048576"), "has rows after row 10,000"),
        ("b.xlsx", _merged, "is merged (A1:XFD1048576)"),
        ("b.csv", lambda path: path.write_text(",".join(f"c{n}" for n in range(60_000))), "has 60,000 cells"),
        ("b.csv", lambda path: path.write_text("name\n" + "x\n" * 900_000), "has 900,000 rows; allowed: up to 2,000"),
        ("b.csv", lambda path: path.write_text("name\n"), "holds a heading alone, and the job has 1 boxes"),
    ],
)
def test_a_table_out_of_all_measure_is_refused_soon(
    name: str, write: Callable[[Path], None], said: str, tmp_path: Path
) -> None:
    """A heading alone too: it would take the whole list out without a word."""
    job = _job(tmp_path, rest=BOX)
    write(tmp_path / name)
    for how in ("--read", "--add"):
        done = run("table", job, "boxes", tmp_path / name, how)
        assert done.exit_code == 2, done.output
        assert said in done.output
    assert job.read_text().endswith(BOX)


def test_a_disk_that_is_full_leaves_no_part_of_a_class_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = Path.write_bytes

    def full(self: Path, raw: bytes) -> int:
        if self.name == "key.pdf":
            real(self, raw[: len(raw) // 2])
            raise OSError(28, "No space left on device", str(self))
        return real(self, raw)

    monkeypatch.setattr(Path, "write_bytes", full)
    done = run("practice", "class", "dwelling-load", "Ann, Bo", "--level", 1, "--out", tmp_path / "set")
    assert done.exit_code == 2
    assert "No space left on device" in done.output
    assert os.listdir(tmp_path / "set") == []
