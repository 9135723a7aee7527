"""The command that lays out what a house lacks, for a person to accept: propose."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from calc.cli.telling import JOB, BadInput, explained, opened, say

if TYPE_CHECKING:
    from calc.job import Proposal


@click.command()
@JOB
@click.option("--accept", metavar="NAME", help="Take up what is proposed: 'all', or what bears that name.")
@click.option("--withdraw", metavar="NAME", help="Take out again what is proposed: 'all', or what bears that name.")
@explained
def propose(job_path: Path, accept: str | None, withdraw: str | None) -> None:
    """Lay out what the house lacks: circuits, panels, feeders, receptacles, boxes, as entries to be accepted.

    By the adopted edition and common practice; each is marked proposed = true in the job file and counts for nothing
    until it is accepted. Nothing that you entered is changed.
    """
    from calc.job import accepted, proposals, save_job, withdrawn
    from calc.propose import laid_out

    if accept is not None and withdraw is not None:
        raise BadInput("--accept or --withdraw, one at a time")
    house = opened(job_path)
    before = house.whole_job
    try:
        if accept is not None:
            job = accepted(before, "" if accept == "all" else accept)
        elif withdraw is not None:
            job = withdrawn(before, "" if withdraw == "all" else withdraw)
        else:
            job = laid_out(house)
    except KeyError as error:
        raise BadInput(str(error.args[0])) from None
    if job is not before:
        save_job(job)
    left = proposals(job)
    say(f"{job_path}: {_counted(proposals(before), left)}")
    for key in dict.fromkeys(each.key for each in left):
        names = list(dict.fromkeys(each.name for each in left if each.key == key))
        say(f"  {key}: {', '.join(names)}")
    if left:
        say(f"Look at them with: studbay work {job_path}\nThen: studbay propose {job_path} --accept all")


def _counted(before: Sequence[Proposal], left: Sequence[Proposal]) -> str:
    """What came of the proposals, in words."""
    if len(left) > len(before):
        return f"{len(left) - len(before)} entries proposed, {len(left)} to accept"
    if len(left) < len(before):
        return f"{len(before) - len(left)} entries done, {len(left) or 'none'} left to accept"
    return "nothing to lay out" + (f"; {len(left)} entries wait to be accepted" if left else "")
