"""A key's stem is its line's entry in the words; its item, from a job's own words, comes back as it went in."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.work.keys import item_of, keyed, stem_and_item, stem_of


@pytest.mark.parametrize("item", ["", "sink box", "Range [old]", "[", "a]b", "box 3]]"])
def test_an_item_may_have_brackets_of_its_own(item: str) -> None:
    key = keyed("required_in3", item)
    assert stem_and_item(key) == (stem_of(key), item_of(key)) == ("required_in3", item)


@given(st.text(max_size=20))
def test_any_item_comes_back(item: str) -> None:
    assert item_of(keyed("fastened_va", item)) == item
