"""A utility's file of readings is taken as it is delivered: other headers, other orders, gaps; nothing is guessed."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from calc.cli import main
from calc.families import families
from calc.families.dwelling_load.meter_file import meter_file
from calc.job import new_job, read_job, save_job
from calc.job.edit import changed
from calc.verdict.standing import standing
from calc.wiring.house import House
from calc.work import Missing

START = datetime(2025, 3, 1)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "jobs" / "house.toml"
    file.parent.mkdir()
    file.write_text(new_job("A house", "existing"))
    save_job(changed(read_job(file), {"service.load_method": "measured"}))
    return file


def run(*args: object, typed: str = "") -> Result:
    return CliRunner().invoke(main, [str(each) for each in args], input=typed)


def hours(form: str, days: int = 365, step: int = 60, value: str = "2", start: datetime = START) -> list[str]:
    count = days * 24 * 60 // step
    times = (start + timedelta(minutes=step * n) for n in range(count))
    return [f"{at.strftime(form)},{'7.5' if n == count // 2 else value}" for n, at in enumerate(times)]


def written(path: Path, header: str, rows: list[str]) -> Path:
    path.write_text("\n".join([header, *rows]) + "\n")
    return path


@pytest.mark.parametrize("step", [15, 30, 60])
def test_unknown_headers_are_mapped_and_the_job_says_how(job: Path, tmp_path: Path, step: int) -> None:
    file = written(tmp_path / "as delivered.csv", "Meter Read At,Consumption", hours("%m/%d/%Y %I:%M %p", step=step))
    refused = run("readings", job, file)
    assert refused.exit_code == 2
    assert "the header is meter read at, consumption" in refused.output
    assert "It begins:\n  Meter Read At, Consumption" in refused.output
    done = run("readings", job, file, "--column", "time=Meter Read At", "--column", "kwh=Consumption")
    assert done.exit_code == 0, done.output
    assert f"{365 * 24 * 60 // step:,} readings of {step} minutes" in done.output
    assert "none missing" in done.output
    assert f"Highest demand {7.5 * 60 / step:g} kW" in done.output
    assert ("as-recorded" in done.output) == (step > 15)
    said = read_job(job).measured_demand
    assert said is not None
    assert (said.method, said.readings_file) == ("1-year", "as delivered.csv")
    assert said.readings_columns == ("time = Meter Read At", "kwh = Consumption")
    assert (job.parent / "as delivered.csv").read_bytes() == file.read_bytes()


def test_the_record_then_works_and_lacks_only_what_a_person_knows(job: Path, tmp_path: Path) -> None:
    file = written(tmp_path / "year.csv", "When,Used", hours("%Y-%m-%d %H:%M", step=15, value="0.3"))
    run("readings", job, file, "--column", "time=When", "--column", "kwh=Used")
    found = standing(House.of(read_job(job)))
    assert [each.status for each in found.open] == ["not shown"]
    assert "occupied" in found.open[0].what
    answers = {"occupied": True, "overload_protected": True, "generation_or_shaving": False, "seasonal_added_va": 0}
    whole = changed(read_job(job), {f"measured_demand.{key}": value for key, value in answers.items()})
    house = House.of(whole)
    sheets = families()["dwelling-load"].work(house)
    assert sheets[0].results["measured_peak_va"] == 30_000
    titles = {chart.title: chart for chart in families()["dwelling-load"].charts(house, sheets)}
    assert len(titles["Highest demand by month"].data.bars) == 12  # type: ignore[union-attr]
    top = titles["The days with the highest demand"].data.bars  # type: ignore[union-attr]
    assert len(top) == 10
    assert top[0] == ("2025-08-30", 30.0)


def test_asking_maps_the_columns_too(job: Path, tmp_path: Path) -> None:
    file = written(
        tmp_path / "year.csv", "Tag,Von,Used", [r.replace(" ", ",", 1) for r in hours("%Y-%m-%d %H:%M", days=40)]
    )
    done = run("readings", job, file, "--ask", typed="Tag\nVon\nUsed\n")
    assert done.exit_code == 0, done.output
    said = read_job(job).measured_demand
    assert said is not None
    assert (said.method, said.readings_columns) == ("30-day", ("date = Tag", "time = Von", "kwh = Used"))


def test_dates_that_can_be_read_two_ways_are_refused_with_both_until_the_file_or_the_job_decides(
    tmp_path: Path,
) -> None:
    rows = [f"03/04/2025 {hour:02}:00,1" for hour in range(24)]
    file = written(tmp_path / "day.csv", "time,kwh", rows)
    with pytest.raises(Missing, match=r"03/04/2025.*month-first.*day 4 of month 3.*day-first.*day 3 of month 4"):
        meter_file(file)
    assert meter_file(file, order="month-first").written[0] == datetime(2025, 3, 4)
    assert meter_file(file, order="day-first").written[0] == datetime(2025, 4, 3)
    for form, month in (("%m/%d/%Y %H:%M", 3), ("%d/%m/%Y %H:%M", 3)):
        decided = meter_file(written(tmp_path / "month.csv", "time,kwh", hours(form, days=20)))
        assert decided.written[0] == datetime(2025, month, 1)
    running = meter_file(written(tmp_path / "days.csv", "time,kwh", hours("%d/%m/%Y %H:%M", days=3)))
    assert running.written[-1] == datetime(2025, 3, 3, 23), "days that run on tell"


def test_the_newest_reading_may_come_first(tmp_path: Path) -> None:
    for form in ("%Y-%m-%d %H:%M", "%m/%d/%Y %I:%M %p", "%m/%d/%y %H:%M"):
        rows = hours(form, days=40)
        forward = meter_file(written(tmp_path / "f.csv", "time,kwh", rows))
        backward = meter_file(written(tmp_path / "b.csv", "time,kwh", rows[::-1]))
        assert backward == forward


def test_missing_intervals_are_counted_and_the_clock_s_own_are_not(job: Path, tmp_path: Path) -> None:
    spring = [row for row in hours("%m/%d/%Y %I:%M %p", days=300) if not row.startswith("03/09/2025 02:")]
    autumn = next(n for n, row in enumerate(spring) if row.startswith("11/02/2025 02:"))
    twice = [*spring[:autumn], spring[autumn - 1], *spring[autumn:]]
    file = written(tmp_path / "clock.csv", "time,kwh", twice)
    assert "none missing" in run("readings", job, file).output
    gap = written(tmp_path / "gap.csv", "time,kwh", twice[:500] + twice[507:])
    assert "; 7 missing" in run("readings", job, gap).output


def test_a_file_of_that_name_that_holds_something_else_is_kept(job: Path, tmp_path: Path) -> None:
    (job.parent / "year.csv").write_text("mine")
    file = written(tmp_path / "year.csv", "time,kwh", hours("%Y-%m-%d %H:%M", days=31))
    refused = run("readings", job, file)
    assert refused.exit_code == 2
    assert "holds something else" in refused.output
    assert (job.parent / "year.csv").read_text() == "mine"
    assert read_job(job).measured_demand is None


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (["time=When"], "time or date or both, and kw, kwh"),
        (["volts=Used", "time=When"], "columns are told as volts, time"),
        (["time=When", "kwh=Nowhere"], "none of its rows names when, nowhere"),
        (["Used"], "such as --column kwh=Use"),
        (["time=\x1b[31mred", "kwh=Used"], "none of its rows names"),
    ],
)
def test_columns_that_can_t_be_found_are_named(job: Path, tmp_path: Path, told: list[str], says: str) -> None:
    file = written(tmp_path / "year.csv", "When,Used", hours("%Y-%m-%d %H:%M", days=31))
    said = run("readings", job, file, *(part for each in told for part in ("--column", each)))
    assert said.exit_code == 2
    assert says in said.output
    assert "\x1b" not in said.output
    assert read_job(job).measured_demand is None


def a_day_a_row(
    count: int, called: list[str], title: str = "Usage (kWh)", days: int = 365, form: str = "%m/%d/%Y"
) -> str:
    """A file with a day in each row; the highest reading, 7.5, is the fourth of the hundredth day."""
    rows = [f"{title}", ",".join(["Account", "Date", *called])]
    for day in range(days):
        at = START + timedelta(days=day)
        cells = ["7.5" if (day, n) == (100, 3) else "0.5" for n in range(count)]
        if at.date() == datetime(2025, 3, 9).date():  # clocks go on: the hour from 2:00 is not there
            cells[2 * count // 24 : 3 * count // 24] = [""] * (count // 24)
        rows.append(",".join(["12", at.strftime(form), *cells]))
    return "\n".join(rows) + "\n"


def clocks(count: int, form: str, first: int) -> list[str]:
    return [(START + timedelta(minutes=1440 // count * (n + first))).strftime(form) for n in range(count)]


@pytest.mark.parametrize(
    ("count", "called"),
    [
        (24, clocks(24, "%H:%M", 0)), (24, clocks(24, "%I:%M %p", 1)), (24, [f"HE{n:02}" for n in range(1, 25)]), (96, clocks(96, "%H:%M", 1)),
        (96, clocks(96, "%H:%M", 0)), (96, clocks(96, "%H%M", 0)), (48, [f"{a}-{b}" for a, b in zip(clocks(48, "%H:%M", 0), clocks(48, "%H:%M", 1), strict=True)]),
        (24, [f"Hour {n}" for n in range(24)]),
    ],
)  # fmt: skip
def test_a_day_in_each_row_is_read_as_readings_one_below_the_other(
    tmp_path: Path, count: int, called: list[str]
) -> None:
    """24, 48 or 96 columns, called by the beginning or the end of an interval: the fourth begins three after midnight."""
    file = tmp_path / "days.csv"
    file.write_text(a_day_a_row(count, called))
    found = meter_file(file)
    assert found.unit == "kwh"
    assert len(found.times) == 365 * count - count // 24
    assert (found.times[-1] - found.times[0]) / found.interval == len(
        found.times
    ) - 1  # none missing: that hour never was
    top = max(range(len(found.values)), key=found.values.__getitem__)
    assert found.written[top] == START + timedelta(days=100, minutes=3 * 1440 // count)


def test_days_the_newest_first_and_of_a_unit_that_only_a_person_knows(job: Path, tmp_path: Path) -> None:
    head, header, *rows = a_day_a_row(24, clocks(24, "%H:%M", 0), "Report").splitlines()
    file = tmp_path / "days.csv"
    file.write_text("\n".join([head, header, *reversed(rows)]) + "\n")
    asked = run("readings", job, file)
    assert asked.exit_code == 2
    assert (
        'nothing says whether in kW or in kWh; allowed: readings_columns = ["date = Date", "kwh = 00:00"], or kw'
        in asked.output
    )
    done = run("readings", job, file, "--column", "date=Date", "--column", "kwh=00:00")
    assert done.exit_code == 0, done.output
    assert "8,759 readings of 60 minutes" in done.output
    assert "none missing" in done.output
