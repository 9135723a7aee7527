"""What the sample jobs come to: how many of each check pass, fall short or stay open, and what is said beside.

``comes_to.toml`` holds it by sample and family. A check that turns, a note that is no longer said or said anew shows there;
a meant change is written by ``python -m tests.families.comes_to``. Read the difference before you commit it.
"""

from __future__ import annotations

import functools
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from calc.job import read_job
from calc.wiring.house import House
from calc.work import Sheet
from tests.families.cited import sheets_of

SAMPLES = sorted((Path(__file__).parents[1] / "samples").glob("*.toml"))
FENCE = Path(__file__).parent / "comes_to.toml"
HEAD = "# What each sample comes to, by family and key. Written by: python -m tests.families.comes_to\n"
ORDER = ("pass", "short", "open", "said", "not shown", "not worked")

Found = dict[str, dict[str, str]]


@contextmanager
def _named() -> Iterator[dict[str, str]]:
    """The key of each note that is made meanwhile, by its text."""
    keys: dict[str, str] = {}

    def noting(plain: Any, last: Any) -> Any:
        @functools.wraps(plain)
        def noted(self: Sheet, key: str, **fill: str) -> None:
            plain(self, key, **fill)
            keys[last(self)] = key

        return noted

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Sheet, "caution", noting(Sheet.caution, lambda sheet: sheet.cautions[-1]))
        patch.setattr(Sheet, "remark", noting(Sheet.remark, lambda sheet: sheet.remarks[-1][1]))
        yield keys


def comes_to(path: Path) -> Found:
    """What a sample comes to: by family and key, how many of each."""
    counts: dict[str, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    with _named() as keys:
        for sheet in sheets_of(House.of(read_job(path))):  # anew, so that each note is made here
            of = counts[sheet.family]
            for check in sheet.checks:
                of[check.key.partition("[")[0]]["pass" if check.holds.holds else "short"] += 1
            for unknown in sheet.unknowns:
                of[unknown.key.partition("[")[0]]["open"] += 1
            for text in (*sheet.cautions, *(text for _, text in sheet.remarks)):
                of[keys.get(text, "other_note")]["said"] += 1
            if sheet.refused is not None:
                of["sheet"][sheet.refused.status] += 1
    return {
        family: {key: ", ".join(f"{found[what]} {what}" for what in ORDER if found[what]) for key, found in of.items()}
        for family, of in counts.items()
    }


def fence() -> dict[str, Found]:
    """As it was when it was last looked at, by sample."""
    found: dict[str, Found] = tomllib.loads(FENCE.read_text(encoding="utf-8"))
    return found


def text() -> str:
    """As it is now."""
    out = [HEAD]
    for path in SAMPLES:
        for family, keys in sorted(comes_to(path).items()):
            out.append(f"\n[{path.stem}.{family}]\n")
            out += [f'{key} = "{said}"\n' for key, said in sorted(keys.items())]
    return "".join(out)


if __name__ == "__main__":
    FENCE.write_text(text(), encoding="utf-8")
