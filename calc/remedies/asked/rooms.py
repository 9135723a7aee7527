"""Rooms, their counters, and the receptacles that are changed in them."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, House, subject


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


@subject("replaced-receptacles")
def _replaced(h: House) -> Asked:
    for room in h.job.rooms:
        number = sum(outlet.status == "replaced" for outlet in room.outlets)
        if number:
            yield room.name, {"number": f"{number} receptacle{'s' if number > 1 else ''}"}
