"""Switch boxes: a neutral for a control, and the cables that travellers run in."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.families.rough_in.stated import yes
from calc.job import Box, Compartment, Contents, Device, Job, place
from calc.work import Sheet, given

SWITCHES = ("switch", "three-way-switch", "four-way-switch", "dimmer", "fan-control")
MULTIPLE = ("four-way-switch", "three-way-switch")  # the one that needs more cables first


def switch_boxes(job: Job) -> list[Box]:
    """New boxes with a switch in them."""
    return [box for box in job.boxes if box.status == "new" and any(device.kind in SWITCHES for device in devices(box))]


def sides(box: Box) -> tuple[Contents, ...]:
    """The box, or each side of a divided one."""
    return box.compartments or (box,)


def devices(box: Box) -> list[Device]:
    """All devices of a box, whichever side they are on."""
    return [device for side in sides(box) for device in side.devices]


def switches(s: Sheet, job: Job, code: Codebook) -> None:
    """Each switch box."""
    unknown = []
    for box in switch_boxes(job):
        if not any(device.kind in code.members("switch_neutral") for device in devices(box)):
            continue
        if box.neutral_at_switch is None:
            unknown.append(box.name)
        elif not any(side.cables for side in sides(box)) and not box.neutral_at_switch:
            s.find(
                "neutral_by_raceway", "a raceway: one can be pulled in", item=box.name, by=[code.cite("switch_neutral")]
            )
        else:
            there = yes(box, "neutral_at_switch", f"neutrals in {box.name}", "neutral")
            s.check("neutral", there >= code["switch_neutral"], mend=s.words.text("neutral", "mend"), item=box.name)
        for side in sides(box):
            _travellers(s, code, box, side)
    if unknown:
        s.caution("caution_neutral", boxes=", ".join(unknown))


def _travellers(s: Sheet, code: Codebook, box: Box, side: Contents) -> None:
    """Cables of three wires or more, where switches are wired by cable."""
    kind = next((kind for kind in MULTIPLE if any(device.kind == kind for device in side.devices)), None)
    if kind is None or not side.cables:
        return
    item = f"{box.name}, side {side.name}" if isinstance(side, Compartment) else box.name
    three = sum(cable.count for cable in side.cables if len(cable.wires) >= 3)
    has = given(f"cables of three wires in {item}", three, "", place(side, "cables"))
    least = s.line("cables_least", code.row("traveller_cables", switch=kind)["least_cables"], item=item)
    s.check("travellers", has >= least, mend=s.words.text("travellers", "mend"), item=item,
            by=[code.cite("conductors_together")])  # fmt: skip
