"""What each line, check and open requirement rests on: the rules that it cites in the project's own job files.

``cited.toml`` holds them by family and key: those that it always cites, after a bar those that it cites where they come
into play, and after a semicolon that a check has its remedy ready even where it passes. A rule that a step no longer cites,
or cites anew, shows there; a meant change is written by ``python -m tests.families.cited``. Read the difference before you
commit it.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from calc.families import families
from calc.wiring.house import House
from calc.work import Sheet
from calc.work.sheet import Check, Line, Unknown
from tests import houses

ROOT = Path(__file__).parents[2]
FOLDERS = ("notebooks/jobs", "templates/jobs", "tests/samples")
FILES = [path for folder in FOLDERS for path in sorted((ROOT / folder).glob("*.toml"))]
FENCE = Path(__file__).parent / "cited.toml"
HEAD = "# Rules that each key cites: always | sometimes; remedy ready. Written by: python -m tests.families.cited\n"

Key = tuple[str, str]


def sheets(path: Path) -> Iterator[Sheet]:
    """All sheets of a job."""
    return sheets_of(houses.at(path))


def sheets_of(house: House) -> Iterator[Sheet]:
    """All sheets of a house."""
    for family in families().values():
        if not family.needs(house.whole_job):
            yield from family.work(house)


def cited(path: Path) -> Iterator[tuple[Key, frozenset[str], bool]]:
    """The rules of each line, check and open requirement, by family and key, and whether it has a remedy ready."""
    for sheet in sheets(path):
        for made in (*sheet.lines, *sheet.checks, *sheet.unknowns):
            rules = frozenset(cite.rule for cite in made.cites)
            yield (sheet.family, made.key.partition("[")[0]), rules, _ready(made)


def _ready(made: Line | Check | Unknown) -> bool:
    """Whether a check has its remedy ready, or an open requirement the entry that it asks for."""
    return isinstance(made, Unknown) or (isinstance(made, Check) and bool(made.remedy))


@cache
def fence() -> dict[Key, tuple[frozenset[str], frozenset[str], bool]]:
    """(always, at most, remedy ready) by family and key."""
    found = {}
    for family, keys in tomllib.loads(FENCE.read_text(encoding="utf-8")).items():
        for key, said in keys.items():
            rules, _, remedy = said.partition(";")
            always = frozenset(rules.partition("|")[0].split())
            found[family, key] = (always, frozenset(rules.replace("|", " ").split()), bool(remedy))
    return found


def text() -> str:
    """The fence as it stands now."""
    found: dict[str, dict[str, list[tuple[frozenset[str], bool]]]] = defaultdict(lambda: defaultdict(list))
    for path in FILES:
        for (family, key), *rest in cited(path):
            found[family][key].append((rest[0], rest[1]))  # type: ignore[arg-type]
    out = [HEAD]
    for family, keys in sorted(found.items()):
        out.append(f"\n[{family}]\n")
        for key, each in sorted(keys.items()):
            sets = [rules for rules, _ in each]
            always, ever = frozenset.intersection(*sets), frozenset.union(*sets)
            sometimes = f" | {' '.join(sorted(ever - always))}" if ever - always else ""
            remedy = "; remedy" if all(ready for _, ready in each) else ""
            out.append(f'{key} = "{(" ".join(sorted(always)) + sometimes + remedy).strip()}"\n')
    return "".join(out)


if __name__ == "__main__":
    FENCE.write_text(text(), encoding="utf-8")
