"""The command line: what it prints, its exit codes, and what bad input gets."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from calc.cli import main
from calc.codebook import editions

DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "fernhollow-lot-12.toml"

GOOD = """
[code]
edition = "2023"

[job]
name = "Alder Row 5"

[dwelling]
kind = "one-family"
floor_area_ft2 = 1500

[service]
rating_a = 100

[[loads]]
name = "Range"
kind = "range"
load_va = 12_000
volts = 240
"""


def run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "alder.toml"
    path.write_text(GOOD)
    return path


def test_help_says_how_to_begin() -> None:
    result = run("--help")
    assert result.exit_code == 0
    for words in ("studbay new", "studbay packet JOB", "interprets it"):
        assert words in result.output


def test_help_loads_nothing_heavy() -> None:
    """Help must come at once: no pandas, matplotlib, pydantic, nbformat or typst behind it."""
    code = (
        "import sys; from click.testing import CliRunner; from calc.cli import main\n"
        "CliRunner().invoke(main, ['--help'])\n"
        "print(sorted({'pandas', 'matplotlib', 'pydantic', 'nbformat', 'papermill', 'typst'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_work_prints_the_sheet_and_passes(job: Path) -> None:
    result = run("work", job)
    assert result.exit_code == 0, result.output
    assert "1,500 ft² x 3 VA/ft² = 4,500 VA  [220.41]" in result.output
    assert "100 A provided, 100 A required: passes" in result.output


def test_work_with_reasons_teaches(job: Path) -> None:
    assert "Counting outlets instead" in run("work", job, "--reasons").output


def test_json_is_only_json(job: Path) -> None:
    """D1(a) of Annex D without its dryer: 5,100 + 8,000 = 13,100 VA."""
    done = subprocess.run(
        [sys.executable, "-m", "calc", "work", str(job), "--json"], capture_output=True, text=True, check=True
    )
    (sheet,) = [sheet for sheet in json.loads(done.stdout) if sheet["family"] == "dwelling-load"]
    assert sheet["results"]["standard_va"] == 13_100


def test_falling_short_is_exit_code_1(job: Path) -> None:
    job.write_text(GOOD.replace("floor_area_ft2 = 1500", "floor_area_ft2 = 29000"))
    result = run("work", job)
    assert result.exit_code == 1
    assert "FALLS SHORT" in result.output
    assert "to correct it: a service of" in result.output


def test_a_refusal_is_exit_code_1_and_says_why(job: Path) -> None:
    job.write_text(GOOD.replace("load_va = 12_000", "load_va = 28_000"))
    result = run("work", job)
    assert result.exit_code == 1
    assert "NOT WORKED: rating of Range is over the largest size that the cooking table covers" in result.output


def test_another_edition_on_request(job: Path) -> None:
    result = run("work", job, "--edition", "2026")
    assert "1,500 ft² x 2 VA/ft² = 3,000 VA  [120.41]" in result.output


def test_compare_puts_editions_side_by_side(job: Path) -> None:
    result = run("compare", job, "--editions", "2023,2026")
    assert result.exit_code == 0, result.output
    headings = [line.split() for line in result.output.splitlines() if line.startswith(("Method ", "Result "))]
    assert headings == [["Method", "2023", "2026"], ["Result", "2023", "2026"]]
    assert "unconfirmed" in result.output


def test_schema_is_a_json_schema() -> None:
    schema = json.loads(run("schema").output)
    assert "dwelling" in schema["properties"]


def test_check_says_what_is_covered_and_what_each_calculation_comes_to(job: Path) -> None:
    told = run("check", job)
    assert told.exit_code == 0
    assert "Scope: Load calculation (by what was entered" in told.output
    assert "Dwelling load: passes" in told.output
    assert told.output.endswith("Load calculation: passes.\n")


def test_a_job_without_the_part_says_what_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "bare.toml"
    path.write_text('[code]\nedition = "2023"\n[job]\nname = "bare"\n')
    told = run("check", path)
    assert "Dwelling load: outside the scope; it needs a [dwelling] part" in told.output
    assert (told.exit_code, run("work", path).exit_code, run("fixes", path).exit_code) == (1, 1, 1)
    assert run("work", path, "--family", "dwelling-load").exit_code == 2


BAD = {
    "unknown key": (GOOD.replace("floor_area_ft2", "floor_area_ft"), "floor_area_ft2"),
    "wrong unit": (GOOD.replace("floor_area_ft2", "floor_area_m2"), "floor_area_m2"),
    "negative": (GOOD.replace("12_000", "-5"), "-5"),
    "absurd range": (GOOD.replace("12_000", "90_000_000"), "90000000"),
    "absurd house": (GOOD.replace("= 1500", "= 1"), "50 to 30,000 ft2"),
    "wrong edition": (GOOD.replace('"2023"', '"2019"'), "2023"),
    "wrong kind": (GOOD.replace('"range"', '"rnage"'), "range"),
    "no job": (GOOD.replace('[job]\nname = "Alder Row 5"\n', ""), "job"),
    "duplicate name": (GOOD + GOOD[GOOD.index("[[loads]]") :], "Range"),
    "not TOML": ("edition = ", "bad.toml:1: is not TOML"),
    "text for a number": (GOOD.replace("12_000", '"twelve"'), "twelve"),
    "slash in the name": (GOOD.replace("Alder Row 5", "../../etc"), "../../etc"),
    "newline in the name": (GOOD.replace("Alder Row 5", "Alder\\nRow"), "name"),
    "amendments not there": (GOOD.replace('"2023"', '"2023"\namendments = ["gone.toml"]'), "gone.toml"),
}


@pytest.mark.parametrize("case", BAD)
@pytest.mark.parametrize("command", ["check", "work", "packet"])
def test_bad_input_gets_one_clear_message(case: str, command: str, tmp_path: Path) -> None:
    """Exit code 2, the file named, what was read, no traceback, nothing written."""
    text, said = BAD[case]
    path = tmp_path / "bad.toml"
    path.write_text(text)
    args = [command, path] + (["--out", tmp_path / "reports"] if command == "packet" else [])
    result = run(*args)
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert "Traceback" not in result.output
    assert ".toml" in result.output
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bad.toml"]


def test_files_that_are_no_job(tmp_path: Path) -> None:
    """Missing, a directory, empty, binary, 50 MB."""
    (tmp_path / "empty.toml").write_text("")
    (tmp_path / "binary.toml").write_bytes(bytes(range(256)))
    with (tmp_path / "huge.toml").open("wb") as file:
        file.truncate(50_000_000)
    for name in ("gone.toml", ".", "empty.toml", "binary.toml", "huge.toml"):
        result = run("check", tmp_path / name)
        assert result.exit_code == 2, name
        assert len(result.output.splitlines()) <= 3, result.output
        assert "Traceback" not in result.output


def test_new_lays_out_a_working_folder_and_never_overwrites(tmp_path: Path) -> None:
    result = run("new", "Alder Row 5", "--folder", tmp_path)
    assert result.exit_code == 0, result.output
    made = tmp_path / "notebooks" / "jobs" / "alder-row-5.toml"
    assert 'name = "Alder Row 5"' in made.read_text()
    assert (tmp_path / "notebooks" / "00-start-here.ipynb").exists()
    assert run("check", made).exit_code == 0
    again = run("new", "Alder Row 5", "--folder", tmp_path)
    assert again.exit_code == 2
    assert "exists already" in again.output


@pytest.mark.parametrize("name", ["a/b", "x\ny", "..", "", "n" * 300])
def test_new_refuses_a_name_that_is_no_name(name: str, tmp_path: Path) -> None:
    result = run("new", name, "--folder", tmp_path)
    assert result.exit_code == 2, result.output
    assert list(tmp_path.iterdir()) == []


def test_new_knows_its_starters(tmp_path: Path) -> None:
    result = run("new", "x", "--starter", "castle", "--folder", tmp_path)
    assert result.exit_code == 2
    assert "one-family" in result.output


def test_new_from_something_that_is_no_packet(tmp_path: Path, job: Path) -> None:
    result = run("new", "x", "--from", job, "--folder", tmp_path / "w")
    assert result.exit_code == 2
    assert "not a PDF" in result.output


def test_a_job_out_of_a_packet_keeps_its_name_and_is_told_so(
    tmp_path: Path, job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two jobs of one name would overwrite each other's reports."""
    monkeypatch.setattr("calc.workplace.restore_job", lambda packet: GOOD)
    result = run("new", "Other", "--from", job, "--folder", tmp_path / "w")
    assert result.exit_code == 0
    assert (tmp_path / "w" / "notebooks" / "jobs" / "other.toml").read_text() == GOOD
    assert "is called 'Alder Row 5'" in result.output


def test_a_fault_of_ours_is_one_line_and_exit_code_3(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("so it is\x1b[2J")

    monkeypatch.setattr("calc.families.families", broken)
    result = run("work", job)
    assert result.exit_code == 3
    assert result.output.startswith(
        "A fault of Studbay's own, not of the job: ZeroDivisionError: so it is?[2J (test_cli.py"
    )
    assert result.output.count("\n") == 1


def test_a_folder_that_can_t_be_written_is_named(job: Path, tmp_path: Path) -> None:
    (tmp_path / "reports").write_text("a file")
    result = run("packet", job, "--out", tmp_path / "reports")
    assert result.exit_code == 2
    assert str(tmp_path / "reports") in result.output


def test_unknown_family_and_edition_are_usage_errors(job: Path) -> None:
    assert run("work", job, "--family", "plumbing").exit_code == 2
    assert run("work", job, "--edition", "2019").exit_code == 2
    assert run("compare", job, "--editions", "2019").exit_code == 2


def test_the_demo_job_works_under_every_edition() -> None:
    for edition in editions():
        assert run("work", DEMO, "--edition", edition, "--family", "dwelling-load").exit_code == 0


def test_fixes_lists_what_falls_short_and_says_so_in_its_exit_code(tmp_path: Path) -> None:
    short = tmp_path / "short.toml"
    short.write_text(GOOD + '\n[[boxes]]\nname = "B"\nmarked_in3 = 18\ncables = ["3 x 12/2 with ground"]\n'
                     'devices = [{ kind = "receptacle", wire = 12 }]\n')  # fmt: skip
    told = run("fixes", short)
    assert told.exit_code == 1
    assert "a box marked 20.25 in3 or more instead of 18 in3" in told.output
    as_json = run("fixes", short, "--json")
    assert json.loads(as_json.stdout)["groups"][0]["items"][0]["remedy"].startswith("a box marked")
    good = tmp_path / "good.toml"
    good.write_text(GOOD)
    clean = run("fixes", good)
    assert (clean.exit_code, "Load calculation: passes." in clean.output) == (0, True)


def test_the_walk_packet_is_of_one_job() -> None:
    assert run("packet", "--for", "crew", DEMO, DEMO).exit_code == 2


def test_the_owner_s_page_is_refused_with_the_reason() -> None:
    told = run("packet", "--for", "owner", Path("notebooks/jobs/tinkers-row-4.toml"))
    assert (told.exit_code, "it is for one dwelling" in told.output) == (2, True)


def test_what_a_phone_sent_back_is_taken_in_once_and_a_conflict_is_told(job: Path, tmp_path: Path) -> None:
    job.write_text(GOOD)
    by = {"who": "I. Corrigan", "when": "2026-04-21T14:05", "stage": "rough", "asked": "Boxes are flush."}
    whole = {
        "schema_version": 1,
        "what": "sent back",
        "job": read_name(job),
        "fingerprint": "0" * 64,
        "made": "2026-04-21T15:00",
    }
    for name, entry in (("right", {"kind": "right", **by}), ("wrong", {"kind": "wrong", **by, "who": "R. Vane"})):
        (tmp_path / f"{name}.json").write_text(json.dumps(whole | {"entries": [entry]}))
    first = run("findings", job, tmp_path / "right.json")
    assert (first.exit_code, "1 questions right" in first.output) == (0, True)
    again = run("findings", job, tmp_path / "right.json")
    assert (again.exit_code, "0 questions right" in again.output, "1 known already" in again.output) == (0, True, True)
    other = run("findings", job, tmp_path / "wrong.json")
    assert (other.exit_code, "Conflict: 'Boxes are flush.': not right by R. Vane" in other.output) == (1, True)
    (tmp_path / "bad.json").write_text("{}")
    before = job.read_bytes()
    assert run("findings", job, tmp_path / "right.json", tmp_path / "bad.json").exit_code == 2
    assert job.read_bytes() == before


def read_name(job: Path) -> str:
    from calc.job import read_job

    return read_job(job).job.name


def test_an_entry_is_copied_to_many_and_a_list_that_is_none_is_named(job: Path) -> None:
    from calc.job import read_job

    job.write_text(GOOD + '[[boxes]]\nname = "one"\nmarked_in3 = 18\n')
    assert run("copy", job, "boxes", "one", "two", "three").exit_code == 0
    assert [(box.name, box.marked_in3) for box in read_job(job).boxes] == [("one", 18), ("two", 18), ("three", 18)]
    for args, said in (
        (("copy", job, "boxes", "none", "x"), "no 'none' in boxes; there are: one, two, three"),
        (("copy", job, "boxes", "one", "two"), "a name of its own"),
        (("table", job, "bxes", job.parent / "b.csv"), "'bxes' is no list of a job"),
    ):
        result = run(*args)
        assert result.exit_code == 2
        assert said in result.output


def test_the_tables_of_a_family_are_printed_instead_of_its_sheets(job: Path) -> None:
    """Many boxes at a glance, the tightest first; the outcome is still that of the sheets."""
    boxes = [("roomy", 34, "14/2"), ("tight", 14, "3 x 14/2")]
    job.write_text(
        GOOD + "".join(f'[[boxes]]\nname = "{n}"\nmarked_in3 = {v}\ncables = ["{c}"]\n' for n, v, c in boxes)
    )
    result = run("work", job, "--family", "box-fill", "--tables")
    assert result.output.index("tight") < result.output.index("roomy")
    assert "volume that the box needs" not in result.output
    assert result.exit_code == 0
    (table,) = json.loads(run("work", job, "--family", "box-fill", "--tables", "--json").stdout)
    assert [row[0] for row in table["rows"]] == ["tight", "roomy"]


CAR = '[[loads]]\nname = "Car"\nkind = "ev-supply"\nload_va = 7200\nvolts = 240\n'
SYSTEM = ('[[load_management]]\nname = "M{}"\nkind = "energy-management"\nscope = "service"\ncontrols = ["Car"]\n'
          'setpoint_a = 8{}\nlisted = true\naccess_restricted = true\n')  # fmt: skip
WORKED = {
    "walls that are an empty list": '[[rooms]]\nname = "K"\nuse = "bedroom"\nwalls = []\n[[rooms.openings]]\nkind = "door"\n'
    'at_ft = 1\nwidth_ft = 3\nleads_to = "outdoors"\ngrade_access = true\noutdoor_light = true\n',
    "two systems that hold the whole service": CAR + SYSTEM.format(1, 1) + SYSTEM.format(2, 2),
    "a branch run that feeds a service run": '[[runs]]\nname = "B"\nrole = "branch"\nfed_from = "utility"\nvolts = 120\n'
    'calculated_a = 10\nlength_ft = 20\ncable = "12/2"\n[[runs]]\nname = "S"\nrole = "service"\nfed_from = "B"\nvolts = 240\n'
    'calculated_a = 10\nlength_ft = 20\nmaterial = "copper"\nwiring_method = "PVC-40"\n',
    "a thousand loads": "".join(f'[[loads]]\nname = "L{n}"\nkind = "other"\nfastened = true\nload_va = 100.{n}\nvolts = 120\n'
                                for n in range(1000)),
}  # fmt: skip


@pytest.mark.parametrize("case", WORKED)
def test_an_odd_job_that_reads_is_worked(case: str, job: Path) -> None:
    """What `check` reads, `work` works or says why not."""
    job.write_text(GOOD + WORKED[case])
    result = run("work", job)
    assert result.exit_code in (0, 1), result.output[-500:]


def test_ctrl_c_is_exit_code_130(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """1 would say that something falls short."""

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("calc.families.families", stopped)
    assert run("work", job).exit_code == 130


def test_no_job_has_the_name_of_a_batch_s_summary(job: Path) -> None:
    job.write_text(GOOD.replace("Alder Row 5", "Packets.csv"))
    result = run("check", job)
    assert result.exit_code == 2
    assert "the summary of a batch has this name" in result.output


def test_files_of_a_connection_go_with_an_address_that_takes_them(job: Path) -> None:
    for address in ([], ["--scheduler", "tcp://127.0.0.1:1"]):
        result = run("packet", job, *address, "--tls", job, job, job)
        assert result.exit_code == 2
        assert "tls://" in result.output


def test_a_scope_that_is_not_known_is_told_before_any_notebook_runs(job: Path) -> None:
    job.write_text(job.read_text() + '\n[scope]\ncovers = ["kichen"]\n')
    told = run("packet", job)
    assert told.exit_code == 2
    assert 'covers[1] is "kichen"' in told.output
    assert "running" not in told.output
