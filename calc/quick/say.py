"""An answer as text for a terminal."""

from __future__ import annotations

from calc.quick.answer import Answer
from calc.work import PASSES
from calc.work.signs import with_powers


def as_text(answer: Answer) -> str:
    """The answer: a line, then one line each of what was taken as given and what was not checked."""
    sections = f"  [{', '.join(answer.sections)}]" if answer.sections else ""
    lines = [f"Read as: {answer.read_as}"] if answer.read_as else []
    lines.append(answer.line + sections + (f"  {answer.decides}" if answer.decides else ""))
    if answer.asked != PASSES and not answer.line.startswith(answer.asked):
        lines[-1] = f"{answer.asked}: {lines[-1]}"
    lines += [f"  falls short beside it: {said}" for said in answer.beside]
    lines += [f"  taken as given: {said}" for said in answer.taken]
    lines += [f"  note: {said}" for said in answer.notes]
    lines += [f"  not checked: {said}" for said in answer.unchecked]
    lines.append(f"  edition {', '.join((answer.edition, *answer.sheet.amendments))}")
    return with_powers("\n".join(lines))
