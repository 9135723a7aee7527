"""Two people's entries in one job: what each changed is in it, and where both changed one place, both are told."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from calc.job.merge import Conflict, merged

BASE: dict[str, Any] = {
    "job": {"name": "hill"},
    "boxes": [{"name": "A", "in3": 18}, {"name": "B", "in3": 20}, {"name": "C", "in3": 22}],
}


def _with(**boxes: Any) -> dict[str, Any]:
    """The job with other boxes, by name; None takes one away."""
    rows = {row["name"]: row for row in BASE["boxes"]} | {n: v and {"name": n, **v} for n, v in boxes.items()}
    return {**BASE, "boxes": [row for row in rows.values() if row]}


@pytest.mark.parametrize(
    ("mine", "theirs", "result"),
    [
        (_with(A={"in3": 1}), _with(B={"in3": 2}), _with(A={"in3": 1}, B={"in3": 2})),
        (_with(D={"in3": 1}), _with(B={"in3": 2}), _with(B={"in3": 2}, D={"in3": 1})),
        (_with(A=None), _with(B={"in3": 2}), _with(A=None, B={"in3": 2})),
        (_with(A={"in3": 1}), _with(A=None), _with(A={"in3": 1})),
        (_with(A=None), _with(A={"in3": 2}), _with(A={"in3": 2})),
        (_with(A={"in3": 18, "room": "Hall"}), _with(A={"in3": 9}), _with(A={"in3": 9, "room": "Hall"})),
        ({**BASE, "job": {"name": "hill", "date": 1}}, {**BASE, "dwelling": {"ft2": 2}}, {**BASE, "job": {"name": "hill", "date": 1}, "dwelling": {"ft2": 2}}),
        ({"job": {"name": "hill"}}, BASE, {"job": {"name": "hill"}}),
    ],
    ids=["two entries", "one added", "one removed", "changed here, removed there", "removed here, changed there", "two fields of an entry", "other tables", "list removed"],
)  # fmt: skip
def test_what_each_changed_is_in_it(mine: dict[str, Any], theirs: dict[str, Any], result: dict[str, Any]) -> None:
    assert merged(BASE, mine, theirs) == (result, [])


def test_a_place_that_both_changed_is_a_conflict_and_keeps_what_is_mine() -> None:
    found, conflicts = merged(BASE, _with(B={"in3": 1}), _with(B={"in3": 2}))
    assert found == _with(B={"in3": 1})
    assert conflicts == [Conflict("boxes[2].in3", 1, 2)]


def test_a_name_that_one_changed_parts_no_entry() -> None:
    """One renames a box while the other changes its volume: it is one box, renamed and changed."""
    renamed = {**BASE, "boxes": [{"name": "Hall", "in3": 18}, *BASE["boxes"][1:]]}
    found, conflicts = merged(BASE, renamed, _with(A={"in3": 9}))
    assert found["boxes"] == [{"name": "Hall", "in3": 9}, *BASE["boxes"][1:]]
    assert conflicts == []


def test_an_order_that_one_changed_is_kept() -> None:
    moved = {**BASE, "boxes": [BASE["boxes"][n] for n in (2, 0, 1)]}
    for mine, theirs in ((moved, _with(D={"in3": 1})), (_with(D={"in3": 1}), moved)):
        found, _ = merged(BASE, mine, theirs)
        names = [box["name"] for box in found["boxes"]]
        assert [name for name in names if name != "D"] == ["C", "A", "B"]
        assert "D" in names


JOBS = st.dictionaries(
    st.sampled_from("ab"), st.lists(st.fixed_dictionaries({"name": st.sampled_from("xyz"), "v": st.integers(0, 2)}), min_size=1, max_size=3)
)  # fmt: skip


@given(JOBS, JOBS)
def test_where_only_one_changed_anything_it_is_what_that_one_has(base: dict[str, Any], other: dict[str, Any]) -> None:
    assert merged(base, other, base) == (other, [])
    assert merged(base, base, other) == (other, [])
    assert merged(base, other, other) == (other, [])


@given(JOBS, JOBS, JOBS)
@example(
    {"a": [{"name": "x", "v": 0}, {"name": "y", "v": 1}]},
    {"a": [{"name": "y", "v": 1}, {"name": "x", "v": 0}]},
    {"a": [{"name": "x", "v": 2}, {"name": "y", "v": 1}]},
)
def test_nothing_that_someone_entered_is_lost(
    base: dict[str, Any], mine: dict[str, Any], theirs: dict[str, Any]
) -> None:
    """A name that someone gave is in the result or in a conflict, and so is a value that someone changed.

    A row may have been renamed by the other: then its value stands under the new name.
    """
    found, conflicts = merged(base, mine, theirs)
    for data in (mine, theirs):
        for key, rows in data.items():
            asked = str([conflict for conflict in conflicts if conflict.at.startswith(key)])
            names, values = ({row[what] for row in found.get(key, [])} for what in ("name", "v"))
            was = base.get(key, [])
            for row in (row for row in rows if row not in was):
                known = [old for old in was if old["name"] == row["name"]]
                assert known or row["name"] in names or f"'{row['name']}'" in asked
                if row["v"] not in [old["v"] for old in was]:
                    assert row["v"] in values or str(row["v"]) in asked
                elif known and row["name"] in names:
                    assert row in found[key] or str(row["v"]) in asked
