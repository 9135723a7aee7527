"""One job, many lots: each cell is a place in the job file, and a bad table changes nothing."""

from __future__ import annotations

from pathlib import Path
from time import process_time

import openpyxl
import pytest

from calc.job import JobError, parse_job
from calc.packet.lots import LotsError, lots

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"
OPTIONS = """
[spa]
"loads[+]" = { name = "Spa", kind = "spa", load_va = 6000, volts = 240 }
[large]
"dwelling.floor_area_ft2" = 4000
"""


def table(tmp_path: Path, *rows: str) -> Path:
    path = tmp_path / "lots.csv"
    path.write_text("\n".join(rows) + "\n")
    return path


def written(job_path: Path, table_path: Path, options: Path | None = None) -> list[bytes]:
    """The job files of the lots of a table."""
    return [lot.write() for lot in lots(job_path, table_path, options)]


def test_a_table_is_looked_at_as_a_whole_before_any_lot_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rows of the largest table are read and checked within 10 s; a job file is written when its packet's turn comes."""
    rows = [f"Lot {n},{n} Sorrel Bend,MC-{n},{2000 + n},{4500 + n % 2 * 1000}" for n in range(1, 501)]
    heads = "job.name,job.address,job.permit_number,dwelling.floor_area_ft2,loads[Water heater].load_va"
    path = table(tmp_path, heads, *rows)
    with monkeypatch.context() as patch:
        patch.setattr("calc.packet.lots.rewritten", lambda *of: pytest.fail("written before it was asked for"))
        began = process_time()
        found = lots(DEMO, path)
        took = process_time() - began
    assert [lot.name for lot in found] == [f"Lot {n}" for n in range(1, 501)]
    assert took * 4999 / 500 < 10
    assert parse_job(found[6].write()).job.address == "7 Sorrel Bend"


def test_lots_that_differ_in_who_and_where_alone_have_the_same_annex(tmp_path: Path) -> None:
    """Its job file is the same from each of them, and has neither address nor permit number."""
    heads = "job.name,job.address,job.permit_number,options,loads[Water heater].load_va"
    rows = [
        heads,
        "Lot 1,1 Elm,MC-1,,",
        "Lot 2,2 Elm,MC-2,,",
        "Lot 3,3 Elm,MC-3,,5500",
        "Lot 4,4 Elm,MC-4,spa,",
        "Lot 5,5 Elm,,spa,",
    ]
    options = tmp_path / "options.toml"
    options.write_text(OPTIONS)
    one, two, three, four, five = lots(DEMO, table(tmp_path, *rows), options)
    assert one.variant == two.variant
    assert four.variant == five.variant
    assert len({one.variant, three.variant, four.variant}) == 3
    assert one.plan() == two.plan()
    plan = parse_job(four.plan())
    assert (plan.job.name, plan.job.address, plan.job.permit_number) == (
        f"fernhollow-lot-12 annex {four.variant}",
        None,
        None,
    )
    assert plan.load("Spa").load_va == 6000


def test_each_row_is_a_job_of_its_own(tmp_path: Path) -> None:
    path = table(
        tmp_path, "job.name,job.address,job.permit_number,dwelling.floor_area_ft2,loads[Water heater].load_va",
        'Lot 1,"1 Sorrel Bend, Marrow Creek",MC-1,2100,5500', "Lot 2,2 Sorrel Bend,MC-2,,",
    )  # fmt: skip
    one, two = map(parse_job, written(DEMO, path))
    assert (one.job.name, one.job.address, one.job.permit_number) == ("Lot 1", "1 Sorrel Bend, Marrow Creek", "MC-1")
    assert (one.dwelling.floor_area_ft2, one.load("Water heater").load_va) == (2100, 5500)
    assert (two.dwelling.floor_area_ft2, two.load("Water heater").load_va) == (3240, 4500)


def test_comments_of_the_plan_stay(tmp_path: Path) -> None:
    (raw,) = written(DEMO, table(tmp_path, "job.name", "Lot 1"))
    assert b"All names and places are invented" in raw


def test_options_are_laid_over_by_name(tmp_path: Path) -> None:
    options = tmp_path / "options.toml"
    options.write_text(OPTIONS)
    path = table(
        tmp_path, "job.name,options,dwelling.floor_area_ft2", 'Lot 1,"spa, large",', "Lot 2,large,4100", "Lot 3,,"
    )
    one, two, three = map(parse_job, written(DEMO, path, options))
    assert (one.load("Spa").load_va, one.dwelling.floor_area_ft2) == (6000, 4000)
    assert two.dwelling.floor_area_ft2 == 4100, "a cell of its own goes before an option"
    assert three.dwelling.floor_area_ft2 == 3240


def test_a_workbook_serves_as_well(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["job.name", "dwelling.floor_area_ft2"])
    book.active.append(["Lot 1", 2100])
    path = tmp_path / "lots.xlsx"
    book.save(path)
    (raw,) = written(DEMO, path)
    assert parse_job(raw).dwelling.floor_area_ft2 == 2100


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (["job.nmae", "Lot 1"], "job.nmae is not a place of a job file"),
        (["job.name,dwelling.floor_area_ft2", "Lot 1,twelve"], "row 2: "),
        (["job.name,dwelling.floor_area_ft2", "Lot 1,5"], "allowed: 50 to 30,000 ft2"),
        (["job.name,loads[Rnage].load_va", "Lot 1,5"], "there is no 'Rnage' in loads"),
        (["job.name,options", "Lot 1,castle"], "option 'castle' is not known"),
        (["job.name", "Lot 1", "Lot 1"], "two lots are named 'Lot 1'"),
        (["job.name", "Lot 1,2,3"], "row 2: has more cells than there are headings"),
        ([""], "has no headings"),
    ],
)
def test_a_bad_table_is_told_by_row_and_column(tmp_path: Path, rows: list[str], said: str) -> None:
    with pytest.raises(LotsError) as caught:
        lots(DEMO, table(tmp_path, *rows))
    assert said in str(caught.value)
    assert "lots.csv" in str(caught.value)


def test_every_bad_row_is_told_at_once(tmp_path: Path) -> None:
    path = table(tmp_path, "job.name,dwelling.floor_area_ft2", "Lot 1,1", "Lot 2,2000", "Lot 3,x")
    with pytest.raises(LotsError) as caught:
        lots(DEMO, path)
    assert [line.partition(":")[0] for line in str(caught.value).splitlines()] == ["lots.csv, row 2", "lots.csv, row 4"]


def test_files_that_are_no_table(tmp_path: Path) -> None:
    (tmp_path / "no.xlsx").write_bytes(b"not a workbook")
    (tmp_path / "latin.csv").write_bytes("job.name\nLöt".encode("latin-1"))
    for name in ("gone.csv", "no.xlsx", "latin.csv"):
        with pytest.raises((LotsError, JobError), match=name):
            lots(DEMO, tmp_path / name)


def test_a_formula_in_a_workbook_is_refused(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["job.name"])
    book.active.append(["=1+1"])
    path = tmp_path / "lots.xlsx"
    book.save(path)
    with pytest.raises(LotsError, match="row 2, column A is a formula"):
        lots(DEMO, path)
