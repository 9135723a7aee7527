"""The rules of the codebook and the families that ask for them."""

from __future__ import annotations

import pytest

from calc.codebook import editions, open_codebook
from calc.codebook.files import edition
from calc.families import families
from tests.everything import finished, recorded


@pytest.mark.parametrize("name", editions())
def test_every_rule_that_a_family_asks_for_is_there_or_declared_absent(name: str) -> None:
    """Asked under any edition, it stands in each one: with something to say, or with the reason for its absence."""
    rules = edition(name).rules
    for asked in sorted({rule for _, rule in recorded().rules}):
        assert asked in rules, asked
        assert rules[asked].absent or rules[asked].words, asked


@pytest.mark.parametrize("name", editions())
def test_every_rule_is_asked_for_under_some_edition(name: str) -> None:
    """A rule that no family asks for says nothing to anybody. Held once all families are finished."""
    if unfinished := [family for family in families() if not finished(family)]:
        pytest.skip(f"families without a notebook yet: {', '.join(unfinished)}")
    asked = {rule for _, rule in recorded().rules}
    unused = set(edition(name).rules) - asked
    assert not unused, f"no family asks for {sorted(unused)} in any job of tests/everything.py"


def test_an_unknown_rule_is_named_with_its_nearest() -> None:
    with pytest.raises(Exception, match=r"no rule 'unit_lod'.*unit_load"):
        _ = open_codebook("2023")["unit_lod"]
