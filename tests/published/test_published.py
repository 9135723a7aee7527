"""Each published example is worked and compared to the digits that its source prints."""

from __future__ import annotations

import pytest

from tests.published.harness import Example, examples, outcomes


@pytest.mark.parametrize("example", examples(), ids=lambda e: f"{e.topic}-{e.id}-{e.subject}".rstrip("-"))
def test_agrees_with_its_source(example: Example) -> None:
    compared = list(outcomes(example))
    off = [f"{o.key}: source {o.expected}, ours {o.got}" for o in compared if not o.passed and not o.aside]
    assert not off, f"{example.source}: {'; '.join(off)}"
