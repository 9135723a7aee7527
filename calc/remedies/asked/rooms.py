"""Rooms, their counters, and the receptacles that are changed in them."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, Walked, subject


@subject("room")
def _room(walked: Walked) -> Asked:
    for room in walked.job.rooms:
        if walked.stands(room):
            yield room.name, {"use": room.use}


@subject("lit-closet")
def _closet(walked: Walked) -> Asked:
    for room in walked.job.rooms:
        if room.use in ("closet", "clothes-closet") and room.light not in (None, "none") and walked.stands(room):
            yield room.name, {}


@subject("counter")
def _counter(walked: Walked) -> Asked:
    for room in walked.job.rooms:
        for counter in room.counters if walked.stands(room) else ():
            if counter.kind == "wall":
                yield room.name, {"name": counter.name[:1].upper() + counter.name[1:]}


@subject("replaced-receptacles")
def _replaced(walked: Walked) -> Asked:
    for room in walked.job.rooms:
        number = sum(outlet.status == "replaced" for outlet in room.outlets)
        if number:
            yield room.name, {"number": f"{number} receptacle{'s' if number > 1 else ''}"}
