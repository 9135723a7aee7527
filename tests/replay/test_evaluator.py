"""The replay of whole sheets: it accepts right ones, names what is wrong, and lets no mutation pass."""

import ast
import sys
from pathlib import Path
from typing import Any

import pytest

from calc.work import STATUSES
from tests.replay.evaluator import assert_replays, replay_sheet, replaying
from tests.replay.mutations import assert_mutations_caught, mutate
from tests.replay.quantities import Fault, printed_quantity
from tests.replay.tables import check_unit


def line(key: str, numbers: str, result: str, number: float | None = None, **more: Any) -> dict[str, Any]:
    digits, unit = printed_quantity(result)
    base = {"key": key, "kind": "worked", "name": key, "formula": "", "numbers": numbers, "result": result}
    base |= {"value": float(digits.replace(",", "")) if number is None else number, "unit": unit}
    return base | {"sections": [], "marks": [], "uses": [], "lookup": None, "reason": "Because."} | more


def check(provided: str, required: str, passes: bool, key: str = "enough", **more: Any) -> dict[str, Any]:
    sides = {}
    for side, text in (("provided", provided), ("required", required)):
        digits, word = printed_quantity(text)
        sides[side] = {"name": side, "numbers": text, "value": float(digits.replace(",", "")), "unit": word}
    return {
        "key": key,
        "name": key,
        "text": f"{provided} provided, {required} required",
        **sides,
        "sign": ">=",
        "passes": passes,
        "sections": [],
        "marks": [],
        "remedy": "",
        "reason": "",
    } | more


def sheet(*lines: dict[str, Any], checks: tuple[dict[str, Any], ...] = (), **more: Any) -> dict[str, Any]:
    numbered = [{"number": place} | entry for place, entry in enumerate(lines, start=1)]
    base = {
        "schema_version": 2,
        "family": "test",
        "title": "",
        "subject": "",
        "edition": "2023",
        "amendments": [],
    }
    base |= {
        "lines": numbered,
        "checks": list(checks),
        "not_shown": [],
        "status": "passes" if all(each["passes"] for each in checks) else "falls short",
        "results": {},
        "givens": [],
        "rules": [],
        "cautions": [],
    }
    return base | {"notes": [], "refused": None} | more


def load_sheet() -> dict[str, Any]:
    """A small dwelling load with every kind of line."""
    return sheet(
        line("floor_area_ft2", "", "3,240 ft2"),
        line("lighting_va", "3,240 ft2 x 3 VA/ft2", "9,720 VA", uses=["floor_area_ft2"], marks=[1]),
        line("demand_va", "3,000 VA x 100 % + 6,720 VA x 35 %, portions of 9,720 VA", "5,352 VA",
             uses=["lighting_va"]),
        line("appliances", "", "3 appliance", kind="replaced"),
        line("cooking_pct", "", "55 %", kind="looked up", uses=["appliances"],
             lookup={"table": "cooking", "row": {"appliances": 3}, "column": "b_pct"}),
        line("cooking_va", "24 kW x 55 % x 1,000 VA/kW", "13,200 VA", uses=["cooking_pct"]),
        line("total_a", "(5,352 VA + 13,200 VA) / 240 V", "77.3 A", 77.3, uses=["demand_va", "cooking_va"]),
        line("service_rating_a", "", "100 A", kind="looked up", uses=["total_a"],
             lookup={"table": "ratings", "row": {"at_least": 77.3}, "column": "rating_a"}),
        line("gap_in", "24 in is at most 24 in; 25 in is more than 24 in", "24 in", kind="found"),
        checks=(check("100 A", "77.3 A", True), check("60 A", "77.3 A", False, "old panel")),
        results={"total_a": 77.3, "service_rating_a": 100.0, "passes": False, "from_memory": ["lighting_va"]},
        givens=[{"name": "floor area", "value": 3240, "text": "3,240 ft2", "at": "dwelling.floor_area_ft2"}],
        notes=[{"mark": 1, "kind": "from memory", "text": "check the code book"}],
    )  # fmt: skip


@pytest.fixture
def tables(tmp_path: Path) -> Path:
    (tmp_path / "cooking.csv").write_text(
        "# household cooking\nappliances_from,appliances_to,b_pct\n1,1,80\n2,2,65\n3,3,55\n4,,50\n"
    )
    (tmp_path / "ratings.csv").write_text("# standard ratings\nrating_a\n200\n60\n100\n77\n")
    (tmp_path / "grounds.csv").write_text(
        "size,material,from,to,ground\n4/0,cu,0,100,8\n4/0,al,0,100,6\n4/0,al,100,,4\n"
    )
    return tmp_path


def test_good_sheet_replays(tables: Path) -> None:
    assert replay_sheet(load_sheet(), tables) == []


def test_mutations_caught(tables: Path) -> None:
    """Of 9 lines 18 results, 18 values, 12 of both (4 worked, 2 looked up); 2 named results; 2 verdicts."""
    assert assert_mutations_caught(load_sheet(), tables) == 18 + 18 + 12 + 2 + 2
    text = sheet(line("kind", "", "8", kind="found") | {"value": None, "result": "open"}, results={"kind": "open"})
    assert assert_mutations_caught(text) == 1


def test_tie_is_no_mutation() -> None:
    """2.5 printed as 3: the neighbour 2 is a right rounding, 4 is not."""
    tied = sheet(line("load_va", "5 VA / 2", "3 VA", 2.5))
    spoiled = [what for what, _ in mutate(tied)]
    assert spoiled == ["load_va: result 4 VA", "load_va: result and value 4 VA", "load_va: value 1.5"]
    assert assert_mutations_caught(tied) == 3


def test_uncaught_mutation_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet with nothing to mutate proves nothing, and a replay that lets everything pass is found out."""
    with pytest.raises(AssertionError, match="nothing to mutate"):
        assert_mutations_caught(sheet())
    monkeypatch.setattr("tests.replay.mutations.replay_sheet", lambda *_: [])
    with pytest.raises(AssertionError, match="still replay: floor_area_ft2: result 3,241 ft2"):
        assert_mutations_caught(load_sheet())


COOKING = {"table": "cooking", "row": {"appliances": 3}, "column": "b_pct"}
SPOILED = {
    "wrong arithmetic": (1, {"numbers": "3,240 ft2 x 4 VA/ft2"}, "comes to 12960.0"),
    "wrong dimension": (1, {"numbers": "3,240 ft2 x 3"}, "don't come out in VA"),
    "unit of result": (1, {"result": "9,720 kVA"}, "doesn't print"),
    "unit of key": (1, {"unit": "kVA", "result": "9,720 kVA"}, "doesn't end in its unit"),
    "no unit in key": (1, {"key": "lighting"}, "doesn't end in its unit"),
    "unreadable": (1, {"result": "about 9,720 VA"}, "not a number with a unit"),
    "value": (1, {"value": 9719.4}, "doesn't print"),
    "no value": (1, {"value": None}, "needs a number"),
    "not finite": (1, {"value": float("nan")}, "finite"),
    "infinite": (1, {"value": float("inf")}, "finite"),
    "number": (1, {"number": 3}, "is numbered 3"),
    "kind": (1, {"kind": "guessed"}, "unknown kind"),
    "mark": (1, {"marks": [2]}, "without a note"),
    "key twice": (1, {"key": "demand_va"}, "stands twice"),
    "later line": (1, {"uses": ["demand_va"]}, "no earlier line"),
    "itself": (1, {"uses": ["lighting_va"]}, "no earlier line"),
    "other operand": (1, {"numbers": "3,239.5 ft2 x 3 VA/ft2 + 1.5 VA"}, "doesn't print its 3240"),
    "operand's unit": (6, {"numbers": "(5,352 V x 1 A + 13,200 VA) / 240 V"}, "uses 'demand_va' but"),
    "text": (8, {"value": "25 in"}, "'25 in' doesn't print"),
    "no given": (0, {"value": 3241, "result": "3,241 ft2"}, "is no given"),
    "lacks": (1, {"lookup": None, "kind": "looked up"}, "names no table"),
    "cell": (4, {"result": "60 %", "value": 60.0}, "the table says 55"),
    "cell rounded": (4, {"value": 55.1}, "the table says 55"),
    "other row": (4, {"lookup": COOKING | {"row": {"appliances": 4}}}, "chose no row"),
    "no such table": (4, {"lookup": COOKING | {"table": "baking"}}, "no table file"),
    "no such column": (4, {"lookup": COOKING | {"column": "c_pct"}}, "no column"),
    "no such key": (4, {"lookup": COOKING | {"row": {"ovens": 3}}}, "no column 'ovens'"),
    "column's unit": (4, {"lookup": COOKING | {"column": "b_kw"}}, "end in its unit"),
    "size skipped": (7, {"result": "200 A", "value": 200.0}, "the table says 100"),
    "not found so": (8, {"numbers": "24 in is at most 24 in; 24 in is more than 24 in"}, "doesn't hold"),
}  # fmt: skip


@pytest.mark.parametrize("name", SPOILED)
def test_spoiled_line_named(name: str, tables: Path) -> None:
    """Each kind of fault is found and said."""
    place, changes, said = SPOILED[name]
    spoiled = load_sheet()
    spoiled["lines"][place] |= changes
    assert any(said in fault for fault in replay_sheet(spoiled, tables))


@pytest.mark.parametrize("place", ["lines", "checks"])
def test_missing_field_is_a_fault(place: str) -> None:
    """Every field of the public format is asked for, in the sheet, its lines and its checks."""
    for field in load_sheet()[place][0]:
        spoiled = load_sheet()
        del spoiled[place][0][field]
        assert any(f"lacks {field!r}" in fault for fault in replay_sheet(spoiled))
    for field in load_sheet():
        spoiled = load_sheet()
        del spoiled[field]
        assert replay_sheet(spoiled) == [f"sheet '' lacks {field!r}"]


def test_checks_and_results() -> None:
    """A verdict, a named result or a note that says something else."""
    for part, changes, said in (
        ("checks", check("100 A", "77.3 kA", True), "different kinds"),
        ("checks", check("100 A", "77.3 A", True, text=""), "expected a quantity"),
        ("checks", check("60 A", "77.3 A", True), "is False, the sheet says True"),
        ("checks", check("100 A", "77.3 A", True, text="100 A provided, 77 A required"), "doesn't say '77.3 A'"),
        ("checks", check("100 A", "77.3 A", True, text="not met"), "'not met' is False, the sheet says True"),
        ("checks", check("100 A", "77.3 A", True, sign="<="), "100 A <= 77.3 A is not True"),
        ("checks", check("100 A", "77.3 A", True, sign="=="), "no sign"),
        (
            "checks",
            check("100 A", "77.3 A", True) | {"required": {"numbers": "77.3 A", "value": 77.4, "unit": "A"}},
            "77.4 A doesn't print as '77.3 A'",
        ),
    ):
        assert any(said in fault for fault in replay_sheet(load_sheet() | {part: [changes]}))
    for results, said in (
        ({"total_a": 77.4}, "the sheet says 77.3"),
        ({"other_a": 77.3}, "is no line"),
        ({"passes": True}, "the sheet says False"),
        ({"passes": 0}, "the sheet says False"),
        ({"refused": "no such rule"}, "the sheet says None"),
        ({"from_memory": ["lighting_va", "lamps"]}, "names lamps"),
    ):
        assert any(said in fault for fault in replay_sheet(load_sheet() | {"results": results}))
    assert "a note of unknown kind" in replay_sheet(
        load_sheet() | {"notes": [{"mark": 1, "kind": "hunch", "text": ""}]}
    )
    rule = {"rule": "unit_load", "marks": [7]}
    assert "unit_load: a mark without a note" in replay_sheet(load_sheet() | {"rules": [rule]})


def test_a_state_is_what_stands_on_the_sheet() -> None:
    """A shortfall decides; then what isn't worked; an entry that is missing is neither met nor unmet."""
    open_question = [{"key": "arc_fault", "marks": []}]
    outside = {"reason": "no rule here", "sections": [], "missing": None}
    for changes, status in (
        ({}, "passes"),
        ({"not_shown": open_question}, "not shown"),
        ({"refused": outside | {"missing": "circuits[3].rooms"}}, "not shown"),
        ({"refused": outside, "not_shown": open_question}, "not worked"),
    ):
        found = {other: replay_sheet(sheet(status=other, **changes)) for other in STATUSES}
        assert found.pop(status) == []
        assert all(f"by what stands on it {status!r}" in faults[0] for faults in found.values())
    assert "by what stands on it 'falls short'" in replay_sheet(load_sheet() | {"status": "passes"})[0]


def test_table_rows(tables: Path) -> None:
    """Several keys, text cells, bands, a named file, past the end; a shared bound is the first row's."""
    for row, said in (
        ({"size": "4/0", "material": "cu", "at": 10}, None),
        ({"size": "4/0", "material": "al", "at": 10}, "says 6"),
        ({"size": "4/0", "material": "al", "at": 100}, "says 6"),
        ({"size": "4/0", "material": "al", "at": 101}, "says 4"),
        ({"size": "4/0", "material": "cu", "at": 101}, "no cell"),
    ):
        lookup = {"table": "egc", "file": "grounds.csv", "row": row, "column": "ground"}
        entry = line("ground", "", "8", kind="looked up", lookup=lookup)
        for shown in (entry, entry | {"value": None}):
            faults = replay_sheet(sheet(shown), tables)
            assert faults == [] if said is None else said in faults[0]


@pytest.mark.parametrize(
    ("key", "word", "right"),
    [
        ("demand_va", "VA", True),
        ("demand_va", "kVA", False),
        ("drop_pct", "%", True),
        ("base_kw_per_appliance", "kW/appliance", True),
        ("base_kw_per_appliance", "kW", False),
        ("dc_ohm_per_kft", "ohm/kft", True),
        ("circuits_15a", "circuit", True),
        ("circuits_15a", "A", False),
        ("factor", "", True),
    ],
)
def test_unit_of_a_key(key: str, word: str, right: bool) -> None:
    """The last word of a line's key or a table's column is its unit; counts and plain numbers need none."""
    if right:
        check_unit(key, word)
    else:
        with pytest.raises(Fault):
            check_unit(key, word)


def test_past_the_last_size(tables: Path) -> None:
    """Beyond the table there is no next standard size."""
    lookup = {"table": "ratings", "row": {"at_least": 200.1}, "column": "rating_a"}
    assert "no cell" in replay_sheet(sheet(line("rating_a", "", "200 A", kind="looked up", lookup=lookup)), tables)[0]


def test_hook_replays_each_sheet_made() -> None:
    """The wrapper hands good sheets through and fails on the first bad one, naming its lines."""
    made = iter([load_sheet(), load_sheet() | {"results": {"total_a": 1.0}}])
    make = replaying(lambda: next(made))
    assert make() == load_sheet()
    with pytest.raises(AssertionError, match=r"results: 'total_a' is 1\.0"):
        make()
    assert_replays(load_sheet())


def test_independent() -> None:
    """The replay imports the standard library, pint and itself: nothing of the program."""
    allowed = {*sys.stdlib_module_names, "pint", "tests.replay"}
    for name in ("evaluator", "grammar", "quantities", "tables", "mutations"):
        tree = ast.parse(Path(__file__).with_name(f"{name}.py").read_text(encoding="utf-8"))
        plain = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
        parts = {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        assert {module if module in allowed else module.rpartition(".")[0] for module in plain | parts} <= allowed
