"""Whether an equipment grounding conductor comes to the devices of a box."""

from __future__ import annotations

from calc.codebook import Codebook
from calc.job import Box, Contents, place
from calc.work import Sheet, constant, given

NONE = constant("allowed", 0, "cable")


def grounded(sheet: Sheet, code: Codebook, box: Box, contents: Contents) -> None:
    """Each cable of a new box with devices brings its ground; in a raceway a wire does, or metal all the way."""
    if box.status != "new" or not any(device.kind in code.members("device_ground") for device in contents.devices):
        return
    cites = [code.cite("device_ground")]
    if contents.cables:
        armour = code.members("armour_ground")
        plain = sum(c.count for c in contents.cables if not (c.ground or c.bare) and c.kind not in armour)
        number = given("cables without a ground", plain, "cable", place(contents, "cables"))
        if any(cable.kind in armour for cable in contents.cables):
            cites.append(code.cite("armour_ground"))
        sheet.check("device_grounded", number <= NONE, remedy="cables with a ground", cites=cites)
        return
    grounds = any(c.ground or c.bare for c in (*contents.conductors, *contents.through, *contents.looped))
    if grounds or contents.isolated_grounds:
        return
    if box.material == "metal" or (box.material is None and box.box is not None):
        sheet.remark("note_metal_ground")
        return
    sheet.unknown("device_grounded", "the ground that comes with its conductors ('+ 12 ground'), or material = \"metal\"",
              place(contents, "conductors"), cites=cites)  # fmt: skip
