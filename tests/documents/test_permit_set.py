"""What stands in the permit set: every check counted once, the governing one named, corrections for all that is open."""

from __future__ import annotations

import pytest

from calc.documents.house import amounts
from calc.documents.permit import permit_set
from calc.documents.permit.additions import markings
from calc.documents.permit.compliance import margins, without_margin
from calc.documents.permit.corrections import corrections
from calc.documents.permit.front import verdict
from calc.documents.permit.rests import rests_on
from calc.documents.permit.service import service_facts
from calc.remedies.problem import problems
from calc.remedies.survey import survey
from calc.work.document import Sentences
from calc.work.table import Table
from tests.documents.houses import DEMO, demo, with_changes


@pytest.mark.parametrize(("name", "across"), [("fernhollow-lot-14", 2), ("tinkers-row-4", 3)])
def test_compliance_counts_every_check_of_the_scope_once(name: str, across: int) -> None:
    """With or without a margin; a table that stands beside another never ends with a heading nor begins without one."""
    _, stands = demo(name)
    table, *others = (margins(stands), *without_margin(stands))
    assert table is not None
    with_margin = sum(int(row[2].split(" of ")[1]) for row in table.rows)
    listed = sum(int(row[1].split(" of ")[1]) for part in others for row in part.rows if len(row) > 1)
    assert with_margin + listed == sum(len(s.checks) for sheets in stands.sheets.values() for s in sheets)
    assert [len(part.rows[0]) for part in others] == [1] * across
    assert [len(part.rows[-1]) for part in others] == [2] * across


@pytest.mark.parametrize("name", DEMO)
def test_no_kind_of_check_is_named_with_an_ellipsis_or_an_article_before_each(name: str) -> None:
    """The kind of several is called after any of them: 'a switch at each', not 'a switch at the …'."""
    _, stands = demo(name)
    table, others = margins(stands), without_margin(stands)
    names = [row[1] for row in table.rows] if table else []
    names += [row[0] for part in others for row in part.rows]
    assert [each for each in names if "…" in each or "the each" in each or "{" in each] == []


def test_a_limit_says_whether_it_is_the_least_or_the_most() -> None:
    _, stands = demo("fernhollow-lot-14")
    table = margins(stands)
    assert table is not None
    limits = {row[1]: row[-2] for row in table.rows}
    assert limits["Service serves the calculated load"] == "at least 252 A"
    assert limits["Drop within what is required for the run"] == "at most 3 %"


def test_the_governing_member_is_the_one_with_the_least_left() -> None:
    _, stands = demo("fernhollow-lot-14")
    table = margins(stands)
    assert table is not None
    row = next(row for row in table.rows if row[1] == "Box is large enough")
    shares = [
        (amounts.share_used(c) or 0, s.subject)
        for s in stands.sheets["box-fill"]
        for c in s.checks
        if c.key.startswith("volume")
    ]
    assert row[3] == max(shares)[1]
    assert row[-1] == amounts.left(max(shares)[0])


def test_what_falls_short_is_counted_as_such_and_never_among_what_is_met() -> None:
    """A box that is too small shows in its row with less than nothing left."""
    _, stands = with_changes("fernhollow-lot-14", {"boxes[1].marked_in3": 5})
    assert not stands.passes
    table = margins(stands)
    assert table is not None
    row = next(row for row in table.rows if row[1] == "Box is large enough")
    passed, total = map(int, row[2].split(" of "))
    assert passed == total - 1
    assert row[-1].startswith("-")


def test_every_thing_that_is_open_has_a_correction_or_comes_right_with_one() -> None:
    house, stands = demo("cask-lane-27-new-service")
    table = next(part for part in corrections(house) if isinstance(part, Table))
    rows = [row for row in table.rows if len(row) > 1]
    text = " ".join(cell for row in rows for cell in row).lower()
    assert [each.what for each in stands.open if each.what.partition(":")[0].lower() not in text] == []
    assert all(row[3] for row in rows)
    assert len([name for name in table.sheets if name]) == len(rows)


@pytest.mark.parametrize("name", ["fernhollow-lot-12", "cask-lane-27-new-service"])
def test_page_1_names_what_is_worst_as_the_corrections_have_it(name: str) -> None:
    """The first that is named is the first correction, and all that is open is counted."""
    house, stands = demo(name)
    first = next(problem for problem in problems(survey(house)) if not problem.open)
    said = verdict(house, stands).details[0]
    assert said.lower().startswith(f"{first.about}: {first.what}".lower())
    assert f"and {len(stands.open) - 3} more" in said
    table = next(part for part in corrections(house) if isinstance(part, Table))
    row = next(row for row in table.rows if row[0] == "1")
    assert first.what in " ".join(row).lower() or first.about in row[1]


def test_a_marking_that_no_equipment_states_has_no_empty_column_and_is_named() -> None:
    table = markings(*demo("cask-lane-27"))
    assert table is not None
    assert all(any(row[at] for row in table.rows) for at in range(len(table.columns)))
    assert table.notes == ["Not stated: least circuit, largest breaker, set to, disconnect in sight."]


def test_what_the_verdict_rests_on_is_told() -> None:
    """Local amendments with their words, values from memory by section, what to see to on the spot, what is not covered."""
    house, stands = demo("fernhollow-lot-14")
    parts = {part.title: " ".join(part.texts) for part in rests_on(house, stands) if isinstance(part, Sentences)}
    assert "two rods are driven wherever one is" in parts["Local amendments in force: Marrow Creek amendments to 2023"]
    assert "(110.9)" in parts["Values from memory, to be checked against the code book"]
    assert "Nameplates of the equipment" in parts["To verify on site"]
    assert "Arcing faults" in parts["Not covered"]


def test_the_service_is_told_where_the_scope_has_it_and_not_elsewhere() -> None:
    assert (
        dict(service_facts(*demo("fernhollow-lot-14")))["Grounding electrode conductor"]
        == "4 AWG to concrete-encased electrode"
    )
    assert service_facts(*demo("cask-lane-27")) == []


def test_the_service_conductors_of_a_whole_dwelling_name_the_share_that_they_go_by() -> None:
    """R1: 360 A where 83 % of 400 A is asked for; a service of 125 A by the list, its size by its trade name."""
    said = dict(service_facts(*demo("fernhollow-lot-14")))["Service conductors"]
    assert said.endswith("ampacity 360 A, 400 A x 83 % = 332 A needed for a whole dwelling (310.12)")
    by_list = dict(service_facts(*demo("cask-lane-27-new-service")))["Service conductors"]
    assert "for this rating 1/0 AWG or larger by the list (310.12, Table 310.12(A))" in by_list
    assert "whole dwelling" not in dict(service_facts(*demo("tinkers-row-4")))["Service conductors"]


def test_the_set_of_a_house_says_what_machines_want_and_how_it_stands() -> None:
    house, stands = demo("fernhollow-lot-14")
    made = permit_set(house)
    assert made.figures["service_a"] == 400
    assert made.verdict["status"] == stands.status
    assert [section.title for section in made.sections][:2] == [
        "Verdict and load",
        "Compliance" if stands.passes else "Corrections",
    ]
