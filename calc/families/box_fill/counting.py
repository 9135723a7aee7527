"""What takes room in a box: each counting rule a line, and their sum the volume that the box needs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from calc.codebook import Codebook
from calc.job import SIZES, Conductors, Contents, Device, place
from calc.wiring.reading import read
from calc.work import Missing, Sheet, Value, excess, given, larger, total

Sized = dict[str, list[Value]]  # conductor size -> counts of conductors of that size
CIRCUIT = ("cables", "conductors")  # fields whose conductors end or are spliced in the box


def awg(size: str) -> str:
    """'12' -> '12 AWG', '250' -> '250 kcmil'."""
    return f"{size} kcmil" if SIZES.index(size) > SIZES.index("4/0") else f"{size} AWG"


def required(sheet: Sheet, code: Codebook, box: Contents, canopy: bool, moulded_counted: bool) -> Value:
    """The volume that the contents need, in cubic inches, line by line.

    ``canopy``: fixture wires come in from a domed canopy. ``moulded_counted``: the job's reading of moulded clamps.
    """
    volume = _allowances(sheet, code, box)
    if not any(getattr(box, name) for name in (*CIRCUIT, "through", "looped")):
        raise Missing(
            "No conductor is said to be in this box: list its cables, conductors and devices.", at=place(box, "cables")
        )
    ends = _conductors(box, CIRCUIT)
    parts = [
        *_each_size(sheet, code, "conductors_in3", ends, volume),
        *_each_size(sheet, code, "through_in3", _conductors(box, ("through",)), volume),
        *_each_size(sheet, code, "looped_in3", _conductors(box, ("looped",)), volume, code["box_loop"]),
        *_clamps_and_fittings(sheet, code, box, volume, moulded_counted),
        *_devices(sheet, code, box.devices, volume),
        *_grounds(sheet, code, box, canopy, volume),
        *_terminal_blocks(sheet, code, box, volume),
        *_fixture_wires(sheet, code, box, canopy, volume),
    ]
    if box.pigtails:
        parts.append(sheet.line("pigtails_in3", read(box, "pigtails") * code["box_pigtail"]))
    needed = sheet.line("required_in3", total(parts, "in3"))
    _remarks(sheet, code, box, moulded_counted)
    return needed


def clamps(code: Codebook, largest: Value) -> Value:
    """What all clamps inside a box take together: so many of its largest conductor, whose volume is given."""
    return code["box_clamps"] * largest


def circuit_sizes(box: Contents) -> list[str]:
    """Sizes of the conductors that end or are spliced here, as on the sheet, largest first."""
    return [awg(size) for size in _largest_first(_conductors(box, CIRCUIT))]


def sizes_in(box: Contents) -> list[str]:
    """Sizes of all conductors in the box, largest first."""
    listed = [entry for name in (*CIRCUIT, "through", "looped", "fixture_wires") for entry in getattr(box, name)]
    sizes = [size for entry in listed for size in (*entry.wires, *entry.ground, *entry.bare)]
    return _largest_first(
        [*sizes, *box.isolated_grounds, *box.terminal_blocks, *(device.wire for device in box.devices)]
    )


def _largest_first(sizes: Iterable[str]) -> list[str]:
    return sorted(set(sizes), key=SIZES.index, reverse=True)


def _allowances(sheet: Sheet, code: Codebook, box: Contents) -> dict[str, Value]:
    """The volume for one conductor of each size in the box, largest first."""
    return {
        size: sheet.line(
            "allowance_in3_per_conductor",
            code.row("box_allowance", size=size)["allowance_in3_per_conductor"],
            item=awg(size),
        )
        for size in sizes_in(box)
    }


def _conductors(box: Contents, fields: Sequence[str]) -> Sized:
    """How many circuit conductors of each size the fields list; a cable counts its conductors without the ground."""
    found: Sized = {}
    for name in fields:
        for number, entry in enumerate(getattr(box, name), 1):
            for size in dict.fromkeys(entry.wires):
                found.setdefault(size, []).append(_count(box, name, number, entry, size, entry.wires.count(size)))
    return found


def _ground_conductors(box: Contents, fields: Sequence[str]) -> Sized:
    """How many equipment grounding conductors of each size the fields list, insulated or bare."""
    found: Sized = {}
    for name in fields:
        for number, entry in enumerate(getattr(box, name), 1):
            grounds = (*entry.ground, *entry.bare)
            for size in dict.fromkeys(grounds):
                found.setdefault(size, []).append(_count(box, name, number, entry, size, grounds.count(size), "ground"))
    return found


def _count(box: Contents, name: str, number: int, entry: Conductors, size: str, each: int, role: str = "") -> Value:
    what = " ".join(part for part in (awg(size), role, "in", f"'{entry.text}'") if part)
    return given(what, each * entry.count, "conductor", f"{place(box, name)}[{number}]")


def _each_size(
    sheet: Sheet, code: Codebook, key: str, counts: Sized, volume: dict[str, Value], times: Value | None = None
) -> list[Value]:
    """One line a size: so many conductors at the volume for that size."""
    lines = []
    for size in _largest_first(counts):
        count = total(counts[size]) if times is None else total(counts[size]) * times
        lines.append(sheet.line(key, count * volume[size], item=awg(size), cites=[code.cite("box_conductors")]))
    return lines


def _clamps_and_fittings(
    sheet: Sheet, code: Codebook, box: Contents, volume: dict[str, Value], moulded_counted: bool
) -> list[Value]:
    clamped = box.internal_clamps == "clamps" or (box.internal_clamps == "moulded" and moulded_counted)
    kinds = list(dict.fromkeys(box.fittings))
    if not clamped and not kinds:
        return []
    largest = next(iter(volume.values()))
    if len(volume) > 1:
        largest = sheet.line("largest_in3_per_conductor", larger(*volume.values()))
    parts = [sheet.line("clamps_in3", clamps(code, largest))] if clamped else []
    return parts + [sheet.line("fitting_in3", code["box_fitting"] * largest, item=kind) for kind in kinds]


def gangs(code: Codebook, device: Device) -> Value:
    """The gangs that a device takes: as stated, else by its kind. Missing where its kind doesn't tell."""
    name = f"gangs of the {device.kind}"
    if device.gangs is not None:
        return read(device, "gangs", name)
    if device.kind in code.members("box_wide_device"):
        return code["box_wide_device"]
    if device.kind == "other" or (device.kind == "receptacle" and device.wire not in code.members("box_narrow_device")):
        raise Missing(
            f"How wide the {device.kind} on {awg(device.wire)} is, is not entered (gangs): one wider than 2 in counts twice for each gang.",
            code.cite("box_device"), at=place(device, "gangs"),
        )  # fmt: skip
    return code["box_narrow_device"]


def _devices(sheet: Sheet, code: Codebook, devices: Sequence[Device], volume: dict[str, Value]) -> list[Value]:
    """Twice the largest conductor on the device for each gang that it takes."""
    parts = []
    for number, device in enumerate(devices, 1):
        alike = [d for d in devices[:number] if (d.kind, d.wire) == (device.kind, device.wire)]
        item = (
            f"{device.kind} {len(alike)} on {awg(device.wire)}"
            if len(alike) > 1
            else f"{device.kind} on {awg(device.wire)}"
        )
        each = gangs(code, device) * code["box_device"] * volume[device.wire]
        if device.count > 1:
            each = each * given(f"{device.kind}, number", device.count, "", place(device, "count"))
        parts.append(sheet.line("device_in3", each, item=item))
    return parts


def _grounds(sheet: Sheet, code: Codebook, box: Contents, canopy: bool, volume: dict[str, Value]) -> list[Value]:
    """Equipment grounding conductors by the edition's rule, and a set of isolated ones."""
    fields = (*CIRCUIT, "through", "looped", *(() if canopy else ("fixture_wires",)))
    counts = _ground_conductors(box, fields)
    parts = []
    if counts:
        number = sheet.line("grounds", total([count for size in _largest_first(counts) for count in counts[size]]))
        largest = larger(*(volume[size] for size in _largest_first(counts)))
        taken = code["box_grounds"]
        if code.method("box_grounds") == "quarter above four":
            taken = taken + excess(number, code["box_grounds_limit"]) * code["box_grounds_more"]
        recalled = [entry for name in fields for entry in getattr(box, name) if entry.confidence == "D"]
        cites = [code.cite("cable_grounds")] if recalled else []
        parts.append(sheet.line("grounds_in3", taken * largest, cites=cites))
    if box.isolated_grounds:
        largest = larger(*(volume[size] for size in _largest_first(box.isolated_grounds)))
        parts.append(sheet.line("isolated_grounds_in3", code["box_isolated_grounds"] * largest))
    return parts


def _terminal_blocks(sheet: Sheet, code: Codebook, box: Contents, volume: dict[str, Value]) -> list[Value]:
    if not code.has("box_terminal_block"):
        return []
    return [
        sheet.line("terminal_block_in3", code["box_terminal_block"] * volume[size], item=str(number))
        for number, size in enumerate(box.terminal_blocks, 1)
    ]


def _fixture_wires(sheet: Sheet, code: Codebook, box: Contents, canopy: bool, volume: dict[str, Value]) -> list[Value]:
    """Wires of a luminaire; those of a canopy are left out, up to the number and size that the rule lets."""
    counts = _conductors(box, ("fixture_wires",))
    small = code.members("box_canopy") & set(counts) if canopy else frozenset()
    parts = _each_size(sheet, code, "fixture_wires_in3", {k: v for k, v in counts.items() if k not in small}, volume)
    if small:
        ordered = _largest_first(small)
        wires = total([count for size in ordered for count in counts[size]])
        left = excess(wires, code["box_canopy"]) * larger(*(volume[size] for size in ordered))
        parts.append(sheet.line("canopy_wires_in3", left))
    return parts


def _remarks(sheet: Sheet, code: Codebook, box: Contents, moulded_counted: bool) -> None:
    if box.internal_clamps == "moulded":
        sheet.remark("note_moulded_counted" if moulded_counted else "note_moulded_not_counted")
    if box.terminal_blocks and not code.has("box_terminal_block"):
        sheet.caution("caution_terminal_blocks", edition=code.edition)
