"""Boxes, with what is in them."""

from __future__ import annotations

from calc.families.rough_in.switches import switch_boxes
from calc.job import Box, Contents, Device
from calc.remedies.asked.subjects import Asked, Walked, subject


@subject("box")
def _box(walked: Walked) -> Asked:
    for box in walked.job.boxes:
        if box.status == "new" and not box.pull:
            yield (
                walked.where[box.name],
                {"name": _many(box), "about": box.name, "volume": _volume(box), "contents": _inside(box)},
            )


@subject("fan-box")
def _fan_box(walked: Walked) -> Asked:
    for box in walked.job.boxes:
        if box.supports == "fan" and walked.stands(box):
            yield walked.where[box.name], {"name": box.name}


@subject("switch-box-unknown")
def _switch_box(walked: Walked) -> Asked:
    for box in switch_boxes(walked.job):
        if box.neutral_at_switch is None:
            yield walked.where[box.name], {"name": box.name}


def _many(box: Box) -> str:
    return box.name if box.count == 1 else f"{box.name} (all {box.count})"


def _volume(box: Box) -> str:
    rings = [f"a ring of {box.ring_in3:g} in3"] if box.ring_in3 else []
    rings += [f"an extension {box.extension}"] if box.extension else []
    rings += [f"an extension of {box.extension_in3:g} in3"] if box.extension_in3 else []
    on_top = f" with {' and '.join(rings)}" if rings else ""
    if box.marked_in3 is not None:
        return f"{box.marked_in3:g} in3 stamped in it{on_top}"
    return f"{box.box}{on_top}" if box.box else "its volume read and entered"


def _inside(box: Box) -> str:
    parts = [_contents(side) for side in (box.compartments or (box,))]
    return "; beside it ".join(part for part in parts if part) or "nothing stated"


def _contents(part: Contents) -> str:
    cables = [each.text for each in (*part.cables, *part.conductors)]
    more = [f"{each.text} passing through" for each in (*part.through, *part.looped)]
    devices = [
        f"{device.count} x {_device(device)}" if device.count > 1 else f"a {_device(device)}" for device in part.devices
    ]
    clamps = {"clamps": ["internal clamps"], "moulded": ["molded clamps"]}.get(part.internal_clamps, [])
    fittings = [*clamps, *part.fittings, *(["terminal block"] * len(part.terminal_blocks))]
    wires = [f"{each.text} of the luminaire" for each in part.fixture_wires]
    return ", ".join([*cables, *more, *devices, *fittings, *wires])


def _device(device: Device) -> str:
    """'three-way-switch' as people say it: 'three-way switch'."""
    return " ".join(part for part in device.kind.rpartition("-") if part not in ("", "-"))
