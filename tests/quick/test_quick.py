"""One answer without a house: each is what the sheet of the same job file says, in whatever order and spelling it is asked."""

from __future__ import annotations

import json
import random
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import quick
from calc.cli import main
from calc.families import families
from calc.job import parse_job, read_job
from calc.wiring.house import House
from calc.work import Sheet

CASES: list[dict[str, Any]] = tomllib.loads((Path(__file__).parent / "cases.toml").read_text())["case"]
HEAD = '[code]\nedition = "2023"\n[job]\nname = "Written out"\n'
EXAMPLES = [f"{name} {example}" for name in quick.questions() for example in quick.one_line(name)[1]]


def ask(text: str, edition: str = "2023") -> quick.Answer:
    (answer,) = quick.ask(*text.split(" ", 1), edition)
    return answer


def invoke(text: str, *more: str) -> Result:
    return CliRunner().invoke(main, [*text.split(" "), *more])


def written(case: dict[str, Any], edition: str = "2023") -> Sheet:
    """The sheet of the job file that a person would have written, by the family that answers the question."""
    house = House.of(parse_job((HEAD.replace("2023", edition) + case["job"]).encode()))
    asked = quick.question_named(case["ask"].split()[0])
    sheets = families()[asked.family].work(house)
    return next((sheet for sheet in sheets if sheet.subject == case.get("subject", "R")), sheets[-1])


def lines(sheet: Sheet) -> dict[str, str]:
    return {line["key"].partition("[")[0]: line["result"] for line in reversed(sheet.as_json()["lines"])}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["ask"])
def test_an_answer_is_what_the_sheet_of_the_job_written_out_says(case: dict[str, Any]) -> None:
    for edition in case.get("editions", ["2023"]):
        answer, sheet = ask(case["ask"], edition), written(case, edition)
        for key in case["same"]:
            assert lines(answer.sheet)[key] == lines(sheet)[key], key
            assert answer.status == case.get("status", "passes")
    said = quick.as_text(ask(case["ask"]))
    for number in case["by_hand"]:
        assert number in said


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([case["ask"] for case in CASES if not case.get("ordered")]), st.integers(0, 10_000))
def test_order_and_spelling_change_no_answer(text: str, seed: int) -> None:
    asked, said = quick.ask(*text.split(" ", 1)), random.Random(seed)
    typed = [f"{one.named} {one.text}".strip() for one in asked[0].reading.said]
    said.shuffle(typed)
    typed = [entry.replace(" ", "") if said.random() < 0.3 and entry[:1].isdigit() and " x " not in entry and "AWG" not in entry and "/" not in entry else entry for entry in typed]  # fmt: skip
    typed = [
        entry.upper() if said.random() < 0.3 else entry.lower() if said.random() < 0.3 else entry for entry in typed
    ]
    other = quick.ask(text.split(" ", 1)[0], said.choice([" ", ", "]).join(typed))
    for one, before in zip(other, asked, strict=True):
        assert numbers(one) == numbers(before)
        assert (one.status, set(one.sections)) == (before.status, set(before.sections))


def numbers(answer: quick.Answer) -> list[str]:
    """The numbers of an answer: units may stand closer to them where they were typed so."""
    return sorted(re.findall(r"[0-9][0-9.,/-]*", answer.line + answer.decides))


@pytest.mark.parametrize("text", EXAMPLES)
def test_each_example_of_the_help_has_one_answer(text: str) -> None:
    answer = ask(text)
    assert answer.sheet.refused is None or answer.status != "not worked"
    assert "{" not in answer.line
    assert answer.sections


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("drip 16", "did you mean drop?"),
        ("drop", "drop needs"),
        ("drop banana", "'banana' is not understood"),
        ("drop 16 A 120 V", "drop needs length in ft and conductor such as 12 AWG or 12/2 too"),
        ("drop 16 kW 120 V 110 ft 12 AWG", "'16 kW' is nothing that drop takes"),
        ("drop 16 A 277 V 110 ft 12 AWG", "'277 V' is nothing that drop takes"),
        ("drop 16 A 120 V 110 ft 13 AWG", "13 AWG is not a conductor size"),
        ("drop 16 A 17 A 120 V 110 ft 12 AWG", "each once"),
        ("drop 16 A 120 V 110 ft 12 AWG copperr", "did you mean copper?"),
    ],
)
def test_what_is_not_understood_says_what_was_read_and_gives_an_example(text: str, says: str) -> None:
    with pytest.raises(quick.NotUnderstood) as told:
        quick.ask(*(text + " ").split(" ", 1))
    assert says in str(told.value)
    assert "For example: studbay quick " in str(told.value)


def test_a_question_that_can_be_read_in_two_ways_is_answered_in_both() -> None:
    answers = quick.ask("drop", "16 A 110 ft 12 AWG")
    assert [str(answer.reading) for answer in answers] == [
        f"load 16 A, length 110 ft, conductor 12 AWG, voltage {volts} V" for volts in (120, 240)
    ]
    assert [answer.line[:6] for answer in answers] == ["5.66 %", "2.83 %"]
    several = quick.ask("drop", "16 120 110 12")
    assert len({str(answer.reading) for answer in several}) == len(several) > 1


def test_a_circuit_at_208_v_is_worked_at_208_v() -> None:
    """The voltage of the load decides where no service says what the system is: 5,000 VA are 24 A at 208 V, not 20.8 A."""
    assert "load 24.0 A" in ask("dryer 5 kW 208 V").decides


def test_a_name_of_two_words_may_be_typed_as_two() -> None:
    assert ask("water heater 4500 W").line == ask("water-heater 4500 W").line


def test_what_stands_between_two_numbers_may_speak_of_either() -> None:
    answers = quick.ask("circuit", "16 A breaker 20 A 120 V")
    assert [str(answer.reading) for answer in answers] == [
        "load 20 A, breaker 16 A, voltage 120 V",
        "load 16 A, breaker 20 A, voltage 120 V",
    ]
    assert len(quick.ask("circuit", "16 A load breaker 20 A 120 V")) == 1
    assert len(quick.ask("working-space", "31 in deep 30 in wide 80 in high")) == 1


def test_devices_alone_tell_no_wire_and_none_is_guessed() -> None:
    with pytest.raises(quick.NotUnderstood, match="needs cables such as 12/2 or conductors"):
        quick.ask("box", "receptacle")


def test_units_may_be_left_out_where_one_is_possible() -> None:
    assert ask("drop 16 A 120 110 ft 12").line == ask("drop 16 A 120 V 110 ft 12 AWG").line


def test_a_limit_that_is_not_kept_falls_short_and_exits_1() -> None:
    run = invoke("quick drop 16 A 120 V 110 ft 12 AWG 3%")
    assert (run.exit_code, run.output.startswith("falls short: 5.66 % drop")) == (1, True)
    assert "for 3%: 8 AWG, or 58 ft at most" in run.output


def test_the_command_gives_sheet_reasons_and_json() -> None:
    entries = "quick drop 16 A 120 V 110 ft 12 AWG"
    plain = invoke(entries)
    assert (plain.exit_code, len(plain.output.splitlines())) == (0, 6)
    work = invoke(entries, "--work")
    reasons = invoke(entries, "--reasons")
    assert len(plain.output) < len(work.output) < len(reasons.output)
    assert "voltage drop = out and back" in " ".join(work.output.split())
    (made,) = json.loads(invoke(entries, "--json", "--edition", "2017").output)
    assert (made["question"], made["edition"], made["status"]) == ("drop", "2017", "passes")
    assert made["sheet"]["results"]["drop_pct"] == pytest.approx(5.661333333)
    bad = CliRunner().invoke(main, ["quick", "drop", "16"])
    assert bad.exit_code == 2
    assert "For example: studbay quick drop" in bad.output


def test_a_command_that_is_a_question_says_how_to_ask_it() -> None:
    run = CliRunner().invoke(main, ["drop", "16", "A"])
    assert run.exit_code == 2
    assert "studbay quick drop 16 A 120 V 110 ft 12 AWG" in run.output
    assert "No such command" in CliRunner().invoke(main, ["dropp"]).output


FROM_THE_CRAWL_SPACE = {
    "studbay quick drop 16A 120V 110ft 12/2": ["5.66 %", "10 AWG: 5.66 % becomes 3.55 %"],
    "studbay quick box 3 12/2 recept 18in3": ["20.25 in³ needed"],
    "studbay quick raceway EMT 3/4in 12 THHN": ["16 conductors"],
    "studbay quick wh 4500W": ["10 AWG copper, 10/2 NM and a 25 A breaker", "next common size is 30 A"],
    "studbay quick circuit 48A 240V continuous": ["4 AWG and a 60 A breaker"],
}
"""What a contractor asks lying down: each is one line without a quote, and short enough to be typed with a thumb."""


@pytest.mark.parametrize("typed", FROM_THE_CRAWL_SPACE)
def test_a_question_from_the_crawl_space_takes_few_keystrokes(typed: str) -> None:
    assert len(typed) + 1 <= 45
    assert not set(typed) & set("'\"()*?#&|;<>$`!~\\")
    run = invoke(typed.removeprefix("studbay "))
    assert all(said in run.output for said in FROM_THE_CRAWL_SPACE[typed])


@pytest.mark.parametrize("text", EXAMPLES)
def test_an_example_can_be_typed_at_a_shell_as_it_stands(text: str) -> None:
    assert not set(text) & set("'\"()*?#&|;<>$`!~\\")


def test_a_text_without_end_is_not_gone_into() -> None:
    for text in ("1 " * 400, "12/2 " * 200, "deep 1 " * 100, "(" * 5000):
        with pytest.raises(quick.NotUnderstood, match="at most"):
            quick.ask("box", text)


def test_a_size_for_a_limit_is_found_in_a_raceway_too() -> None:
    assert ask("drop 16 A 120 V 110 ft 3% EMT").line.startswith("8 AWG copper for 3%")


def test_an_answer_waits_for_nothing_that_it_does_not_need() -> None:
    """Half a second from the shell: only the families that it needs, no chart, no table and no page."""
    asked = (
        "import sys; from calc.cli import main; main(['quick', 'box', '3', '12/2', 'recept'], standalone_mode=False)"
    )
    told = f"try:\n    exec({asked!r})\nfinally:\n    print(*sys.modules, file=sys.stderr)"
    run = subprocess.run([sys.executable, "-c", f"import sys\n{told}"], capture_output=True, text=True, check=False)
    loaded = set(run.stderr.split())
    assert "calc.families.box_fill" in loaded
    assert not loaded & {
        "pandas",
        "matplotlib",
        "numpy",
        "openpyxl",
        "IPython",
        "calc.packet",
        "calc.show",
        "calc.remedies",
    }
    assert not loaded & {
        f"calc.families.{name}" for name in ("dwelling_load", "branch_circuits", "receptacles", "fault_current")
    }


def test_help_shows_each_question_by_example() -> None:
    told = CliRunner().invoke(main, ["quick", "--help"]).output
    for text in EXAMPLES:
        assert f"studbay quick {text}\n" in told


def test_an_answer_goes_into_a_job_under_a_name_of_its_own(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    file.write_text(HEAD + "# as it was\n")
    entries = "quick drop 16 A 120 V 110 ft 12/2"
    assert invoke(entries, "--into", str(file), "Shop lights").exit_code == 0
    run = read_job(file).run("Shop lights")
    assert (run.calculated_a, run.length_ft, run.cable and run.cable.text, run.volts) == (16, 110, "12/2", 120)
    assert "# as it was" in file.read_text()
    before = file.read_text()
    again = invoke(entries, "--into", str(file), "Shop lights")
    assert again.exit_code == 2
    assert 'has "Shop lights" already' in again.output
    assert file.read_text() == before
    two = invoke("quick drop 16 A 110 ft 12/2", "--into", str(file), "Other")
    assert (two.exit_code, file.read_text()) == (2, before)


def test_what_falls_short_beside_the_answer_is_told_and_exits_1() -> None:
    """A size alone must not read as if all were in order: a water pipe needs another electrode beside it (250.53(D)(2))."""
    answer = ask("gec 3/0 Cu water")
    assert answer.line.startswith("4 AWG")
    assert (answer.asked, answer.status) == ("passes", "falls short")
    run = invoke("quick gec 3/0 Cu water")
    assert run.exit_code == 1
    assert "falls short beside it: the water pipe is supplemented: none provided, 1 electrode required" in run.output
    assert not any("falls short" in line for line in run.output.splitlines() if "not checked" in line)


def test_a_load_that_no_such_conductor_carries_falls_short_beside_its_drop() -> None:
    """240.4(D) and Table 310.16: 12 AWG copper in NM carries 20 A, so a drop at 1,600 A is no answer in order."""
    run = invoke("quick drop 160 A 120 V 40 ft 12 AWG")
    assert run.exit_code == 1
    assert "falls short beside it: carries the load" in run.output
    assert ask("drop 62 A 240 V 100 ft 6 AWG EMT").status == "passes"  # 65 A where the terminals are marked 75 °C


def test_a_drop_of_more_than_the_voltage_is_not_worked() -> None:
    """1,600 A over 110 ft of 12 AWG would lose 679 V of 120 V: no such drop can be."""
    run = invoke("quick drop 1600 A 120 V 110 ft 12 AWG")
    assert (run.exit_code, run.output.startswith("not worked: 12 AWG copper")) == (1, True)
    assert "%" not in run.output.splitlines()[0]


def test_the_longest_run_is_rounded_down() -> None:
    """0.03 x 240 V / (2 x 24 A x 1.21 ohm/kft) = 123.97 ft: 124 ft would be more than 3 %."""
    answer = ask("drop 24 A 240 V 10 AWG 3%")
    assert answer.line.startswith("123 ft one way at most")
    assert lines(answer.sheet)["longest_run_ft"] == "123 ft"
    assert "or 123 ft at most" in ask("drop 24 A 240 V 200 ft 10 AWG 3%").decides


def test_a_volume_to_ask_for_is_rounded_up() -> None:
    """5 grounds count as one and a quarter: 10 x 2.25 + 4.50 + 2.25 + 0.5625 = 29.8125 in3, which 29.81 would not hold."""
    assert "a box marked 29.82 in3" in ask("box 5 12/2 receptacle").line


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("raceway EMT 1 12 THHN", ["raceway EMT, size 1 in, wire 12 THHN", "raceway EMT, conductors 1 12 THHN"]),
        ("burial PVC", ["method PVC-40", "method PVC-80"]),
        ("charger 48", ["current 48 A"]),
        ("charger 7.7", ["rating 7.7 kW"]),
        ("range 12", ["rating 12 kW", "current 12 A"]),
        ("heat-pump 21 35", ["minimum 21 A, maximum 35 A"]),
        ("circuit 60 A 6", ["load 60 A, conductor 6 AWG, voltage 120 V or 240 V"]),
        ("drop 16 120 110 12/2", [f"load {a} A, voltage 120 V, length {ft} ft, conductor 12/2" for a, ft in ((16, 110), (110, 16))]),
        ("raceway EMT 1 9 12 THHN", [""]),
        ("circuit 16 120 12/2", [""]),
    ],
)  # fmt: skip
def test_what_has_no_unit_is_read_in_each_way_that_makes_sense_and_says_how(text: str, read: list[str]) -> None:
    """A number is neither guessed nor read as what can't be: 48 of a charger are amperes, not volt-amperes."""
    assert [answer.read_as for answer in quick.ask(*text.split(" ", 1))] == read


def test_numbers_that_a_word_would_tell_apart_ask_for_the_word() -> None:
    with pytest.raises(quick.NotUnderstood, match=r"'31' may be depth \(deep\) or width \(wide\) or height \(high\)"):
        quick.ask("working-space", "31 30 80")


@pytest.mark.parametrize(("volts", "amperes"), [(120, "20 A"), (240, "10 A")])
def test_a_motor_is_worked_at_either_voltage(volts: int, amperes: str) -> None:
    """Table 430.248: 1.5 hp takes 20 A at 115 V, 10 A at 230 V."""
    assert f"load {amperes}" in ask(f"motor 1.5hp {volts}V").decides


@pytest.mark.parametrize("name", quick.questions())
def test_each_answer_goes_into_a_job_whose_sheet_says_the_same(tmp_path: Path, name: str) -> None:
    """Of each question, as entries: what the job then works is line for line what was answered."""
    for number, example in enumerate(quick.one_line(name)[1]):
        (answer,) = quick.ask(name, example, "2020")
        file = tmp_path / f"house-{number}.toml"
        file.write_text(HEAD.replace("2023", "2020"))
        run = invoke(f"quick {name} {example}".strip(), "--into", str(file), "Upper flat")
        assert run.exit_code == (0 if answer.status == "passes" else 1), run.output
        job = read_job(file)
        sheets = families()[answer.reading.question.family].work(House.of(job))
        about = {answer.sheet.subject: "Upper flat", "Quick question": job.job.name, "Service": "Upper flat, service"}
        sheet = next(each for each in sheets if each.subject == about[answer.sheet.subject])
        said = {key: text.replace("Service:", "Upper flat:").replace(answer.sheet.subject, sheet.subject)
                for key, text in lines(answer.sheet).items()}  # fmt: skip
        assert lines(sheet) == said or answer.reading.form.tried


def test_an_answer_goes_under_the_edition_of_the_job_and_leaves_what_it_says_alone(tmp_path: Path) -> None:
    """A second transformer, or a second service, is no entry beside the first: nothing is written."""
    file = tmp_path / "house.toml"
    file.write_text(HEAD.replace("2023", "2020"))
    assert invoke("quick egc 60 A", "--into", str(file), "Shop", "--edition", "2023").exit_code == 2
    assert invoke("quick fault 37.5 kVA 1.6% 35 ft 4/0 AWG Al", "--into", str(file), "Main panel").exit_code == 0
    assert read_job(file).runs[0].feeds == "Main panel"
    before = file.read_text()
    again = invoke("quick fault 50 kVA 1.6% 35 ft 4/0 AWG Al", "--into", str(file), "Other panel")
    assert (again.exit_code, file.read_text()) == (2, before)
    assert "fault.transformer_kva is 37.5 there" in again.output
    assert "has service conductors already" in again.output


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("motor 1 1/2 hp 240 V", "load 10 A"),  # Table 430.248, not 1/2 hp on 1 AWG
        ("motor 3/4 hp 230 V", "load 6.9 A"),
        ("motor 1 hp 115V", "taken as given: 115V as 120 V"),
        ("box 6 14 AWG 18 in3", "12 in3 needed, 18 in3 there"),  # 6 x 2.00, not one of 6 AWG and three of 14
        ("box 12/3 12/2 gfci dimmer 34 cubic inches", "34 in3 there"),
        ("drop 12 gauge 15 amps 120 volts 85 feet", "4.10 % drop"),  # 2 x 15 x 1.93 x 0.085 / 120
        ("service 2000 square feet electric heat 20 kW", "107 A calculated"),  # (5,625 + 20,000) / 240
        ("service 2000 range 12 dryer 5", "78 A calculated"),  # (5,625 + 8,000 + 5,000) / 240
        ("service 2000 ft2 charger 48 A", "71 A calculated"),  # (5,625 + 48 x 240) / 240
        ("drop 100 A 240 V 200 ft 3%", "1 AWG copper for 3%: 2.57 %"),  # 2 x 100 x 0.154 x 0.2 / 240
        ("drop 100 A 240 V 200 ft 3% aluminum", "2/0 AWG aluminum for 3%: 2.65 %"),  # 0.159 ohm/kft
        ("drop 20 A 240 V 150 ft 10 AWG Al", "5.1 % drop"),  # stranded, 2.04 ohm/kft: no cable of NM is aluminum
        ("charger 48 A aluminum", "3 AWG aluminum, THWN-2"),  # 65 A at 60 C
        ("circuit 24 A 240 V UF buried", "10 AWG and a 25 A breaker"),
        ("circuit 40 A 240 V THHN 75C", "8 AWG and a 40 A breaker: 50 A"),
        ("receptacles hall 24 ft", "1 at least in a hall of 24 ft"),
        ("burial UF under slab", "18 in of cover"),
        ("egc 60 A Al", "8 AWG aluminum equipment ground"),
        ("egc 200 A 4/0 Al", "4 AWG aluminum equipment ground"),  # what 4/0 carries is another question
        ("raceway 4 12 THHN 4 10 THHN EMT", "trade size 3/4 EMT: 25.82 %"),  # 4 x 0.0133 + 4 x 0.0211 of 0.533 in2
        ("box 2 gang 4 12/2 two receptacles 34 in3", "29.25 in3 needed"),  # 8 + 4 + 1 of 2.25
        ("ampacity 6 AWG Cu EMT 75 C", "65 A for 6 AWG copper"),
        ("ampacity 4/0 Al EMT", "180 A for 4/0 aluminum"),
        ("gec two rods 4/0 Al", "6 AWG to the rods"),
        ("clearance 36 deep 30 wide", "width 30 in provided, 30 in required"),
        ("water heater 3500 W 120 V", "8 AWG copper, 8/2 NM and a 40 A breaker"),  # 29.2 x 1.25 = 36.5 A
    ],
)
def test_what_is_asked_as_the_trade_says_it_is_what_is_answered(text: str, says: str) -> None:
    """Worked by hand from the code's tables; a size or a fraction that could be read as something else is not."""
    answer = ask(text)
    assert says in quick.as_text(answer).replace("³", "3")
    assert answer.status == "passes"


def test_a_rating_of_a_service_is_answered_for_the_conductors_of_either_metal() -> None:
    """310.12: 200 A have 2/0 copper or 4/0 aluminum, both of which ask for 4 AWG (Table 250.66); 2/0 alone is either metal."""
    copper, aluminum = quick.ask("gec", "200 A")
    assert (copper.read_as, aluminum.read_as) == ("service 200 A, metal copper", "service 200 A, metal aluminum")
    assert copper.decides == "Service: 2/0 AWG copper, the smallest that serve"
    assert aluminum.decides == "Service: 4/0 AWG aluminum, the smallest that serve"
    assert all(answer.line.startswith("4 AWG to the water pipe") for answer in (copper, aluminum))
    assert [answer.line[:5] for answer in quick.ask("gec", "2/0")] == ["4 AWG", "6 AWG"]
    assert [answer.line[:25] for answer in quick.ask("jumper", "4/0")] == [
        f"main bonding jumper {n} AWG" for n in (2, 4)
    ]


def test_where_equipment_stands_tells_whether_it_has_ground_fault_protection() -> None:
    """210.8(F) is about outlets outdoors of 50 A or less: 40 A x 1.25 = 50 A, 48 A x 1.25 = 60 A."""
    assert "GFCI protection required" in ask("charger 40 A outdoors").decides
    assert "GFCI protection not required" in ask("charger 48 A outdoors").decides
    assert "GFCI protection not known" in ask("charger 40 A").decides


def test_a_breaker_that_was_said_stands_and_is_checked() -> None:
    """422.11(E)(3) and 240.6(A): 18.75 A x 1.5 = 28.1 A, so 30 A at most; 422.13: 18.75 A x 1.25 = 23.4 A at least."""
    assert [ask(f"wh 4500 W {a} A breaker 10/2").status for a in (20, 25, 30)] == ["falls short", "passes", "passes"]
    assert "and a 30 A breaker" in ask("wh 4500 W 30 A breaker").line
    assert "40 A, at most 30 A allowed" in ask("wh 4500 W 40 A breaker").line


def test_a_word_that_may_be_several_things_names_them() -> None:
    with pytest.raises(quick.NotUnderstood, match="'conduit' may be EMT, IMC, RMC, PVC-40 or PVC-80: write which"):
        quick.ask("raceway", "conduit 9 12 THHN")
    assert [answer.read_as for answer in quick.ask("box", "18 12 AWG")] == [
        "size 12 AWG, volume 18 in3",
        "conductors 18 12 AWG",
    ]
    assert [answer.status for answer in quick.ask("box", "4 square 3 12/2 receptacle")] == [
        "falls short",
        "passes",
        "passes",
    ]
    assert [answer.read_as for answer in quick.ask("motor", "1/3 hp")] == [
        f"power 1/3 hp, voltage {v} V" for v in (120, 240)
    ]
    with pytest.raises(quick.NotUnderstood, match=r"no answer to burial comes of this: .* to be entered"):
        quick.ask("burial", "MC")
    with pytest.raises(quick.NotUnderstood, match="'range' has no number in VA beside it"):
        quick.ask("service", "1500 ft2 range")


@pytest.mark.parametrize(
    "text", ["heat-pump MCA 21 A MOCP 35 A", "ac 18.4 30", "wh 4500 W", "motor 1.5 hp 240 V", "charger 48 A"]
)
def test_a_wiring_method_that_was_not_said_is_among_what_was_taken(text: str) -> None:
    answer = ask(text)
    assert any(said.startswith("NM cable of copper") for said in answer.taken)
    assert not any("names no cable" in note for note in answer.notes)
    assert not any("NM" in said for said in ask(f"{text} EMT").taken)


def test_an_answer_that_goes_into_a_job_is_worked_under_its_amendments(tmp_path: Path) -> None:
    """An office that makes the advice of 3 % a rule has the drop fall short, in the answer as in the job."""
    (tmp_path / "local.toml").write_text(
        'title = "Local"\ninherits = "2023"\n[rules.drop_branch]\nvalue = 3\nmethod = "required"\n'
        'words = "No more than 3 %."\nsource = "invented"\n'
    )
    file = tmp_path / "house.toml"
    file.write_text('[code]\nedition = "2023"\namendments = ["local.toml"]\n[job]\nname = "Amended"\n')
    run = invoke("quick drop 16 A 120 V 110 ft 12/2", "--into", str(file), "Shop lights")
    assert run.exit_code == 1
    assert "at most 3 % allowed" in run.output
    assert "edition 2023, Local" in run.output
    (sheet,) = families()["voltage-drop"].work(House.of(read_job(file)))
    assert sheet.status == "falls short"
