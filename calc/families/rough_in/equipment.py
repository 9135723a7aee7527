"""Disconnects of equipment, as far as the job states whether one is in sight."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import yes
from calc.job import Job, Load
from calc.work import Sheet


def with_disconnect(job: Job, code: Codebook) -> list[Load]:
    """New equipment that has a disconnect in sight, or a breaker that can be locked open instead."""
    kinds = code.members("equipment_disconnect") | code.members("appliance_disconnect")
    return [load for load in job.loads if load.status == "new" and load.kind in kinds]


def disconnects(s: Sheet, job: Job, code: Codebook) -> None:
    """Whether each has its disconnect."""
    unknown = []
    for load in with_disconnect(job, code):
        always = load.kind in code.members("equipment_disconnect")
        if load.disconnect_in_sight is None:
            unknown.append(load.name)
        elif always:
            there = yes(load, "disconnect_in_sight", f"disconnects in sight of {load.name}", "disconnect")
            s.check(
                "in_sight", there >= code["equipment_disconnect"], mend=s.words.text("in_sight", "mend"), item=load.name
            )
        else:
            how = "in sight" if load.disconnect_in_sight else "its breaker, with a fitting to lock it open"
            s.find("appliance_disconnect", how, item=load.name, by=[code.cite("appliance_disconnect")])
    if unknown:
        s.caution("caution_in_sight", equipment=", ".join(unknown))
