"""A job file is read whole or not at all: one clear message for each thing wrong, each with its line."""

import os
import re
import socket
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.job import Job, JobError, new_job, parse_job, read_job, starters
from calc.job.read import make_job

HEAD = '[code]\nedition = "2023"\n[job]\nname = "House"\n'
RANGE = '[[loads]]\nname = "Range"\nkind = "range"\nvolts = 240\n'
RUN = '[[runs]]\nname = "R"\nrole = "branch"\nfed_from = "utility"\ncalculated_a = 10\nvolts = 240\n'
ROOM = '[[rooms]]\nname = "Den"\nuse = "den"\nwalls = [{ name = "north", length_ft = 12 }]\n'
CIRCUITS = '[[panels]]\nname = "P"\nfed_from = "utility"\nspaces = 20\n[[circuits]]\nname = "A"\npanel = "P"\npurpose = "general"\n'

# name of the fault, the file, its line, what the message says
BAD: list[tuple[str, str, int, str]] = [
    ("negative load", HEAD + RANGE + "load_va = -5\n", 9, 'loads[1] "Range": load_va is -5; allowed: 1 to 100,000 VA'),
    ("90,000 kW range", HEAD + RANGE + "load_va = 90_000_000\n", 9, "load_va is 90000000; allowed: 1 to 100,000 VA"),
    ("range in kW", HEAD + RANGE + "load_va = 12\n", 9, "load_va makes 12 VA; allowed: 100 VA or more for a range; perhaps 12 kW, which is written 12000"),
    ("unknown key", HEAD + RANGE + "load_va = 1\nlaod_va = 2\n".replace("= 1\n", "= 8000\n"), 10, "laod_va is not a known key; did you mean load_va?"),
    ("unit in kW", HEAD + RANGE + "load_kw = 12\nload_va = 8000\n", 9, "load_kw is not a known key; did you mean load_va?"),
    ("unknown table", HEAD + '[dweling]\nkind = "one-family"\n', 5, "dweling is not a known table; did you mean dwelling?"),
    ("1 ft2 house", HEAD + '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = 1\n', 7, "dwelling: floor_area_ft2 is 1; allowed: 50 to 30,000 ft2"),
    ("area of nan", HEAD + '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = nan\n', 7, "floor_area_ft2 is nan; allowed: 50 to 30,000 ft2"),
    ("endless area", HEAD + '[dwelling]\nkind = "one-family"\nfloor_area_ft2 = inf\n', 7, "floor_area_ft2 is inf"),
    ("missing load", HEAD + RANGE, 5, 'loads[1] "Range": load_va is missing; allowed: one of load_va, nameplate_a'),
    ("load given twice", HEAD + RANGE + "load_va = 8000\nnameplate_a = 30\n", 10, "nameplate_a stands beside load_va; allowed: only one of load_va, nameplate_a"),
    ("missing code", '[job]\nname = "House"\n', 0, "code is missing; allowed: a table [code]; edition in force"),
    ("missing name", '[code]\nedition = "2023"\n[job]\n', 3, "job: name is missing"),
    ("wrong edition", HEAD.replace("2023", "2022"), 2, 'code: edition is "2022"; allowed: "2017", "2020", "2023", "2026"'),
    ("edition as a number", HEAD.replace('"2023"', "2023"), 2, 'edition is 2023; allowed: "2017", "2020", "2023", "2026"; put it in quotes: edition = "2023"'),
    ("voltage 230 V", HEAD + RANGE.replace("240", '"230 V"') + "load_va = 8000\n", 8, "volts is 230; allowed: 120, 208, 240"),
    ("voltage 230", HEAD + RANGE.replace("240", "230") + "load_va = 8000\n", 8, "volts is 230; allowed: 120, 208, 240"),
    ("amperes for volt-amperes", HEAD + RANGE + 'load_va = "50 A"\n', 9, 'load_va is "50 A"; allowed: 1 to 100,000 VA; write it in VA, W, kVA or kW'),
    ("a comma that may be a point", HEAD + RANGE + 'load_va = "18,5"\n', 9, 'load_va is "18,5"; allowed: 1 to 100,000 VA'),
    ("words for a number", HEAD + RANGE + 'load_va = "a lot"\n', 9, 'load_va is "a lot"; allowed: 1 to 100,000 VA'),
    ("true in quotes", HEAD + RANGE + 'load_va = 8000\ncontinuous = "true"\n', 10, 'continuous is "true"; allowed: true or false; write it without quotes'),
    ("near another name of a kind", HEAD + RANGE.replace('"range"', '"dispossal"') + "load_va = 8000\n", 7, "did you mean disposer?"),
    ("half an appliance", HEAD + RANGE + "load_va = 8000\ncount = 1.5\n", 10, "count is 1.5; allowed: 1 to 500 appliance, a whole number"),
    ("yes for true", HEAD + RANGE + 'load_va = 8000\ncontinuous = "yes"\n', 10, 'continuous is "yes"; allowed: true or false'),
    ("true for a number", HEAD + RANGE + "load_va = true\n", 9, "load_va is true; allowed: 1 to 100,000 VA"),
    ("kind misspelt", HEAD + RANGE.replace('"range"', '"rnge"') + "load_va = 8000\n", 7, "did you mean range?"),
    ("duplicate name", HEAD + (RANGE + "load_va = 8000\n") * 2, 11, 'loads[2] "Range": name is "Range", as in loads[1]; allowed: a name of its own'),
    ("unknown panel", HEAD + '[[panels]]\nname = "Main"\nfed_from = "utility"\n' + RANGE + 'load_va = 8000\npanel = "Mian"\n', 13, 'panel is "Mian", which is not the name of any of panels; allowed: "Main"; did you mean "Main"?'),
    ("unknown fed_from", HEAD + RUN.replace("utility", "pole") + 'cable = "12/2"\n', 8, 'fed_from is "pole", which is not the name of any of panels or runs'),
    ("runs with itself", HEAD + RANGE + 'load_va = 8000\nruns_with = ["Range"]\n', 10, 'runs_with[1] is "Range", which is this one itself'),
    ("panel feeds itself round", HEAD + '[[panels]]\nname = "A"\nfed_from = "B"\n[[panels]]\nname = "B"\nfed_from = "A"\n', 7, 'fed_from makes a loop: A <- B <- A'),
    ("one table for a list", HEAD + RANGE.replace("[[loads]]", "[loads]") + "load_va = 8000\n", 5, "loads is a table; allowed: a list; each: a table of keys; write [[loads]] with double brackets"),
    ("a list for one table", HEAD + '[[dwelling]]\nkind = "one-family"\n', 5, "dwelling is a list; allowed: a table of keys; write [dwelling] with single brackets"),
    ("name with a slash", HEAD.replace("House", "../House"), 4, 'job: name is "../House"; allowed: text without "/"'),
    ("name with a newline", HEAD.replace("House", "a\\nb"), 4, 'job: name is "a\\u000ab"; allowed: text on one line'),
    ("name with an escape", HEAD.replace("House", "a\\u001b[2J"), 4, "job: name is \"a\\u001b[2J\"; allowed: text on one line"),
    ("blank name", HEAD.replace("House", "  "), 4, "job: name is \"  \"; allowed: text on one line"),
    ("very long name", HEAD.replace("House", "x" * 5000), 4, "allowed: 1 to 80 characters on one line"),
    ("very long name of a load", HEAD + RANGE.replace("\"Range\"", "\"" + "x" * 301 + "\"") + "load_va = 8000\n", 6, "allowed: 1 to 300 characters on one line"),
    ("a cable nobody makes", HEAD + RUN + 'cable = "7/2"\n', 11, "NM 7/2 is not made; nearest made"),
    ("no length", HEAD + RUN + 'cable = "12/2"\nlength_ft = "12 meters"\n', 12, "length_ft is \"12 meters\"; allowed: feet such as 12.5"),
    ("length too long", HEAD + RUN + 'cable = "12/2"\nlength_ft = "20000 ft"\n', 12, 'length_ft is "20000 ft"; allowed: 0.5 to 10,000 ft'),
    ("power factor over 1", HEAD + RUN + 'cable = "12/2"\npower_factor = 1.2\n', 12, "power_factor is 1.2; allowed: 0.1 to 1"),
    ("power factor under 0", HEAD + RUN + 'cable = "12/2"\npower_factor = -0.9\n', 12, "power_factor is -0.9; allowed: 0.1 to 1"),
    ("metal outside the tables", HEAD + RUN + 'material = "steel"\n', 11, 'material is "steel"; allowed: "copper", "aluminum"'),
    ("runs that feed each other", HEAD + RUN.replace("utility", "S") + 'cable = "12/2"\n[[runs]]\nname = "S"\nrole = "branch"\nfed_from = "R"\nvolts = 120\ncalculated_a = 5\ncable = "12/2"\n', 8, "fed_from makes a loop: R <- S <- R"),
    ("metal said twice", HEAD + RUN + 'cable = "12/2"\nmaterial = "copper"\n', 12, "material stands beside cable"),
    ("insulation outside the tables", HEAD + RUN + 'material = "copper"\ninsulation = "THHM"\n', 12, 'insulation is "THHM"; allowed: "THHN", "THWN"'),
    ("240 V on a wye", HEAD + '[service]\nsystem = "208Y/120"\n' + RANGE + "load_va = 8000\n", 10, "volts is 240, which a 208Y/120 service does not have; allowed: 120 or 208"),
    ("three phases at 120/240", HEAD + "[service]\nphases = 3\n", 6, 'phases is 3 with system 120/240; allowed: 1, or system "208Y/120"'),
    ("units of a one-family house", HEAD + '[dwelling]\nkind = "one-family"\n[[dwelling.units]]\nname = "A"\nfloor_area_ft2 = 800\n', 7, "units stands in a one-family dwelling; allowed: floor_area_ft2 instead"),
    ("two-family of three", HEAD + '[dwelling]\nkind = "two-family"\nunits = [{ name = "A", count = 3, floor_area_ft2 = 800 }]\n', 7, "units add up to 3 units; allowed: 2"),
    ("area of a multifamily", HEAD + '[dwelling]\nkind = "multifamily"\nfloor_area_ft2 = 8000\n', 7, "floor_area_ft2 stands in a multifamily dwelling"),
    ("phases unsaid", HEAD + '[dwelling]\nkind = "multifamily"\n[service]\nsystem = "208Y/120"\n', 7, "phases is missing; allowed: 1 or 3"),
    ("other unsaid", HEAD + RANGE.replace('"range"', '"other"') + "load_va = 8000\n", 5, 'fastened is missing; a load of kind "other" needs it'),
    ("a key for another kind", HEAD + RANGE + "load_va = 8000\nsetting_a = 20\n", 10, "setting_a means nothing for a range; allowed: with ev-supply only"),
    ("line to line at 120 V", HEAD + RANGE.replace("240", "120") + 'load_va = 800\nconnection = "line-to-line"\n', 10, 'connection is "line-to-line" at 120 V'),
    ("continuous over all", HEAD + RUN + 'cable = "12/2"\ncontinuous_a = 11\n', 12, "continuous_a is 11, above the whole load; allowed: up to 10 A"),
    ("fault without its date", HEAD + '[fault]\navailable_a = 9000\nstated_by = "utility"\n', 5, "stated_on is missing; available_a needs it; allowed: a date such as 2026-03-14"),
    ("measured without a peak", HEAD + '[measured_demand]\nmethod = "1-year"\n', 5, "peak_kw is missing; allowed: one of peak_kw, peak_a, readings_file"),
    ("a record that ends before it begins", HEAD + '[measured_demand]\nmethod = "1-year"\npeak_kw = 5\nfrom_date = 2026-01-01\nto_date = 2025-01-01\n', 9, "to_date is 2025-01-01; allowed: 2026-01-01 or later"),
    ("not a date", HEAD + 'date = "14 March"\n', 5, 'date is "14 March"; allowed: a date such as 2026-03-14'),
    ("two poles in one space", HEAD + CIRCUITS + "poles = 2\npositions = [1]\n", 14, "positions has 1; allowed: 2, one for each pole"),
    ("two spaces, one pole", HEAD + CIRCUITS + "positions = [1, 3]\n", 13, "positions has 2; allowed: 1, one for each pole; two spaces are two poles: say so under poles"),
    ("a space past the panel", HEAD + CIRCUITS + "positions = [21]\n", 13, "positions is 21; allowed: 1 to 20, the spaces of P"),
    ("poles far apart", HEAD + CIRCUITS + "poles = 2\npositions = [1, 5]\n", 14, "positions is [1, 5]; allowed: two neighbouring spaces on one side"),
    ("two circuits in one space", HEAD + CIRCUITS + 'positions = [1]\n[[circuits]]\nname = "B"\npanel = "P"\npurpose = "general"\npositions = [1]\n', 18, 'positions is 1, where "A" is already'),
    ("multiwire halves in one space", HEAD + CIRCUITS + 'positions = [1]\ntandem = "a"\n[[circuits]]\nname = "B"\npanel = "P"\npurpose = "general"\npositions = [1]\ntandem = "b"\nmultiwire_with = "A"\n', 19, "both halves of a multiwire circuit would be on one leg"),
    ("an outlet off its wall", HEAD + ROOM + 'outlets = [{ wall = "north", at_ft = 13 }]\n', 9, "at_ft is 13.00, past the end of the wall; allowed: 0 to 12.00 ft"),
    ("a door off its wall", HEAD + ROOM + 'openings = [{ kind = "door", wall = "north", at_ft = 10, width_ft = 3 }]\n', 9, "at_ft reaches to 13.00 ft; allowed: within 12.00 ft"),
    ("overlapping doors", HEAD + ROOM + 'openings = [{ kind = "door", at_ft = 2, width_ft = 3 }, { kind = "slider", at_ft = 4, width_ft = 6 }]\n', 9, "openings[2]: at_ft lies over the door; allowed: openings apart"),
    ("a wall not in the room", HEAD + ROOM + 'outlets = [{ wall = "nroth", at_ft = 3 }]\n', 9, 'wall is "nroth", which is not the name of any of walls; allowed: "north"; did you mean "north"?'),
    ("a divided box filled twice", HEAD + '[[boxes]]\nname = "B"\npigtails = 2\nbarriers = [{ material = "metal" }]\ncompartments = [{ name = "l" }, { name = "r" }]\n', 5, 'boxes[1] "B" has pigtails beside its sides'),
    ("sides without a divider", HEAD + '[[boxes]]\nname = "B"\ncompartments = [{ name = "l" }, { name = "r" }]\n', 5, "barriers is missing; compartments needs it"),
    ("amendments elsewhere", HEAD.replace("[job]", 'amendments = ["../../etc/x.toml"]\n[job]'), 3, "amendments[1] is \"../../etc/x.toml\"; allowed: text without"),
    ("a string for a list", HEAD + RANGE + 'load_va = 8000\nruns_with = "Dryer"\n', 10, "put it in square brackets"),
    ("an enormous number", HEAD + RANGE + f"load_va = 0x{'F' * 9000}\n", 9, "has a number of 100 digits or more"),
    ("10,000 rows", HEAD + "".join(f'[[stairs]]\nname = "{n}"\nrisers = 5\n' for n in range(10_000)), 5, "stairs has 10,000 entries; allowed: up to 2,000"),
    ("not TOML", HEAD + "[dwelling\n", 5, "is not TOML"),
    ("a key twice", HEAD + 'name = "x"\n', 5, "is not TOML: Cannot overwrite a value"),
    ("a string not closed", HEAD + 'address = "x\n', 5, "is not TOML"),
    ("a dotted key without end", HEAD + "x = { " + "a." * 100_000 + "a = 1 }", 0, "is nested too deeply"),
    ("a cable that moves the cursor", HEAD + RUN + 'cable = "\\u001b[2J 12/2"\n', 11, 'cable is "\\u001b[2J 12/2"; allowed'),
    ("a length without end", HEAD + RUN + 'cable = "12/2"\nlength_ft = "' + "9" * 100_000 + ' m"\n', 12, "allowed: feet such as 12.5"),
    ("a length past all numbers", HEAD + RUN + 'cable = "12/2"\nlength_ft = "' + "9" * 400 + ' ft"\n', 12, "that is too long for a length"),
    ("nested without end", HEAD + "address = " + "[" * 100_000, 0, "is nested too deeply"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "says"), [b[1:] for b in BAD], ids=[b[0] for b in BAD])
def test_each_fault_has_one_clear_message_with_its_line(text: str, line: int, says: str, tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(text)
    with pytest.raises(JobError) as caught:
        read_job(file)
    (problem,) = caught.value.problems
    assert says in str(problem)
    assert (problem.line or 0) == line
    assert str(problem).startswith(f"{file}:{line}: " if line else f"{file}: ")
    assert str(problem).isprintable()
    assert len(str(problem)) < 1200
    assert list(tmp_path.iterdir()) == [file]


RAW: list[tuple[str, bytes, str]] = [
    ("empty", b"", "is empty; begin from a starter: studbay new NAME"),
    ("blank", b" \n\n", "is empty"),
    ("a picture", b"\x89PNG\r\n\x1a\n\x00\x00", "is not text in UTF-8"),
    ("zeros", b"\x00" * 100, "is not text: it holds zero bytes"),
    ("another encoding", '[code]\nedition = "2023"\n[job]\nname = "Café"\n'.encode("latin-1"), "is not text in UTF-8"),
    ("UTF-16", "[code]\n".encode("utf-16"), "is not text in UTF-8"),
    ("50 MB", b"# " + b"x" * 50_000_000, "has 50,000,002 bytes; a job file has up to 2,000,000 bytes"),
]


@pytest.mark.parametrize(("raw", "says"), [r[1:] for r in RAW], ids=[r[0] for r in RAW])
def test_what_is_no_text_is_refused(raw: bytes, says: str, tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_bytes(raw)
    with pytest.raises(JobError) as caught:
        read_job(file)
    assert len(caught.value.problems) == 1
    assert says in str(caught.value)


def test_what_is_no_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def message(path: Any) -> str:
        with pytest.raises(JobError) as caught:
            read_job(path)
        assert len(caught.value.problems) == 1
        return str(caught.value)

    assert message(tmp_path) == f"{tmp_path}: is a folder, not a job file"
    assert message(tmp_path / "none.toml").endswith("none.toml: does not exist")
    assert message("a\0b.toml") == "a?b.toml: can't be read: not a file name"
    assert message("x" * 5000).endswith("can't be read: File name too long")
    os.mkfifo(tmp_path / "pipe")
    assert message(tmp_path / "pipe").endswith("is not an ordinary file")
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(tmp_path / "s"))
        assert message(tmp_path / "s").endswith("is not an ordinary file")
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    assert "can't be read" in message(loop)

    closed = tmp_path / "closed.toml"
    closed.write_text(HEAD)

    def deny(name: str, flags: int) -> int:
        raise PermissionError(13, "Permission denied", name)

    monkeypatch.setattr(os, "open", deny)
    assert "may not be read; ask its owner" in message(closed)


def test_a_file_without_read_permission(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(HEAD)
    file.chmod(0)
    if os.access(file, os.R_OK):
        pytest.skip("this user may read every file")
    with pytest.raises(JobError, match="may not be read"):
        read_job(file)


def test_every_problem_is_reported_at_once() -> None:
    """Thirteen faults in nine tables, of every kind of check, in the order of their lines."""
    text = """\
[code]
edition = "2022"
[job]
name = "a/b"
[dwelling]
kind = "one-famly"
[service]
phases = 3
[[loads]]
name = "Range"
kind = "range"
volts = 240
load_va = -5
colour = "white"
[[loads]]
name = "Range"
kind = "other"
volts = 240
nameplate_a = 5
circuit = "C9"
[[panels]]
name = "P"
fed_from = "Q"
[[panels]]
name = "Q"
fed_from = "P"
[[runs]]
name = "R"
role = "branch"
fed_from = "P"
volts = 240
cable = "12/2"
"""
    with pytest.raises(JobError) as caught:
        parse_job(text.encode(), "house.toml")
    lines = str(caught.value).split("\n")
    assert [int(re.match(r"house\.toml:(\d+): ", line)[1]) for line in lines] == [  # type: ignore[index]
        *(2, 4, 6, 8, 13, 14, 15, 16, 20, 23, 27)
    ]
    assert [p.at for p in caught.value.problems] == [
        *("code.edition", "job.name", "dwelling.kind", "service.phases", "loads[1].load_va", "loads[1].colour"),
        *("loads[2].fastened", "loads[2].name", "loads[2].circuit", "panels[1].fed_from", "runs[1].feeds"),
    ]


def test_many_problems_are_shown_by_the_hundred() -> None:
    with pytest.raises(JobError) as caught:
        parse_job((HEAD + "".join(f"x{n} = 1\n" for n in range(250))).encode())
    assert len(caught.value.problems) == 250
    assert str(caught.value).endswith("\nand 150 more")


def test_markup_is_only_text() -> None:
    name = "<b>*House*<b> #let $x [y] & {{z}}"
    assert parse_job(HEAD.replace("House", name).encode()).job.name == name


def test_a_byte_order_mark_and_windows_lines_are_read() -> None:
    raw = b"\xef\xbb\xbf" + (HEAD + RANGE + "load_va = -1\n").replace("\n", "\r\n").encode()
    with pytest.raises(JobError) as caught:
        parse_job(raw)
    assert [p.line for p in caught.value.problems] == [9]


def what_is_said(read: Callable[[Any], Job], given: Any) -> str:
    """The message that a reader gives; '' when it reads a job. Any other error goes through."""
    try:
        read(given)
    except JobError as error:
        return str(error)
    return ""


@given(st.binary(max_size=200))
@settings(max_examples=300)
def test_any_bytes_are_a_job_or_a_printable_message(raw: bytes) -> None:
    said = what_is_said(parse_job, raw)
    assert all(line.isprintable() and line.startswith("job:") for line in said.splitlines())


KEYS = st.sampled_from(
    [*Job.model_fields, "name", "kind", "edition", "volts", "load_va", "walls", "at_ft", "positions", "feeds", "x"]
)
LEAVES = st.one_of(
    st.integers(),
    st.floats(),
    st.booleans(),
    st.text(max_size=8),
    st.dates(),
    st.sampled_from(["2023", "range", "12/2"]),
)


def _inside(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=5)


@given(st.dictionaries(KEYS, st.recursive(LEAVES, _inside, max_leaves=20), max_size=6))
@settings(max_examples=300)
def test_any_data_is_a_job_or_a_printable_message(data: dict[str, Any]) -> None:
    assert all(line.isprintable() for line in what_is_said(make_job, data).split("\n"))


@pytest.mark.parametrize("starter", sorted(starters()))
def test_starters_are_jobs(starter: str) -> None:
    job = parse_job(new_job("A house", starter).encode())
    assert isinstance(job, Job)
    assert job.job.name == "A house"
    assert job.loads or job.circuits
