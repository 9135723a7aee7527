"""What the verdict rests on beside the numbers: local amendments, values nobody confirmed, readings, what is not covered."""

from __future__ import annotations

from collections.abc import Iterator

from calc.verdict.standing import Standing
from calc.wiring.house import House
from calc.work import Citation, Sheet
from calc.work.document import Part, Sentences


def rests_on(house: House, standing: Standing) -> list[Part]:
    """Amendments in force, values from memory or unconfirmed, what to verify on site, what is not covered."""
    cited = {cite: None for s in _sheets(standing) for cite in s.cited if cite.mark}
    parts: list[Part] = []
    amended = [f"{_called(cite)}: {_own_words(cite)}" for cite in cited if cite.mark == "amended"]
    if amended:
        parts.append(Sentences(amended, f"Local amendments in force: {', '.join(house.code.amendments)}"))
    memory = [_called(cite) for cite in cited if cite.mark == "from memory"]
    if memory:
        parts.append(
            Sentences(
                [f"{'; '.join(memory)}."], "Values from memory, to be checked against the code book", listed=False
            )
        )
    unconfirmed = [f"{_called(cite)}: {cite.note}" for cite in cited if cite.mark == "unconfirmed"]
    if unconfirmed:
        parts.append(Sentences(unconfirmed, "Values not confirmed"))
    on_site = [text for s in _sheets(standing) for text in s.on_site]
    if on_site:
        parts.append(Sentences([_run_on(on_site)], "To verify on site", listed=False))
    uncovered = [text for s in _sheets(standing) for text in s.uncovered]
    if uncovered:
        parts.append(Sentences([_run_on(uncovered)], "Not covered", listed=False))
    return parts


def _run_on(texts: list[str]) -> str:
    return " ".join(f"{text[:1].upper()}{text[1:]}" for text in dict.fromkeys(texts))


def _sheets(standing: Standing) -> Iterator[Sheet]:
    return (s for found in standing.sheets.values() for s in found)


def _called(cite: Citation) -> str:
    name = f"{cite.name[:1].upper()}{cite.name[1:]}"
    return f"{name} ({cite.section})" if cite.section else name


def _own_words(cite: Citation) -> str:
    """The amendment itself, without which file amends."""
    return cite.note.partition(": ")[2] or cite.note
