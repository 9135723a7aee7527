"""For what the walk asks its questions: the job's own rooms, panels, runs, boxes and equipment, with what is said of them.

A subject gives (place, words) pairs: where to look, and what the question's text is filled with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from calc.codebook import Codebook
from calc.families.feeder.wires import called
from calc.families.fixes.place import HOUSE, OUTDOORS, places
from calc.families.fixes.survey import worked
from calc.families.rough_in.switches import switch_boxes
from calc.job import Box, Circuit, Contents, Device, Job, Load

Asked = Iterator[tuple[str, dict[str, str]]]
SLEEPING = "bedroom"
COOLING = ("heat-pump", "air-conditioner", "mini-split")
OLD_CORDS = ("range", "dryer")


@dataclass(frozen=True)
class House:
    """The job with what the questions take from its sheets."""

    job: Job
    code: Codebook

    @cached_property
    def where(self) -> dict[str, str]:
        """Place of everything that has a name."""
        return places(self.job)

    def results(self, family: str) -> list[tuple[str, dict[str, Any]]]:
        """(subject, results) of each sheet of a family."""
        return [(s.subject, s.results) for s in worked(self.job, self.code, family)]

    def stands(self, part: Any) -> bool:
        """Whether it stays or comes."""
        return bool(getattr(part, "status", "new") != "removed")


SUBJECTS: dict[str, Callable[[House], Asked]] = {}


def subject(name: str) -> Callable[[Callable[[House], Asked]], Callable[[House], Asked]]:
    """Register what a question can be asked of."""

    def keep(ask: Callable[[House], Asked]) -> Callable[[House], Asked]:
        SUBJECTS[name] = ask
        return ask

    return keep


# -- the house as a whole -----------------------------------------------------------------------------------------


@subject("house")
def _house(h: House) -> Asked:
    bundles = [
        f"{run.name}, {run.cables_bundled} together" for run in h.job.runs if run.cables_bundled > 1 and h.stands(run)
    ]
    yield HOUSE, {"bundles": f" ({'; '.join(bundles)})" if bundles else ""}


@subject("new-house")
def _new_house(h: House) -> Asked:
    if h.job.dwelling is not None and h.job.dwelling.status == "new":
        yield HOUSE, {}


@subject("old-house")
def _old_house(h: House) -> Asked:
    if h.job.dwelling is not None and h.job.dwelling.status == "existing":
        yield HOUSE, {}


@subject("house-grounding")
def _house_grounding(h: House) -> Asked:
    if h.job.grounding is not None:
        yield HOUSE, {}


@subject("service")
def _service(h: House) -> Asked:
    if h.job.service is not None and h.job.service.work != "kept":
        yield HOUSE, {"kind": (h.job.service.surge_protection or "not stated").replace("-", " ")}


@subject("outdoor-disconnect")
def _outdoor(h: House) -> Asked:
    if h.job.service is not None and h.job.service.work != "kept":
        yield OUTDOORS, {"kind": (h.job.service.emergency_disconnect or "not stated").replace("-", " ")}


@subject("water")
def _water(h: House) -> Asked:
    if h.job.grounding is not None and h.job.grounding.water_piping in ("metal", "mixed"):
        yield HOUSE, {}


@subject("gas")
def _gas(h: House) -> Asked:
    if h.job.grounding is not None and h.job.grounding.gas_piping not in (None, "none"):
        bond = f", {called(h.job.grounding.gas_bond)}" if h.job.grounding.gas_bond else ""
        yield HOUSE, {"gas": f"{h.job.grounding.gas_piping}{bond}"}


# -- earth and trench ---------------------------------------------------------------------------------------------


@subject("footing")
def _footing(h: House) -> Asked:
    for electrode in h.job.grounding.electrodes if h.job.grounding else ():
        if electrode.kind == "footing" and electrode.used:
            size = called(electrode.conductor) if electrode.conductor else "as worked"
            seen = " ".join(str(each) for each in (electrode.seen_by, electrode.seen_on) if each) or "nobody yet"
            yield HOUSE, {"conductor": size, "seen": seen}


@subject("no-footing")
def _no_footing(h: House) -> Asked:
    new = h.job.dwelling is not None and h.job.dwelling.status == "new"
    if new and not any(e.kind == "footing" for e in (h.job.grounding.electrodes if h.job.grounding else ())):
        yield HOUSE, {}


@subject("rods")
def _rods(h: House) -> Asked:
    sites = [(HOUSE, h.job.grounding.electrodes if h.job.grounding else ())]
    sites += [(building.name, building.electrodes) for building in h.job.buildings if h.stands(building)]
    for where, electrodes in sites:
        for electrode in electrodes:
            if electrode.kind == "rod" and electrode.used:
                yield where, {"count": f"{electrode.count} rods" if electrode.count > 1 else "One rod"}


@subject("buried")
def _buried(h: House) -> Asked:
    cover = {name: results.get("cover_in") for name, results in h.results("feeder")}
    for run in h.job.runs:
        if run.location == "buried" and h.stands(run) and run.role != "utility":
            depth = cover.get(run.name)
            yield OUTDOORS, {
                "name": run.name, "cover": f"{depth:g} in or more" if depth else "its sheet will say how much",
                "method": run.wiring_method or (run.cable.kind if run.cable else "method not stated"),
                "length": f"{run.length_ft:g} ft long" if run.length_ft else "length not stated",
            }  # fmt: skip


@subject("buried-service")
def _buried_service(h: House) -> Asked:
    service = {run.name for run in h.job.runs if run.role == "service"}
    yield from ((where, words) for where, words in _buried(h) if words["name"] in service)


@subject("electrode")
def _electrode(h: House) -> Asked:
    for about, results in h.results("grounding"):
        for key, size in results.items():
            if key.startswith("electrode_conductor["):
                name = key.partition("[")[2].rstrip("]")
                yield h.where.get(about, HOUSE), {"name": name[:1].upper() + name[1:], "conductor": str(size)}


# -- panels and circuits ------------------------------------------------------------------------------------------


@subject("panel")
def _panel(h: House) -> Asked:
    for panel in h.job.panels:
        if h.stands(panel):
            sizes = [panel.working_depth_in, panel.working_width_in, panel.working_height_in]
            taped = " x ".join("?" if size is None else f"{size:g}" for size in sizes) + " in"
            yield h.where[panel.name], {"name": panel.name, "taped": taped}


@subject("panel-beyond")
def _panel_beyond(h: House) -> Asked:
    yield from _panels(h, at_service=False)


@subject("panel-at-service")
def _panel_at_service(h: House) -> Asked:
    yield from _panels(h, at_service=True)


def _panels(h: House, *, at_service: bool) -> Asked:
    for panel in h.job.panels:
        if h.stands(panel) and panel.service_equipment is at_service:
            yield h.where[panel.name], {"name": panel.name}


@subject("panel-interrupting")
def _interrupting(h: House) -> Asked:
    for panel in h.job.panels:
        if h.stands(panel) and panel.interrupting_a:
            yield h.where[panel.name], {"name": panel.name, "rating": f"{panel.interrupting_a:,} A"}


@subject("multiwire")
def _multiwire(h: House) -> Asked:
    yield from ((h.where[circuit.name], words) for circuit, words in _pairs(h))


@subject("multiwire-panel")
def _multiwire_panel(h: House) -> Asked:
    yield from ((_at_panel(h, circuit), words) for circuit, words in _pairs(h))


def _pairs(h: House) -> Iterator[tuple[Circuit, dict[str, str]]]:
    """Multiwire circuits, each once, under the half that is listed first."""
    told: set[str] = set()
    for circuit in h.job.circuits:
        if circuit.multiwire_with and h.stands(circuit) and circuit.name not in told:
            told |= {circuit.name, circuit.multiwire_with}
            yield circuit, {"name": f"{circuit.name} and {circuit.multiwire_with}"}


@subject("arc-circuit")
def _arc(h: House) -> Asked:
    yield from _protected(h, "arc-fault")


@subject("ground-fault-circuit")
def _ground_fault(h: House) -> Asked:
    yield from _protected(h, "ground-fault")


@subject("dual-circuit")
def _dual(h: House) -> Asked:
    yield from _protected(h, "dual-function")


def _protected(h: House, kind: str) -> Asked:
    for circuit in h.job.circuits:
        if kind in (circuit.breaker_type, circuit.first_outlet) and h.stands(circuit):
            yield _at_panel(h, circuit), {"name": _numbered(circuit), "kind": kind}


def _at_panel(h: House, circuit: Circuit) -> str:
    return h.where.get(circuit.panel or "", HOUSE)


def _numbered(circuit: Circuit) -> str:
    return f"Circuit {circuit.number}, {circuit.name}" if circuit.number else circuit.name


# -- boxes, rooms, equipment --------------------------------------------------------------------------------------


@subject("box")
def _box(h: House) -> Asked:
    for box in h.job.boxes:
        if box.status == "new" and not box.pull:
            yield h.where[box.name], {"name": _many(box), "volume": _volume(box), "contents": _inside(box)}


@subject("fan-box")
def _fan_box(h: House) -> Asked:
    for box in h.job.boxes:
        if box.supports == "fan" and h.stands(box):
            yield h.where[box.name], {"name": box.name}


@subject("switch-box-unknown")
def _switch_box(h: House) -> Asked:
    for box in switch_boxes(h.job):
        if box.neutral_at_switch is None:
            yield h.where[box.name], {"name": box.name}


def _many(box: Box) -> str:
    return box.name if box.count == 1 else f"{box.name} (all {box.count})"


def _volume(box: Box) -> str:
    if box.marked_in3 is not None:
        return f"{box.marked_in3:g} in3 stamped in it"
    ring = f" with a ring of {box.ring_in3:g} in3" if box.ring_in3 else ""
    return f"{box.box}{ring}" if box.box else "its volume read and entered"


def _inside(box: Box) -> str:
    parts = [_contents(side) for side in (box.compartments or (box,))]
    return "; beside it ".join(part for part in parts if part) or "nothing stated"


def _contents(part: Contents) -> str:
    cables = [each.text for each in (*part.cables, *part.conductors)]
    more = [f"{each.text} passing through" for each in (*part.through, *part.looped)]
    devices = [
        f"{device.count} x {_device(device)}" if device.count > 1 else f"a {_device(device)}" for device in part.devices
    ]
    fittings = [*part.fittings, *(["terminal block"] * len(part.terminal_blocks))]
    return ", ".join([*cables, *more, *devices, *fittings])


def _device(device: Device) -> str:
    """'three-way-switch' as people say it: 'three-way switch'."""
    return " ".join(part for part in device.kind.rpartition("-") if part not in ("", "-"))


@subject("room")
def _room(h: House) -> Asked:
    for room in h.job.rooms:
        if h.stands(room):
            yield room.name, {"use": room.use}


@subject("lit-closet")
def _closet(h: House) -> Asked:
    for room in h.job.rooms:
        if room.use in ("closet", "clothes-closet") and room.light not in (None, "none") and h.stands(room):
            yield room.name, {}


@subject("counter")
def _counter(h: House) -> Asked:
    for room in h.job.rooms:
        for counter in room.counters if h.stands(room) else ():
            if counter.kind == "wall":
                yield room.name, {"name": counter.name[:1].upper() + counter.name[1:]}


@subject("alarm-place")
def _alarm_place(h: House) -> Asked:
    """Each bedroom, the hall outside, and a place on every storey."""
    rooms = [room for room in h.job.rooms if h.stands(room) and room.building is None]
    bedrooms = [room for room in rooms if room.use == SLEEPING]
    for room in bedrooms:
        yield room.name, {"also": "", "stated": _stated(h, room.name)}
    halls = [room for room in rooms if room.use == "hall" and room.storey in {bedroom.storey for bedroom in bedrooms}]
    for room in halls[:1]:
        yield room.name, {"also": " outside the bedrooms", "stated": _stated(h, room.name)}
    if bedrooms and not halls:
        yield HOUSE, {"also": " outside the bedrooms", "stated": "the job names no hall there"}
    covered = {room.storey for room in [*bedrooms, *halls]}
    for storey in dict.fromkeys(room.storey for room in rooms if room.storey):
        if storey not in covered and storey != "attic":
            names = {room.name for room in rooms if room.storey == storey}
            said = next((alarm.room for alarm in h.job.alarms if alarm.room in names), None)
            yield (
                HOUSE,
                {"also": f" on the {storey} storey", "stated": f"in {said}" if said else "none in the job"},
            )


@subject("carbon-monoxide-place")
def _carbon_monoxide(h: House) -> Asked:
    garage = any(room.use == "garage" and room.attached is not False for room in h.job.rooms)
    fuel = h.job.dwelling is not None and h.job.dwelling.fuel_burning is not False
    if not (garage or fuel):
        return
    senses = [alarm.room for alarm in h.job.alarms if alarm.kind != "smoke" and alarm.status != "removed"]
    yield HOUSE, {"stated": f"outside the bedrooms; in the job: {', '.join(senses) or 'none'}"}


def _stated(h: House, room: str) -> str:
    found = [
        alarm for alarm in h.job.alarms if alarm.room == room and alarm.kind != "carbon-monoxide" and h.stands(alarm)
    ]
    return "it is in the job" if found else "none in the job"


@subject("alarms")
def _alarms(h: House) -> Asked:
    if h.job.alarms or any(room.use == SLEEPING for room in h.job.rooms):
        yield HOUSE, {}


@subject("equipment")
def _equipment(h: House) -> Asked:
    for load in h.job.loads:
        if load.status == "new":
            yield h.where[load.name], {"name": load.name, "nameplate": _nameplate(load)}


def _nameplate(load: Load) -> str:
    parts = [f"{load.load_va:,.0f} VA" if load.load_va else f"{load.nameplate_a:g} A", f"{load.volts} V"]
    parts += [f"minimum circuit {load.mca_a:g} A"] if load.mca_a else []
    parts += [f"largest breaker {load.mocp_a:g} A"] if load.mocp_a else []
    parts += [f"set to {load.setting_a:g} A"] if load.setting_a else []
    return ", ".join(parts) + (f" each, {load.count} of them" if load.count > 1 else "")


@subject("cooling")
def _cooling(h: House) -> Asked:
    for load in h.job.loads:
        if load.kind in COOLING and load.status == "new":
            yield h.where[load.name], {"name": load.name, "most": f"{load.mocp_a:g} A" if load.mocp_a else "not stated"}


@subject("lockable")
def _lockable(h: House) -> Asked:
    for load in h.job.loads:
        if (
            load.kind in h.code.members("appliance_disconnect")
            and load.status == "new"
            and not load.disconnect_in_sight
        ):
            yield h.where[load.name], {"name": load.name}


@subject("replaced-receptacles")
def _replaced(h: House) -> Asked:
    for room in h.job.rooms:
        number = sum(outlet.status == "replaced" for outlet in room.outlets)
        if number:
            yield room.name, {"number": f"{number} receptacle{'s' if number > 1 else ''}"}


@subject("old-cords")
def _old_cords(h: House) -> Asked:
    for load in h.job.loads:
        if load.kind in OLD_CORDS and load.status == "existing" and not load.fuel_burning:
            yield h.where[load.name], {"name": load.name}
