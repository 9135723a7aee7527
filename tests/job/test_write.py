"""Saving changes only what changed, and leaves the old file whole when anything goes wrong."""

import os
import shutil
import stat
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.job import Job, JobError, SaveConflict, changed, create_job, new_job, parse_job, read_job, save_job
from tests.drawn import drawn

HOUSES = sorted((Path(__file__).parent / "houses").glob("*.toml"))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "house.toml"
    path.write_text(new_job("A house"))
    return path


def changed_lines(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines only in the old text, and lines only in the new one."""
    was, now = old.split("\n"), new.split("\n")
    return [x for x in was if was.count(x) > now.count(x)], [x for x in now if now.count(x) > was.count(x)]


def test_only_what_changed_is_written(file: Path) -> None:
    before = file.read_text()
    job = save_job(changed(read_job(file), {"loads[1].load_va": 16000, "dwelling.floor_area_ft2": 2480}))
    gone, come = changed_lines(before, file.read_text())
    assert gone == [
        "floor_area_ft2 = 2000       # change: outside dimensions, every floor; no open porches, no garage",
        "load_va = 12000             # change: nameplate",
    ]
    assert come == [
        "floor_area_ft2 = 2480       # change: outside dimensions, every floor; no open porches, no garage",
        "load_va = 16000             # change: nameplate",
    ]
    assert job.load("Range").load_va == 16000
    assert job.fingerprint == read_job(file).fingerprint


def test_saving_without_a_change_keeps_every_byte(file: Path) -> None:
    before = file.read_bytes()
    save_job(read_job(file))
    assert file.read_bytes() == before
    assert not file.with_name("house.toml.previous").exists()


def test_a_key_is_added_to_its_table_and_not_to_the_comment_of_the_next(file: Path) -> None:
    save_job(changed(read_job(file), {"service.rating_a": 200}))
    lines = file.read_text().split("\n")
    at = lines.index("rating_a = 200")
    assert lines[at - 1].startswith("# rating_a")
    assert lines[at + 1 : at + 3] == ["", lines[at + 2]]
    assert lines[at + 2].startswith("# One table for each appliance")


def test_entries_are_added_taken_away_and_moved_with_their_comments(file: Path) -> None:
    job = read_job(file)
    ev = {"name": "Charger", "kind": "ev-supply", "load_va": 7200, "volts": 240}
    job = save_job(changed(job, {"loads[2]": None, "loads[+]": ev, "loads[5].notes": "with its comment"}))
    text = file.read_text()
    assert [load.name for load in job.loads] == [
        *("Range", "Water heater", "Dishwasher", "Air conditioner", "Furnace blower", "Charger")
    ]
    assert '\n\n[[loads]]\nname = "Charger"' in text
    assert "motor_a = 18                # change: its largest motor" in text
    turned = list(reversed(job.data["loads"]))
    job = save_job(changed(job, {"loads": turned}))
    assert [load.name for load in job.loads][:2] == ["Charger", "Furnace blower"]
    assert "motor_a = 18                # change: its largest motor" in file.read_text()
    assert file.read_text().count("#") == text.count("#")


def test_notation_is_kept_where_the_value_is(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    shutil.copy(HOUSES[1], file)
    assert "fernhollow" in HOUSES[1].name
    save_job(changed(read_job(file), {"runs[1].length_ft": "36 ft 6 in", "job.owner": "N. N."}))
    text = file.read_text()
    assert 'at_ft = "4\' 6\\""' in text
    assert 'length_ft = "36 ft 6 in"' in text
    assert 'spacing_ft = "6 ft"' in text
    assert read_job(file).run("R1 service").length_ft == 36.5


def test_a_file_that_changed_on_disk_is_not_overwritten(file: Path) -> None:
    job = changed(read_job(file), {"loads[1].load_va": 16000})
    file.write_text(file.read_text() + "# another hand\n")
    before = file.read_bytes()
    with pytest.raises(SaveConflict, match="was changed since it was read; nothing was written"):
        save_job(job)
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]


def test_a_conflict_can_be_told_to_a_fingerprint_seen_later(file: Path) -> None:
    job = changed(read_job(file), {"loads[1].load_va": 16000})
    file.write_text(file.read_text() + "# another hand\n")
    saved = save_job(job, seen=read_job(file).fingerprint)
    assert saved.load("Range").load_va == 16000
    assert file.read_text().endswith("# another hand\n")


def test_the_version_before_is_kept_beside_it(file: Path) -> None:
    before = file.read_bytes()
    save_job(changed(read_job(file), {"loads[1].load_va": 16000}))
    assert file.with_name("house.toml.previous").read_bytes() == before
    assert sorted(p.name for p in file.parent.iterdir()) == ["house.toml", "house.toml.previous"]


@pytest.mark.parametrize("step", ["write", "fsync", "replace", "fchmod"])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_failure_at_any_step_leaves_the_old_file(
    file: Path, step: str, error: BaseException, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = file.read_bytes()
    job = changed(read_job(file), {"loads[1].load_va": 16000})

    def fail(*args: Any, **kwargs: Any) -> Any:
        raise error

    if step == "write":
        plain = os.fdopen
        monkeypatch.setattr(os, "fdopen", lambda h, m: _Failing(plain(h, m), error))
    else:
        monkeypatch.setattr(os, step, fail)
    with pytest.raises(JobError if isinstance(error, OSError) else KeyboardInterrupt) as caught:
        save_job(job)
    monkeypatch.undo()
    assert file.read_bytes() == before
    assert [p.name for p in file.parent.iterdir() if not p.name.endswith(".previous")] == ["house.toml"]
    if isinstance(error, OSError):
        assert "can't be written: No space left on device; nothing was changed" in str(caught.value)


class _Failing:
    """A file that can't be written to."""

    def __init__(self, file: Any, error: BaseException) -> None:
        self.file, self.error = file, error

    def __enter__(self) -> "_Failing":
        return self

    def __exit__(self, *args: object) -> None:
        self.file.close()

    def fileno(self) -> int:
        return int(self.file.fileno())

    def write(self, raw: bytes) -> None:
        self.file.write(raw[: len(raw) // 2])
        raise self.error


def test_failing_between_the_two_files_leaves_both_readable(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = file.read_bytes()
    job = changed(read_job(file), {"loads[1].load_va": 16000})
    plain, calls = os.replace, []

    def second(a: Any, b: Any) -> None:
        calls.append(b)
        if len(calls) == 2:
            raise OSError(5, "Input/output error")
        plain(a, b)

    monkeypatch.setattr(os, "replace", second)
    with pytest.raises(JobError, match="Input/output error"):
        save_job(job)
    assert file.read_bytes() == before
    assert file.with_name("house.toml.previous").read_bytes() == before
    assert len(list(file.parent.iterdir())) == 2


def test_the_mode_of_the_file_is_kept(file: Path) -> None:
    file.chmod(0o640)
    save_job(changed(read_job(file), {"loads[1].load_va": 16000}))
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert stat.S_IMODE(file.with_name("house.toml.previous").stat().st_mode) == 0o640


def test_a_file_that_may_not_be_written(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = changed(read_job(file), {"loads[1].load_va": 16000})
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    before = file.read_bytes()
    with pytest.raises(JobError, match="may not be written; nothing was changed"):
        save_job(job)
    assert file.read_bytes() == before


def test_a_link_stays_a_link(file: Path) -> None:
    link = file.with_name("link.toml")
    link.symlink_to(file)
    save_job(changed(read_job(link), {"loads[1].load_va": 16000}))
    assert link.is_symlink()
    assert read_job(file).load("Range").load_va == 16000


def test_windows_lines_and_byte_order_mark_stay(file: Path) -> None:
    raw = b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n")
    file.write_bytes(raw)
    save_job(changed(read_job(file), {"loads[1].load_va": 16000}))
    assert file.read_bytes() == raw.replace(b"load_va = 12000", b"load_va = 16000")


def test_a_new_file_never_takes_the_place_of_another(file: Path) -> None:
    before = file.read_bytes()
    with pytest.raises(JobError, match="exists already; nothing was written"):
        create_job(file, new_job("Another"))
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]
    with pytest.raises(JobError, match="is not TOML"):
        create_job(file.with_name("bad.toml"), "x = ")
    assert list(file.parent.iterdir()) == [file]
    made = create_job(file.parent / "jobs" / "new.toml", new_job('A "quoted" <b> name = 1\\'.replace("\\", "")))
    assert made.job.name == 'A "quoted" <b> name = 1'
    assert os.listdir(file.parent / "jobs") == ["new.toml"]


def test_a_job_that_no_file_holds_has_to_be_told_where() -> None:
    with pytest.raises(JobError, match="say where to save it"):
        save_job(parse_job(new_job("A house").encode()))


@pytest.mark.parametrize("name", ["a/b", "x\ny", "", ".hidden", "a" * 200])
def test_a_starter_takes_no_bad_name(name: str) -> None:
    with pytest.raises(JobError):
        new_job(name)
    with pytest.raises(JobError, match="is not a starter; allowed: bathroom, "):
        new_job("A house", "palace")


# -- any job survives any edit ---------------------------------------------------------------------------------

LOADS = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(["range", "dryer", "fan", "space-heat"]),
        "load_va": st.integers(100, 90_000),
        "volts": st.just(240),
    },
    optional={
        "notes": st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=12),
        "count": st.integers(1, 9),
    },
)
NAMES = st.lists(st.sampled_from(["A", "B", "C d", "é <b>", 'q"t', "#5", "[x]", "'"]), unique=True, max_size=5)
RUNS = st.fixed_dictionaries(
    {"length_ft": st.sampled_from([12, 12.5, "12 ft 6 in", "7' 3-1/2\""]), "cable": st.sampled_from(["12/2", "4/3 NM"])}
)


@st.composite
def edits(draw: st.DrawFn) -> dict[str, Any]:
    names = draw(NAMES)
    loads = [{"name": n, **draw(LOADS)} for n in names]
    base = {"role": "branch", "fed_from": "utility", "calculated_a": 5, "volts": 120}
    runs = [{"name": n, **base, **draw(RUNS)} for n in draw(NAMES)]
    outlets = [{"at_ft": x} for x in draw(st.lists(st.integers(0, 9), max_size=4))]
    rooms = [{"name": n, "use": "den", "outlets": outlets} for n in draw(NAMES)]
    found: dict[str, Any] = {"loads": loads, "runs": runs, "rooms": rooms}
    found["job.notes"] = draw(st.none() | st.text(st.characters(exclude_categories=("C",)), max_size=30))
    found["dwelling.floor_area_ft2"] = draw(st.integers(50, 30_000) | st.floats(50, 30_000))
    found["grounding"] = draw(st.none() | st.just({"water_piping": "metal", "electrodes": [{"kind": "rod"}]}))
    return found


ORDERS = [
    new_job("A house"),
    new_job("A house", "existing"),
    *(h.read_text() for h in HOUSES),
    # tables between the entries of a list, dotted keys, inline lists of tables
    """\
# top
[[loads]] # first
name = "A" # a
kind = "fan"
volts = 240
load_va = 500
[code]
edition = "2023"
[[loads]] # second
name = "B"
kind = "fan"
volts = 240
load_va = 600
[job] # the job
name = "J"
[dwelling]
kind = "one-family"
[code.readings]
moulded_clamps = "counted"
""",
    """\
code.edition = "2023" # dotted
job = { name = "J", address = "x" } # inline
dwelling.kind = "one-family"
loads = [ # list
  { name = "A", kind = "fan", volts = 240, load_va = 500 }, # a
  { name = "B", kind = "fan", volts = 240, load_va = 600 },
]
""",
]


def meaning(job: Job) -> dict[str, Any]:
    """What a job says, whatever way it is written."""
    return job.model_dump()


@given(text=st.sampled_from(ORDERS), first=edits(), second=edits())
@settings(
    max_examples=drawn(150),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    deadline=None,
)
def test_what_is_saved_reads_back_as_it_was_meant(
    text: str, first: dict[str, Any], second: dict[str, Any], tmp_path: Path
) -> None:
    data = tomllib.loads(text)
    keep = {"code", "job", "dwelling"}
    multi = data["dwelling"]["kind"] == "multifamily"
    file = tmp_path / "house.toml"
    file.write_text(text)
    job = read_job(file)
    comments = {line for line in text.split("\n") if line.startswith("#")}
    for edit in (first, second):
        gone = dict.fromkeys(k for k in job.data if k not in keep)
        if multi:
            edit = {k: v for k, v in edit.items() if k != "dwelling.floor_area_ft2"}
        wanted = changed(job, {**gone, **edit})
        job = save_job(wanted)
        assert meaning(job) == meaning(wanted)
        assert meaning(read_job(file)) == meaning(wanted)
    lead = {c for c in comments if text.startswith(c)}
    assert lead <= set(file.read_text().split("\n"))
