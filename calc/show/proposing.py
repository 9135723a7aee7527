"""Laying out from a page: what is proposed in a job, and what a person does with it there."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

from calc.codebook import CodebookError
from calc.job import JobError, accepted, proposals, read_job, save_job, withdrawn
from calc.propose import laid_out
from calc.wiring.house import House

KINDS = ("propose", "accept", "withdraw")
ALL = ""


def proposed(path: Path) -> list[tuple[str, str]]:
    """What waits to be accepted, by name, with how many entries each is; all of it first, none where there is nothing."""
    try:
        found = Counter(each.name for each in proposals(read_job(path)))
    except JobError:
        return []
    return (
        [(ALL, f"all {found.total()} entries"), *((n, f"{n} ({c})" if c > 1 else n) for n, c in found.items())]
        if found
        else []
    )


def follow(path: Path, message: dict[str, Any]) -> str:
    """Lay out, accept or take out again, in the file as it was saved; what came of it, in words."""
    try:
        job, name = read_job(path), str(message.get("name", ALL))
        before = len(proposals(job))
        made = {"propose": lambda: laid_out(House.of(job)), "accept": lambda: accepted(job, name),
                "withdraw": lambda: withdrawn(job, name)}[str(message["kind"])]()  # fmt: skip
        if made is not job:
            save_job(made)
        left = len(proposals(made))
    except (JobError, CodebookError) as error:
        return str(error)
    except KeyError as error:
        return str(error.args[0])
    if message["kind"] == "propose":
        return f"{left - before} entries are proposed. Look at them below: none counts before it is accepted." if left > before else "There is nothing to lay out."  # fmt: skip
    done = "accepted" if message["kind"] == "accept" else "taken out again"
    return (
        f"{before - left} entries {done}; {left or 'none'} left to accept. The version before is kept beside the job."
    )
