"""Disconnects of equipment, as far as the job states whether one is in sight."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import yes
from calc.job import Job, Load, place
from calc.work import Sheet


def with_disconnect(job: Job, code: Codebook) -> list[Load]:
    """New equipment that has a disconnect in sight, or a breaker that can be locked open instead."""
    kinds = code.members("equipment_disconnect") | code.members("appliance_disconnect")
    return [load for load in job.loads if load.status == "new" and load.kind in kinds]


def disconnects(s: Sheet, job: Job, code: Codebook) -> None:
    """Whether each has its disconnect."""
    for load in with_disconnect(job, code):
        always = load.kind in code.members("equipment_disconnect")
        if always and load.disconnect_in_sight is None:
            s.unknown("in_sight", "whether a disconnect is in sight: look", place(load, "disconnect_in_sight"), load.name,
                      [code.cite("equipment_disconnect")])  # fmt: skip
        elif always:
            there = yes(load, "disconnect_in_sight", f"disconnects in sight of {load.name}", "disconnect")
            s.check(
                "in_sight",
                there >= code["equipment_disconnect"],
                remedy=s.words.text("in_sight", "remedy"),
                item=load.name,
            )
        else:
            locked = "its breaker, with a fitting to lock it open"
            how = {True: "in sight", False: locked, None: f"in sight, or {locked}"}[load.disconnect_in_sight]
            s.find("appliance_disconnect", how, item=load.name, cites=[code.cite("appliance_disconnect")])
