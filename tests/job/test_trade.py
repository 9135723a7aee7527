"""Trade notation, wherever a person types: what it means, what is refused, and that a file keeps the person's words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.job import Job, JobError, changed, import_parts, parse_job, read_job, save_job, trade
from calc.job.fields import all_parts, field_info, keys_of
from calc.job.model import field_at
from calc.job.plausible import notices
from calc.job.starters import new_job, starters

HEAD = '[code]\nedition = "2023"\n[job]\nname = "House"\n'
LOAD = '[[loads]]\nname = "One"\n'


@pytest.mark.parametrize(
    ("text", "unit", "means"),
    [
        ("12 kW", "VA", 12_000), ("12kva", "VA", 12_000), ("4,500 watts", "VA", 4500), ("12000 VA", "VA", 12_000), ("0.24 kW", "VA", 240),
        ("1,700 ft2", "ft2", 1700), ("1700 sq ft", "ft2", 1700), ("1,700 sq. ft.", "ft2", 1700), ("1700 sf", "ft2", 1700), ("1700 ft²", "ft2", 1700),
        ("50 gal", "gal", 50), ("1-1/2 hp", "hp", 1.5), ("1/2 hp", "hp", 0.5), ("30 A", "A", 30), ("30 amps", "A", 30), ("10 kA", "A", 10_000),
        ("240 V", "V", 240), ("30 C", "°F", 86), ("-40 °C", "°F", -40), ("104 F", "°F", 104), ("75 °C", "°C", 75), ("20.3 cu in", "in3", 20.3),
        ("3 %", "%", 3), ("1 h", "min", 60), ("2 circuits", "circuit", 2), ("2-pole", "pole", 2), ("7", "VA", 7), ("1,200.5", "VA", 1200.5),
    ],
)  # fmt: skip
def test_a_quantity_is_what_it_says_in_the_unit_of_its_key(text: str, unit: str, means: float) -> None:
    assert trade.quantity(text, unit) == means


@pytest.mark.parametrize(
    ("text", "unit"),
    [("30 A", "VA"), ("12 kW", "A"), ("18,5", "VA"), ("1,70 ft2", "ft2"), ("12 ft", "ft2"), ("167 F", "°C"), ("kW 12", "VA"), ("1/0 A", "A"),
     ("", "A"), ("3 A A", "A"), ("9" * 60, "VA"), ("nan", "VA"), ("1e3", "VA")],
)  # fmt: skip
def test_what_is_no_quantity_of_its_key_is_refused(text: str, unit: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the message may be empty: the field says what is allowed
        trade.quantity(text, unit)


@given(
    st.integers(1, 99_999),
    st.sampled_from(["VA", "W", "kW", "kVA", "kva", "KW", "watts", ""]),
    st.booleans(),
    st.booleans(),
)
def test_spelling_changes_no_number(number: int, unit: str, apart: bool, commas: bool) -> None:
    text = f"{number:,}" if commas else f"{number}"
    assert trade.quantity(f"{text}{' ' * apart}{unit}", "VA") == number * (1000 if unit.lower().startswith("k") else 1)


def test_a_file_says_it_as_the_trade_does() -> None:
    text = HEAD + (
        '[dwelling]\nkind = "single family"\nfloor_area_ft2 = "1,700 sq ft"\n'
        '[[loads]]\nname = "One"\nkind = "Disposal"\nvolts = "120 V"\nload_va = "0.9 kW"\nstatus = "as found"\n'
        '[[loads]]\nname = "Two"\nkind = "charger"\nvolts = 240\nload_va = "11.52 kVA"\n'
        '[[rooms]]\nname = "Terrace"\nuse = "patio"\n'
        '[[circuits]]\nname = "C"\npurpose = "dedicated"\nbreaker_type = "GFCI"\nfirst_outlet = "AFCI"\nbreaker_a = "20 A"\noutlets = ["Outlet"]\n'
    )
    job = parse_job(text.encode())
    assert job.dwelling is not None
    assert (job.dwelling.kind, job.dwelling.floor_area_ft2) == ("one-family", 1700)
    assert (job.loads[0].kind, job.loads[0].volts, job.loads[0].load_va, job.loads[0].status) == (
        "disposer",
        120,
        900,
        "existing",
    )
    assert (job.loads[1].kind, job.loads[1].load_va) == ("ev-supply", 11_520)
    circuit = job.circuits[0]
    assert (circuit.breaker_type, circuit.first_outlet, circuit.breaker_a) == ("ground-fault", "arc-fault", 20)
    assert (circuit.purpose, circuit.outlets, job.rooms[0].use) == ("individual", ("receptacles",), "outdoors")


def test_a_file_keeps_the_words_that_were_not_changed(tmp_path: Path) -> None:
    file = tmp_path / "house.toml"
    text = HEAD + LOAD + 'kind = "Disposal" # under the sink\nvolts = "120 V"\nload_va = "0.9 kW"\n'
    file.write_text(text)
    job = save_job(changed(read_job(file), {"loads[1].status": "existing"}))
    assert job.loads[0].load_va == 900
    assert file.read_text() == text + 'status = "existing"\n'


def test_a_spreadsheet_says_it_as_the_trade_does(tmp_path: Path) -> None:
    table = tmp_path / "loads.csv"
    table.write_text('name,kind,volts,load_va\nRange,stove,240 V,12 kW\nDryer,dryer,240,"5,000 W"\n')
    job = import_parts(parse_job(HEAD.encode()), "loads", table)
    assert [(load.kind, load.volts, load.load_va) for load in job.loads] == [
        ("range", 240, 12_000),
        ("dryer", 240, 5000),
    ]
    table.write_text("name,kind,volts,load_va\nRange,stove,240 V,50 A\n")
    with pytest.raises(JobError, match=r"column load_va.*write it in VA, W, kVA or kW"):
        import_parts(parse_job(HEAD.encode()), "loads", table)


def test_a_word_has_one_meaning_in_a_field_and_every_word_has_one() -> None:
    """A word that could mean two choices of a field would be guessed; one that no field takes says nothing."""
    listed = tomllib.loads((Path(trade.__file__).with_suffix(".toml")).read_text("utf-8"))["said"]
    used: set[tuple[str, str]] = set()
    for part in all_parts(Job):
        for name in keys_of(part):
            choices = [str(one) for one in field_info(part, name).choices]
            said = [(trade.choice(word, choices), word) for means in choices for word in listed.get(means, ())]
            words = [word.casefold() for _, word in said]
            assert len(set(words)) == len(words), (part.__name__, name)
            assert not {word for word in words if word in choices}, (part.__name__, name)
            used |= {(str(means), word) for means, word in said}
    assert used == {(means, word) for means, words in listed.items() for word in words}


def test_short_names_stand_beside_the_long_ones_that_are_allowed() -> None:
    with pytest.raises(
        JobError, match=r'"arc-fault" \(AFCI\), "ground-fault" \(GFCI\), "dual-function" \(AFCI and GFCI\)'
    ):
        parse_job((HEAD + '[[circuits]]\nname = "C"\npurpose = "general"\nbreaker_type = "special"\n').encode())


def test_each_unit_of_a_key_reads_its_own_name() -> None:
    units = {field_info(part, name).unit for part in all_parts(Job) for name in keys_of(part)} - {""}
    for unit in units - {"ft", "in"}:  # lengths have a reader of their own
        assert trade.quantity(f"7 {unit}", unit) == 7, unit


def test_kilowatts_typed_as_volt_amperes_are_still_told() -> None:
    load = HEAD + LOAD + 'kind = "range"\nvolts = 240\nload_va = {}\n'
    with pytest.raises(JobError, match=r"11\.5 kW, which is written 11500"):
        parse_job(load.format('"11.5 VA"').encode())
    assert not notices(parse_job(load.format('"11.5 kW"').encode()))


COMMENTED = re.compile(r"# (\[\[?[\w.]+\]\]?|[a-z_0-9]+ = .+)")


def commented(text: str) -> Iterator[str]:
    """The text with each of its commented entries uncommented in turn, beside those right above it; a table as a whole."""
    lines = text.splitlines()
    begin = 0
    for at, line in enumerate(lines):
        if not COMMENTED.fullmatch(line):
            begin = at + 1
        elif not (lines[begin].startswith("# [") and COMMENTED.fullmatch([*lines, ""][at + 1])):
            yield "\n".join(line[2:] if begin <= n <= at else line for n, line in enumerate(lines))


@pytest.mark.parametrize("name", sorted(starters()))
def test_each_comment_of_a_starter_can_be_uncommented_as_it_is(name: str) -> None:
    tried = list(commented(new_job("A house", name)))
    assert tried
    for text in tried:
        assert parse_job(text.encode())


def test_an_entry_left_blank_is_left_out() -> None:
    assert parse_job((HEAD + 'permit_number = ""\n').encode()).job.permit_number is None
    with pytest.raises(JobError, match='name is ""'):
        parse_job(HEAD.replace("House", "").encode())


@pytest.mark.parametrize(
    ("entry", "said", "means"),
    [
        ("loads.kind", "bath fan", "fan"), ("loads.kind", "microwave hood", "microwave"), ("loads.kind", "HPWH", "heat-pump-water-heater"),
        ("loads.kind", "baseboard heater", "space-heat"), ("rooms.use", "master bath", "bathroom"), ("rooms.use", "WIC", "clothes-closet"),
        ("rooms.use", "entry", "foyer"), ("rooms.use", "back yard", "outdoors"), ("circuits.breaker_type", "CAFCI", "arc-fault"),
        ("circuits.breaker_type", "GFPE", None), ("circuits.purpose", "exterior", "outdoor"), ("runs.wiring_method", "BX", "AC"), ("runs.wiring_method", "NM cable", "NM"),
        ("runs.wiring_method", "thinwall", "EMT"), ("runs.wiring_method", "rigid conduit", "RMC"), ("runs.wiring_method", "PVC", None),
        ("grounding.electrodes.kind", "CEE", "footing"), ("grounding.electrodes.kind", "ground rods", "rod"),
        ("dwelling.kind", "SFD", "one-family"), ("dwelling.kind", "duplex", "two-family"), ("runs.wiring_method", "conduit", None),
        ("rooms.use", "mudroom", None), ("runs.location", "outdoors", None), ("rooms.use", "outside", "outdoors"),
    ],
)  # fmt: skip
def test_a_trade_word_means_one_choice_and_what_may_be_two_means_none(entry: str, said: str, means: str | None) -> None:
    """PVC is schedule 40 or 80, and protection of equipment is none of people: neither is guessed."""
    part, key = field_at(entry)
    choices = field_info(part, key).choices
    assert trade.choice(said, choices) == (said if means is None else means)


@pytest.mark.parametrize(
    ("entry", "which"),
    [
        ('wiring_method = "PVC"', "PVC-40 or PVC-80"),
        ('wiring_method = "conduit"', "EMT or IMC or RMC or PVC-40 or PVC-80"),
        ('location = "outdoors"', "damp or wet"),
    ],
)
def test_a_word_for_several_choices_asks_which(entry: str, which: str) -> None:
    text = HEAD + f'[[runs]]\nname = "R"\nrole = "branch"\nvolts = 240\n{entry}\n'
    with pytest.raises(JobError, match=f"write which: {which}"):
        parse_job(text.encode())
