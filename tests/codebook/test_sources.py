"""Where numbers came from: every code resolves inside the repository, and a rule can be asked for by a person."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from calc.cli import main
from calc.codebook import CodebookError, editions, tables
from calc.codebook.explain import explained
from calc.codebook.files import edition
from calc.codebook.sources import KINDS, sources, split
from tests.codebook.second_reading import compare
from tests.codebook.second_reading.gathered import cited

RULES = [(name, rule) for name in editions() for rule in edition(name).rules if not edition(name).rules[rule].absent]
TABLES = sorted(tables.FOLDER.glob("*.csv"))
PUBLISHED = Path(__file__).parents[1] / "published"
CODE = re.compile(r"\b(?:S\d\d|N\d\d|G-[a-z]+|N-[a-z]+)\b")
DEMO = Path(__file__).parents[2] / "notebooks" / "jobs" / "cask-lane-27.toml"


def said() -> dict[str, str]:
    """Each source that the data names, by the place where it stands."""
    rules = {f"{name}: {rule}": edition(name).rules[rule].source for name, rule in RULES}
    made = {
        f"{row['type']} {row['material']} {row['called']}": row["source"] for row in compare.TABLES["made_cables"].rows
    }
    return rules | {path.name: tables.load(path).notes["source"] for path in TABLES} | made


def test_every_code_resolves_to_a_full_citation() -> None:
    """What a rule or a table names as its source stands in sources.toml, with title, place and how it was read."""
    for where, source in said().items():
        codes, note = split(source)
        assert codes, f"{where}: '{source}' is not codes of sources.toml, a semicolon and a note"
        assert set(CODE.findall(note)) <= set(sources()), where
    for source in sources().values():
        assert source.title, source.code
        assert source.by, source.code
        assert source.where, source.code
        assert source.read, source.code
        assert source.kind in KINDS, source.code


def test_every_citation_is_used() -> None:
    """By a rule, a table, or by what was gathered to read them a second time."""
    used = {code for source in said().values() for code in split(source)[0]}
    assert set(sources()) == used | cited()


def test_codes_of_the_second_reading_resolve() -> None:
    assert cited() <= set(sources())


def test_codes_in_the_published_examples_resolve() -> None:
    for path in PUBLISHED.glob("*.toml"):
        assert set(CODE.findall(path.read_text(encoding="utf-8"))) <= set(sources()), path.name


def test_what_is_called_sure_does_not_rest_on_memory_alone() -> None:
    """Confidence A or B names more than memory, and A more than notes whose pages are not named one by one."""
    for name, rule in RULES:
        data = edition(name).rules[rule]
        kinds = {sources()[code].kind for code in split(data.source)[0]}
        if data.confidence in {"A", "B"} and kinds <= {"recall", "practice"}:
            pytest.fail(f"{name}: {rule} has confidence {data.confidence} from {kinds}")
        if data.confidence == "A" and kinds <= {"recall", "practice", "notes"}:
            pytest.fail(f"{name}: {rule} has confidence A from notes alone")


def test_a_source_in_words_is_a_note_even_where_it_begins_with_a_code() -> None:
    assert split("S24 recall; the second recalled") == (("S24", "recall"), "the second recalled")
    assert split("S24 as adopted") == ((), "S24 as adopted")
    assert split("the office") == ((), "the office")


# ---- the rule, for a person


def run(*args: str | Path) -> Result:
    return CliRunner().invoke(main, ["rule", *map(str, args)])


def test_a_section_gives_its_rules_its_table_and_its_sources_in_full() -> None:
    result = run("220.55")
    assert result.exit_code == 0
    for text in ("cooking demand (cooking_demand)", "2017, 2020, 2023: Table 220.55", "2026: Table 120.55",
                 "What stands in: table as in 2023", "(cooking_demand.csv)", "S24: National Electrical Code, annex D"):  # fmt: skip
        assert text in result.output
    assert re.search(r"^ +25 +25 +30 +26 +40 +0$", result.output, re.MULTILINE), "a row of the table"


def test_a_rule_that_changed_stands_once_for_each_of_its_values() -> None:
    told = explained("unit_load", {name: edition(name) for name in editions()})
    (entry,) = [entry for entry in told.rules if entry.rule == "unit_load"]
    assert {name: state.value for name, state in entry.editions.items()} == {
        "2017": 3, "2020": 3, "2023": 3, "2026": 2}  # fmt: skip
    assert {state.set_by for state in entry.editions.values()} == {f"{name}.toml" for name in editions()}


def test_an_edition_without_the_rule_says_why() -> None:
    output = run("fastened_size_va", "--edition", "2017").output
    assert "2017: no such rule" in output
    assert "counts every appliance fastened in place" in output


def test_a_section_of_another_edition_finds_the_rule_that_this_one_lacks() -> None:
    assert "2017: no such rule" in run("NEC 250.104", "--edition", "2017").output
    assert "cooking_demand" in run("Table 120.55", "--edition", "2017").output


def test_as_json_it_is_nothing_but_json() -> None:
    told = json.loads(run("250.122", "--edition", "2020", "--json").output)
    assert {"equipment_ground", "equipment_ground_increase"} <= {entry["rule"] for entry in told["rules"]}
    assert told["tables"][0]["rows"][0] == ["15", "14", "12"]


def test_a_job_shows_the_rule_as_its_office_amended_it() -> None:
    job = DEMO.with_name("fernhollow-lot-14.toml")
    output = run("rod_supplement", "--job", job).output
    assert "Amended by" in output
    assert "marrow-creek.toml" in output


@pytest.mark.parametrize(
    ("rule", "edition", "said"),
    [
        ("counter_overhang", "2023", "210.52(C)(3), 6 in"),
        (
            "lighting_tiers",
            "2023",
            "Table 220.45, 0 to 3,000 VA: 100 %; 3,000 to 120,000 VA: 35 %; over 120,000 VA: 25 %",
        ),
        ("motor_kinds", "2017", "220.50, air-conditioner, heat-pump, mini-split"),
        ("drop_branch", "2023", "210.19, 3 %, by the reading 'recommended'"),
        ("cord_lengths", "2023", "422.16(B), table cord_lengths.csv"),
        (
            "outdoor_equipment",
            "2023",
            "210.8(F), exception 2, air-conditioner, heat-pump, mini-split, until 2026-09-01",
        ),
        ("services_sold", "2023", "no section, table services_sold.csv"),
        ("interrupting_rating", "2023", "2023: 110.9 Equipment that must break"),
        ("interrupting_rating", "2023", "Confidence D, from memory, check the code book."),
        (
            "outdoor_equipment",
            "2020",
            "Confidence U, not confirmed. Set by 2020.toml. What stands in: interim amendments",
        ),
        ("existing_steps", "2026", "Refused: "),
        ("cord_lengths", "2023", "Sources: N19 recall (the dishwasher's cord noted, the others recalled)."),
        ("motor_kinds", "2023", "Sources: S24."),
    ],
)
def test_what_a_rule_sets_and_how_sure_it_is(rule: str, edition: str, said: str) -> None:
    """A value, steps, kinds, a procedure, a table, an end, or nothing but words; then what it rests on."""
    assert said in re.sub(r"\n {6}", " ", run(rule, "--edition", edition).output)


def test_of_a_rule_only_what_it_has_is_told() -> None:
    told = explained("422.16(B)", {"2023": edition("2023")}).as_json()["rules"]
    has = {
        entry["rule"]: {key for key in ("value", "bands", "members", "method", "table", "until") if entry["editions"]["2023"][key]}
        for entry in told
    }  # fmt: skip
    assert has["cord_lengths"] == {"table"}
    assert has["dishwasher_receptacle"] == {"members"}
    output = run("cord_lengths", "--edition", "2023").output
    assert "by the reading" not in output
    assert "until" not in output


def test_a_table_is_told_with_its_own_confidence_and_sources() -> None:
    """The note on them stands in parentheses where there is one."""
    noted, plain = run("422.16(B)", "--edition", "2023").output, run("220.82(C)", "--edition", "2023").output
    assert "  dishwasher  36             78            C" in noted.splitlines(), (
        "each column as wide as its widest cell"
    )
    assert (
        "  Confidence C. Sources: N19 recall (the dishwasher's cord noted, the others recalled)." in noted.splitlines()
    )
    assert "  Confidence A. Sources: S24 S31 AD-D2a X37." in plain.splitlines()


def test_words_find_a_rule_without_its_tables() -> None:
    output = run("largest motor").output
    assert "largest-motor share (largest_motor)" in output
    assert ".csv)" not in output


def test_a_subsection_finds_itself_and_what_is_under_it_but_no_neighbour() -> None:
    told = explained("210.52(A)", {"2023": edition("2023")})
    assert {"wall_reach", "wall_rooms"} <= {entry.rule for entry in told.rules}
    assert "counter_reach" not in {entry.rule for entry in told.rules}
    assert "cooking_demand" not in {entry.rule for entry in explained("220.5", {"2023": edition("2023")}).rules}


@pytest.mark.parametrize("asked", ["220.56", "unit_lode"])
def test_what_is_not_there_names_its_nearest(asked: str) -> None:
    result = run(asked)
    assert result.exit_code == 2
    assert "nearest: " in result.output
    assert "none" not in result.output


def test_an_unknown_edition_is_bad_input() -> None:
    result = run("220.55", "--edition", "2008")
    assert (result.exit_code, "no edition '2008'" in result.output) == (2, True)
    with pytest.raises(CodebookError):
        explained("no such thing", {"2023": edition("2023")})
