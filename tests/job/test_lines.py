"""Every key of a TOML text is found on its line."""

import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from calc.job.lines import key_lines
from calc.job.places import Loc

TRICKY = '''\
# a comment with [brackets] and "quotes"
top = 1
[a.b]                     # 3
c.d = "x = [1]"
"quoted key" = \'\'\'
[not.a.table]
\'\'\'
list = [ # 8
  1,
  { x = 10, "y z" = [2, 3] },
  "]",
]
[[t]]
s = """
[[t]]
\\"""
"""
[[t.u]]                   # 18
k = 1979-05-27 07:32:00
[[t]]
[[t.u]]
[[t.u]]
[t.u.v]
w = true
'''


def test_a_tricky_file() -> None:
    tomllib.loads(TRICKY)
    lines = key_lines(TRICKY)
    wanted: dict[Loc, int] = {
        ("top",): 2,
        ("a", "b"): 3,
        ("a", "b", "c", "d"): 4,
        ("a", "b", "quoted key"): 5,
        ("a", "b", "list"): 8,
        ("a", "b", "list", 0): 9,
        ("a", "b", "list", 1, "x"): 10,
        ("a", "b", "list", 1, "y z", 1): 10,
        ("a", "b", "list", 2): 11,
        ("t", 0): 13,
        ("t", 0, "s"): 14,
        ("t", 0, "u", 0, "k"): 19,
        ("t", 1): 20,
        ("t", 1, "u", 0): 21,
        ("t", 1, "u", 1, "v", "w"): 24,
    }
    assert {loc: lines.get(loc) for loc in wanted} == wanted


KEYS = st.sampled_from(["a", "b-1", "c_2", '"d e"', "'f.g'", '"h\\"i"'])
VALUES = st.sampled_from(
    [
        *("1", "-2.5", "true", '"x"', "'y'", '"# no comment"', '"\\"]"', "'[z]'", "2026-01-02", "07:32:00"),
        *("[]", "[1, 2]", '["a", [1, [2]]]', "{}", '{ k = 1, "l m" = [2] }', "[{ n = 1 }, { n = 2 }]"),
        *('"""a\n[b]\nc = 1"""', "'''\n]'''", '""""q"""""', "[ # c\n 1,\n\n 2, ]", '"""\\"""x"""'),
    ]
)


@st.composite
def documents(draw: st.DrawFn) -> str:
    """Random tables, arrays of tables and values."""
    blocks = [""]
    for number in range(draw(st.integers(0, 6))):
        name = draw(
            st.sampled_from(["[[list]]", f"[t{number}]", f"[t{number}.u]", "[[list]]\n[list.sub]", f"[[m.n{number}]]"])
        )
        blocks.append(name + draw(st.sampled_from(["", "  # note", " "])))
    text = ""
    for block in blocks:
        text += block + "\n" if block else ""
        for key in draw(st.lists(KEYS, unique=True, max_size=4)):
            text += f"{key} = {draw(VALUES)}{draw(st.sampled_from(['', ' # x = 1', '  ']))}\n"
            text += draw(st.sampled_from(["", "\n", "# [c]\n"]))
    return text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))


def paths(data: Any, loc: Loc = ()) -> list[Loc]:
    """Every place in the data."""
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [loc, *(p for key, value in inner for p in paths(value, (*loc, key)))]


@given(documents())
def test_every_place_has_a_line_and_the_line_holds_it(text: str) -> None:
    data = tomllib.loads(text)
    lines = key_lines(text)
    assert set(lines) == set(paths(data)) - {()}
    rows = text.split("\n")
    for loc, line in lines.items():
        if isinstance(loc[-1], str) and loc[-1].isidentifier():
            assert loc[-1] in rows[line - 1]


@given(documents(), st.integers(1, 50))
def test_blank_lines_ahead_move_every_line(text: str, blank: int) -> None:
    assert key_lines("\n" * blank + text) == {loc: n + blank for loc, n in key_lines(text).items()}
