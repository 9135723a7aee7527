"""The codebook as data: whole, in order, honest about what is not confirmed."""

from __future__ import annotations

import itertools
import re
from datetime import date
from pathlib import Path

import pytest

from calc.codebook import Codebook, CodebookError, editions, open_codebook, tables
from calc.codebook.amending import shown
from calc.codebook.files import EDITIONS, edition
from calc.codebook.sources import split
from calc.work import Refused, given

TABLES = sorted(tables.FOLDER.glob("*.csv"))
RULES = [(name, rule) for name in editions() for rule in edition(name).rules]


def test_the_four_editions_ship() -> None:
    assert editions() == ["2017", "2020", "2023", "2026"]


@pytest.mark.parametrize(("name", "rule"), RULES)
def test_each_rule_is_whole_in_each_edition(name: str, rule: str) -> None:
    """A rule that is not declared absent has words, a confidence, a source and something to give."""
    data = edition(name).rules[rule]
    if data.absent:
        assert data.absent.endswith(".")
        return
    assert data.words.endswith("."), "no statement in our own words"
    assert data.confidence in {"A", "B", "C", "D", "U"}
    assert data.source
    assert data.section or "practice" in split(data.source)[0]
    if data.confidence == "U":
        assert data.stands_in or data.unconfirmed, "an unconfirmed rule says what stands in for it, or is refused"
    if data.table != Path():
        tables.load(data.table)


@pytest.mark.parametrize("name", editions())
def test_every_edition_has_the_same_rules(name: str) -> None:
    """A rule that an edition lacks is declared absent, so that no family meets an unknown name."""
    assert set(edition(name).rules) == set(edition("2026").rules)


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_bands_leave_no_gap_and_never_overlap(path: Path) -> None:
    table = tables.load(path)
    for column in table.columns:
        if not column.endswith("_from"):
            continue
        end = column.removesuffix("_from") + "_to"
        bounds = [(float(row[column]), float(row[end] or "inf")) for row in table.rows]
        assert all(low <= high for low, high in bounds)
        gaps = [(a, b) for (_, a), (b, _) in itertools.pairwise(bounds) if b != a + 1]
        left_out = re.search(r"rows (\d+) to (\d+) are not confirmed and are left out", table.notes["confidence"])
        allowed = [(int(left_out[1]) - 1, int(left_out[2]) + 1)] if left_out else []
        assert gaps == allowed


@pytest.mark.parametrize(
    ("table", "column", "falls"),
    [
        ("dryer_demand_2017", "demand_pct", True),
        ("dryer_demand_2026", "demand_pct", True),
        ("fastened_demand", "demand_pct", True),
        ("cooking_demand", "column_a_pct", True),
        ("cooking_demand", "column_b_pct", True),
        ("standard_ratings_2017", "rating_a", False),
        ("standard_ratings_2023", "rating_a", False),
        ("services_sold", "service_a", False),
    ],
)
def test_columns_run_one_way(table: str, column: str, falls: bool) -> None:
    cells = [float(row[column]) for row in tables.load(tables.FOLDER / f"{table}.csv").rows]
    assert cells == sorted(cells, reverse=falls)


def test_column_c_rises_with_the_count_and_meets_at_each_band() -> None:
    """Column C never falls when an appliance is added, across the printed rows and both formulas."""
    code = open_codebook("2023")

    def column_c(count: int) -> float:
        row = code.row("cooking_demand", appliances=given("count", count, "", ""))
        return float(row.cells["column_c_kw"]) + float(row.cells["column_c_each_kw"]) * count

    demands = [column_c(count) for count in range(1, 90)]
    assert all(b > a for a, b in itertools.pairwise(demands))


def test_dryer_rows_follow_their_printed_formulas() -> None:
    """12 to 23 dryers: 47 - (n - 11); 24 to 42: 35 - 0.5 (n - 23). Formulas as restated at urban-wind.org (S47)."""
    code = open_codebook("2023")
    for count in range(12, 43):
        row = code.row("dryer_demand", dryers=given("count", count, "", ""))
        assert float(row.cells["demand_pct"]) == (47 - (count - 11) if count < 24 else 35 - 0.5 * (count - 23))


def test_an_unconfirmed_row_is_refused_and_says_what_is_confirmed() -> None:
    """Rows 6 to 42 of the 2026 dryer table are not confirmed."""
    with pytest.raises(Refused, match="confirmed rows are 1 to 5 dryers"):
        open_codebook("2026").row("dryer_demand", dryers=given("count", 7, "", ""))


def test_a_lookup_past_the_end_is_refused() -> None:
    with pytest.raises(Refused, match=r"240\.6\(A\) stops below 6,001 A"):
        open_codebook("2023").at_least("standard_ratings", given("load", 6001, "A", ""))


@pytest.mark.parametrize(
    ("amps", "said", "rating"),
    [(1647.437561836, "at least 1,647.4 A", 2000), (60.04, "at least 60.04 A", 70), (59.96, "at least 60.0 A", 60), (45, "at least 45 A", 45)],
)  # fmt: skip
def test_an_amount_is_said_with_few_decimals_unless_they_would_lead_to_another_row(
    amps: float, said: str, rating: float
) -> None:
    found = open_codebook("2023").at_least("standard_ratings", given("load", amps, "A", ""))
    assert found.number == rating
    assert said in found.name


def test_an_absent_rule_is_refused_with_its_reason() -> None:
    assert not open_codebook("2020").has("vehicle_least")
    with pytest.raises(Refused, match="Before 2023"):
        open_codebook("2020")["vehicle_least"]


def test_an_unknown_rule_names_its_neighbours() -> None:
    with pytest.raises(CodebookError, match="nearest: unit_load"):
        open_codebook("2023")["unit_lode"]


def test_an_unconfirmed_rule_without_stand_in_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "local.toml"
    path.write_text(
        'title = "t"\ninherits = "2023"\n[rules.unit_load]\nconfidence = "U"\nunconfirmed = "the adoption is unread"\n'
    )
    with pytest.raises(Refused, match="the adoption is unread"):
        open_codebook("2023", [path])["unit_load"]


def test_an_amended_rule_remembers_the_file_that_set_it(tmp_path: Path) -> None:
    path = tmp_path / "marrow.toml"
    path.write_text('title = "Marrow Creek"\ninherits = "2023"\n[rules.unit_load]\nvalue = 4\n')
    code = open_codebook("2023", [path])
    cite = code.cite("unit_load")
    assert code["unit_load"].number == 4
    assert (cite.mark, cite.set_by, code.amendments) == ("amended", "marrow", ("Marrow Creek",))
    assert code.cite("laundry_circuit").mark == ""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("title = 'x'\ninherits = '2020'", "amends edition '2020', but the job adopts '2023'"),
        ("title = 'x'\ninherits = '2023'\n[rules.no_such]\nvalue = 1", "no such rule to amend"),
        ("title = 'x'\ninherits = '2023'\n[rules.unit_load]\nvalue = 'four'", "value is 'four'; allowed: a number"),
        ("title = 'x'\ninherits = '2023'\n[rules.unit_load]\nvlaue = 4", "unknown vlaue"),
        ("title = 'x'\ninherits = '2023'\n[rules.dryer_demand]\ntable = 'none.csv'", "no table 'none.csv'"),
        ("title = 'x'\ninherits = '2023'\n[rules.dryer_demand]\ntable = '../none.csv'", "file beside this one"),
        ("title = 'x'\ninherits = '2023'\n[rules.dryer_demand]\ntable = '/etc/passwd'", "file beside this one"),
        (
            "title = 'x'\ninherits = '2023'\n[rules.unit_load]\nwords = \"\\u001b[2J\"",
            "words is '\\x1b[2J'; allowed: text",
        ),
        ("title = 'x'\ninherits = '2023'\n[rules.unit_load]\nwords = 4", "words is 4; allowed: text"),
        ("title = \"\\u202ex\"\ninherits = '2023'", "title is '\\u202ex'; allowed: text"),
        ("title = 'x'\ninherits = '2023'\n[rules.unit_load]\nbands = [[1]]", "bands is [[1]]; allowed: [[top"),
        ("title = 'x'\ninherits = '2023'\n[rules.unit_load]\nmembers = 'a'", "members is 'a'; allowed: a list"),
        ("title = 'x'\ninherits = '2023'\nrules = 1", "rules is 1; allowed: a table"),
        ("title = 'x'\ninherits = '2023'\n[rules]\nunit_load = 1", "rules.unit_load: is 1; allowed: a table"),
        ("inherits = '2023'", "no title"),
        *(
            (f"title = 'x'\ninherits = '2023'\n[rules.{rule}]\n{changes}", said)
            for rule, changes, said in (
                ("unit_load", "value = nan", "rules.unit_load: value is nan; allowed: a number"),
                ("unit_load", "value = inf", "rules.unit_load: value is inf; allowed: a number"),
                ("unit_load", "value = 1e300", "value is 1e+300; allowed: a number"),
                ("unit_load", f"value = {'9' * 5000}", "line 4: has a number of 100 digits or more"),
                ("unit_load", f"value = {'[' * 5000}", "is nested too deeply"),
                ("unit_load", f"value = {'[' * 30}{']' * 30}", "is nested too deeply"),
                ("unit_load", "a." * 200_000 + "b = 1", "is nested too deeply"),
                ("unit_load", "value = 0", "value is 0; allowed: a number above 0"),
                ("unit_load", "value = -3", "value is -3; allowed: a number above 0"),
                ("unit_load", "unit = 'kW'", "unit is 'kW'; allowed: 'VA/ft2'"),
                ("unit_load", "value = true", "value is True; allowed: a number"),
                ("unit_load", "confidence = 'Z'", "confidence is 'Z'; allowed: A, B, C, D, U"),
                ("unit_load", "methods = ['x']", "unknown methods"),
                ("unit_load", "method = 'x'", "method is 'x'; allowed: none"),
                ("drop_branch", "method = 'rquired'", "method is 'rquired'; allowed: recommended, required"),
                ("motor_kinds", "members = ['fan', 1]", "members is ['fan', 1]; allowed: a list of texts"),
                ("motor_kinds", 'members = ["fan\\u001b"]', "allowed: a list of texts"),
                ("motor_kinds", "members = []", "members is []; allowed: a text at least"),
                ("lighting_tiers", "bands = []", "bands don't rise to an end"),
                ("lighting_tiers", "bands = [[3000, 100], [2000, 35], ['', 25]]", "bands don't rise"),
                ("lighting_tiers", "bands = [[3000, 100], ['', 0]]", "per cents above 0"),
                ("lighting_tiers", "bands = [[nan, 100], ['', 25]]", "bands is [[nan, 100], ['', 25]]; allowed"),
                ("divider_below", "words = 'x'", "the edition has no such rule; to bring it in, say its value too"),
            )
        ),
        ("title = ", "line 1: is not TOML"),
    ],
)
def test_a_bad_amendments_file_says_what_is_wrong(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text)
    with pytest.raises(CodebookError, match=re.escape(said)) as caught:
        open_codebook("2023", [path])
    assert "bad.toml" in str(caught.value)


HEAD = "# title: t\n# source: s\n# confidence: A\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("appliances_from,appliances_to\n1,1\n", "no '# title:' line"),
        (HEAD, "no rows"),
        (HEAD + "appliances_from,appliances_to\n1,1\n", "has no column demand_pct"),
        (HEAD + "appliances_from,appliances_to,demand_pct\n1,,half\n", "demand_pct is 'half'; allowed: a number"),
        (HEAD + "appliances_from,appliances_to,demand_pct\n1,,nan\n", "demand_pct is 'nan'; allowed: a number"),
        (HEAD + "appliances_from,appliances_to,demand_pct\n1,,0\n", "demand_pct is '0'; allowed: a number above 0"),
        (HEAD + "appliances_from,appliances_to,demand_pct\n1,,-90\n", "demand_pct is '-90'; allowed: a number above 0"),
        (HEAD.replace("s\n", "s\x1b[2J\n") + "appliances_from,appliances_to,demand_pct\n1,,90\n", "allowed: text"),
    ],
)
def test_a_bad_table_of_an_amendments_file_says_what_is_wrong(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "own.csv").write_text(text)
    path = tmp_path / "local.toml"
    path.write_text("title = 'x'\ninherits = '2023'\n[rules.fastened_demand]\ntable = 'own.csv'\n")
    with pytest.raises(CodebookError, match=re.escape(said)) as caught:
        open_codebook("2023", [path])
    assert "local.toml: rules.fastened_demand" in str(caught.value)
    assert "own.csv" in str(caught.value)


def amendment(path: Path, rule: str, changes: str) -> Codebook:
    """The codebook of 2023 with one rule amended."""
    file = path / "local.toml"
    file.write_text(f"title = 'x'\ninherits = '2023'\n[rules.{rule}]\n{changes}\n")
    return open_codebook("2023", [file])


def test_an_amendment_may_set_any_value_above_nothing_and_nothing_where_the_edition_does(tmp_path: Path) -> None:
    for rule, value in (("unit_load", 0.5), ("unit_load", 7), ("box_pigtail", 0), ("box_pigtail", 1)):
        assert amendment(tmp_path, rule, f"value = {value}")[rule].number == value


@pytest.mark.parametrize("bands", [[[0.5, 0.5], ["", 0.25]], [["", 40]], [[3000, 100], [3001, 100], ["", 25]]])
def test_bands_that_rise_to_an_open_end_may_be_amended(tmp_path: Path, bands: list[list[float | str]]) -> None:
    steps = tuple((None if top == "" else top, percent) for top, percent in bands)
    assert amendment(tmp_path, "lighting_tiers", f"bands = {bands}").bands("lighting_tiers").steps == steps


@pytest.mark.parametrize(
    "bands",
    [
        [[0, 100], ["", 25]],
        [[3000, 100], [3000, 35], ["", 25]],
        [[2000, 100], [5000, 35], [4000, 30], ["", 25]],
        [["", 100], [3000, 35], ["", 25]],
        [[3000, 100], ["", 35], ["", 25]],
        [[3000, 100], [5000, 35]],
        [[3000, 100], ["", -25]],
    ],
)
def test_bands_that_do_not_rise_to_an_open_end_are_refused(tmp_path: Path, bands: list[list[float | str]]) -> None:
    with pytest.raises(CodebookError, match="bands don't rise to an end"):
        amendment(tmp_path, "lighting_tiers", f"bands = {bands}")


def own_table(path: Path, rule: str, rows: str) -> Codebook:
    """The codebook of 2023 with the table of one rule replaced."""
    (path / f"own_{rule}.csv").write_text(HEAD + rows)
    return amendment(path, rule, f"table = 'own_{rule}.csv'")


COOKING = "appliances_from,appliances_to,column_a_pct,column_b_pct,column_c_kw,column_c_each_kw\n"
AMBIENT = "ambient_f_from,ambient_f_to,factor_60,factor_75,factor_90\n"


def test_a_table_may_have_nothing_below_nothing_and_blanks_where_the_one_it_replaces_has_them(tmp_path: Path) -> None:
    cooking = own_table(tmp_path, "cooking_demand", COOKING + "1,,0.5,0.5,0.5,0\n").row(
        "cooking_demand", appliances=given("count", 2, "", "")
    )
    assert [cooking.cells[column] for column in ("column_a_pct", "column_c_each_kw")] == ["0.5", "0"]
    rows = "-60,5,2,2,2\n6,20,,,0.9\n"
    assert own_table(tmp_path, "ambient_correction", AMBIENT + rows).rows("ambient_correction")[0]["factor_60"] == "2"
    sizes = own_table(tmp_path, "cord_lengths", "kind,least_in,most_in,confidence\nowl,1,2,C\n")
    assert sizes.row("cord_lengths", kind="owl")["most_in"].number == 2


@pytest.mark.parametrize(
    ("rule", "rows", "said"),
    [
        ("cooking_demand", COOKING + "1,,80,80,8,-1\n", "column_c_each_kw is '-1'; allowed: a number of 0 or more"),
        ("cooking_demand", COOKING + "1,,80,80,8,\n", "column_c_each_kw is ''; allowed: a number of 0 or more"),
        ("cooking_demand", COOKING + "1,,80,0,8,0\n", "column_b_pct is '0'; allowed: a number above 0"),
        ("ambient_correction", AMBIENT + "-60,5,,cold,1\n", "factor_75 is 'cold'; allowed: a number above 0 or blank"),
        ("ambient_correction", AMBIENT + "low,5,,1,1\n", "ambient_f_from is 'low'; allowed: a number of any sign"),
        ("cooking_demand", COOKING + "1,,80,80,8\n", "a row with more or fewer cells than the header"),
        ("cooking_demand", COOKING + "1,1,80,80,8,0\n2,,80,80,8\n", "a row with more or fewer cells than the header"),
        ("cooking_demand", COOKING + "1,,80,80,8,0,0\n", "a row with more or fewer cells than the header"),
    ],
)
def test_a_table_with_other_numbers_than_the_one_it_replaces_is_refused(
    tmp_path: Path, rule: str, rows: str, said: str
) -> None:
    with pytest.raises(CodebookError, match=re.escape(said)):
        own_table(tmp_path, rule, rows)


def test_a_missing_amendments_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(CodebookError, match=r"gone\.toml: does not exist"):
        open_codebook("2023", [tmp_path / "gone.toml"])


def test_a_folder_in_the_place_of_a_file_says_what_should_be_there(tmp_path: Path) -> None:
    (tmp_path / "own.csv").mkdir()
    with pytest.raises(CodebookError, match="is a folder, not a file of amendments"):
        open_codebook("2023", [tmp_path])
    with pytest.raises(CodebookError, match=r"own\.csv: is a folder, not a table"):
        amendment(tmp_path, "cord_lengths", "table = 'own.csv'")


def test_an_edition_states_only_what_it_changes() -> None:
    """A value that repeats the inherited one would hide which edition changed it."""
    import tomllib

    for name in editions()[1:]:
        data = tomllib.loads((EDITIONS / f"{name}.toml").read_text())
        parent = edition(data["inherits"]).rules
        for rule, changes in data["rules"].items():
            for key in ("value", "unit", "members", "method", "words"):
                if key in changes:
                    assert changes[key] != getattr(parent[rule], key) or parent[rule].absent, f"{name}: {rule}.{key}"


def test_a_rule_that_ends_on_a_date_holds_only_for_permits_before_it(tmp_path: Path) -> None:
    """A permit without a date can't rest on an exception that ends."""
    path = tmp_path / "local.toml"
    path.write_text('title = "t"\ninherits = "2023"\n[rules.unit_load]\nuntil = 2026-09-01\n')
    code = open_codebook("2023", [path])
    assert code.until("unit_load") == date(2026, 9, 1)
    assert code.in_force("unit_load", date(2026, 8, 31))
    assert not code.in_force("unit_load", date(2026, 9, 1))
    assert not code.in_force("unit_load", None)
    assert open_codebook("2023").in_force("unit_load", None), "a rule without an end holds always"
    path.write_text('title = "t"\ninherits = "2023"\n[rules.unit_load]\nuntil = "soon"\n')
    with pytest.raises(CodebookError, match="until is 'soon'; allowed: a date such as 2026-09-01"):
        open_codebook("2023", [path])


def test_at_most_gives_the_largest_listed_value_and_never_rounds_up() -> None:
    code = open_codebook("2023")
    assert code.at_most("standard_ratings", given("most", 37.5, "A", "")).number == 35
    assert code.at_most("standard_ratings", given("most", 35, "A", "")).number == 35
    with pytest.raises(Refused, match="begins above 9 A"):
        code.at_most("standard_ratings", given("most", 9, "A", ""))


def test_an_unknown_rule_is_named_with_its_nearest() -> None:
    with pytest.raises(Exception, match=r"no rule 'unit_lod'.*unit_load"):
        _ = open_codebook("2023")["unit_lod"]


def test_a_value_that_is_not_sure_is_known_to_be_wherever_it_goes(tmp_path: Path) -> None:
    """What an office amended, or nothing but memory gives, goes with the number; what is sure carries nothing."""
    code = amendment(tmp_path, "unit_load", "value = 4")
    assert code["unit_load"].rests_on == {code.cite("unit_load")}
    memory = code["rooftop_adder"]
    assert {cite.mark for cite in memory.rests_on} == {"from memory"}
    assert code["laundry_circuit"].rests_on == frozenset()
    row = code.row("motor_current", hp=given("motor", 1, "hp", ""))
    assert {cite.mark for cite in row["motor_240_a"].rests_on} == {"from memory"}


def test_a_row_from_memory_is_marked_and_its_neighbour_is_not(tmp_path: Path) -> None:
    """A rule that an office amended keeps the mark of that; a row that nothing confirms is refused."""
    code = open_codebook("2023")
    marks = {kind: code.row("cord_lengths", kind=kind).text("least_in").cites[0] for kind in ("dishwasher", "disposer")}
    assert {kind: (cite.mark, cite.confidence) for kind, cite in marks.items()} == {
        "dishwasher": ("", "C"), "disposer": ("from memory", "D")}  # fmt: skip
    rows = "kind,least_in,most_in,confidence\nowl,1,2,D\ncat,1,2,U\n"
    assert marks["disposer"].note == "this row is a value from memory, check the code book"
    own = own_table(tmp_path, "cord_lengths", rows)
    assert own.row("cord_lengths", kind="owl").text("least_in").cites[0].mark == "amended"
    with pytest.raises(Refused, match="this row is not confirmed"):
        own.row("cord_lengths", kind="cat").text("least_in")


def test_a_row_is_found_by_its_own_number_and_a_band_by_both_its_ends() -> None:
    code = open_codebook("2023")

    def current(hp: float) -> float:
        return code.row("motor_current", hp=given("motor", hp, "hp", ""))["motor_240_a"].number

    assert [current(hp) for hp in (0.5, 1, 10)] == [4.9, 8, 50]
    with pytest.raises(Refused, match="no row for 4 hp"):
        current(4)
    shares = [
        code.row("optional_heat", zones=given("zones", count, "", ""))["demand_pct"].number for count in (1, 3, 4)
    ]
    assert shares == [65, 65, 40]


def test_of_two_keys_each_has_to_fit() -> None:
    code = open_codebook("2023")
    fittings = {
        (kind, size): code.row("whip", insulation=kind, size=size).text("outside").text
        for kind in ("THHN", "XHHW")
        for size in ("14", "12")
    }
    assert fittings == {("THHN", "14"): "4", ("THHN", "12"): "3", ("XHHW", "14"): "3", ("XHHW", "12"): "2"}
    with pytest.raises(Refused):
        code.row("whip", insulation="THHN", size="8")


def test_a_cell_cites_its_rule_and_knows_what_chose_it() -> None:
    """The number that chose the row is kept, so that a sheet shows the way to it."""
    code = open_codebook("2023")
    count = given("zones", 4, "", "zones")
    share = code.row("optional_heat", zones=count)["demand_pct"]
    assert (share.number, str(share.unit), share.cites) == (40, "%", (code.cite("optional_heat"),))
    assert share.made is not None
    assert (share.made.kind, share.made.args, share.made.extra.chosen_by) == ("lookup", (count,), (count,))


def test_a_cell_is_called_by_its_section_or_where_there_is_none_by_its_table() -> None:
    code = open_codebook("2023")
    share = code.row("optional_heat", zones=given("zones", 4, "", ""))["demand_pct"]
    assert share.name == "220.82(C)(4) and (5), share, zones 4"
    sold = code.at_least("services_sold", given("load", 180, "A", ""))
    assert sold.name.startswith(f"{tables.load(tables.FOLDER / 'services_sold.csv').title}, ")


def test_a_cell_of_nothing_is_nothing_to_add() -> None:
    """Up to 25 appliances column C stands alone; from 26 on, so much is added for each."""
    code = open_codebook("2023")
    rows = [code.row("cooking_demand", appliances=given("count", count, "", "")) for count in (25, 26)]
    assert [row.has("column_c_each_kw") for row in rows] == [False, True]
    assert not rows[0].has("no_such_column")


def test_what_an_office_adopts_is_sure_and_nothing_stands_in_for_it(tmp_path: Path) -> None:
    """Unless the office says how sure it is itself."""
    year = edition("2026").rules
    assert year["laundry_circuit"].stands_in
    assert year["existing_steps"].unconfirmed
    path = tmp_path / "local.toml"
    path.write_text(
        "title = 't'\ninherits = '2026'\n[rules.laundry_circuit]\nvalue = 1600\n"
        "[rules.existing_steps]\nbands = [[8000, 100], ['', 40]]\n[rules.unit_load]\nconfidence = 'D'\n"
    )
    code = open_codebook("2026", [path])
    for rule in ("laundry_circuit", "existing_steps"):
        data = code.in_full.rules[rule]
        assert (data.confidence, data.stands_in, data.unconfirmed) == ("A", "", "")
    assert len(code.bands("existing_steps").steps) == 2
    assert code.in_full.rules["unit_load"].confidence == "D"


def test_an_edition_of_a_folder_inherits_from_the_one_it_names(tmp_path: Path) -> None:
    (tmp_path / "1.toml").write_text("title = 'one'\n[rules.owl]\nname = 'owls'\nvalue = 1\n")
    (tmp_path / "2.toml").write_text("title = 'two'\ninherits = '1'\n[rules.cat]\nname = 'cats'\nvalue = 2\n")
    both = edition("2", tmp_path)
    assert {name: rule.value for name, rule in both.rules.items()} == {"owl": 1, "cat": 2}
    assert both.titles == {"1": "one", "2": "two"}
    assert set(edition("1", tmp_path).rules) == {"owl"}


def test_a_head_is_read_with_and_without_a_blank_after_its_sign(tmp_path: Path) -> None:
    path = tmp_path / "own.csv"
    path.write_text("#title: t\n# source: s\n#confidence:A\nsize\n14\n")
    assert tables.load(path).notes == {"title": "t", "source": "s", "confidence": "A"}


def test_what_was_read_is_shown_in_a_message_only_as_far_as_it_is_short() -> None:
    assert shown("x" * 78) == repr("x" * 78)
    assert shown("x" * 79) == f"'{'x' * 79}..."
