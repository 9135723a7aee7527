"""Smoke and carbon monoxide alarms: places that the building code asks for."""

from __future__ import annotations

from calc.remedies.asked.subjects import Asked, Walked, subject
from calc.wiring.places import HOUSE

SLEEPING = "bedroom"


@subject("alarm-place")
def _alarm_place(walked: Walked) -> Asked:
    """Each bedroom, the hall outside, and a place on every storey."""
    rooms = [room for room in walked.job.rooms if walked.stands(room) and room.building is None]
    bedrooms = [room for room in rooms if room.use == SLEEPING]
    for room in bedrooms:
        yield room.name, {"also": "", "stated": _stated(walked, room.name)}
    for storey in dict.fromkeys(bedroom.storey for bedroom in bedrooms):
        hall = next((room for room in rooms if room.use == "hall" and room.storey == storey), None)
        on = f" of the {storey} storey" if storey and len({bedroom.storey for bedroom in bedrooms}) > 1 else ""
        stated = _stated(walked, hall.name) if hall else "the job names no hall there"
        yield hall.name if hall else HOUSE, {"also": f" outside the bedrooms{on}", "stated": stated}
    covered = {room.storey for room in bedrooms}
    for storey in dict.fromkeys(room.storey for room in rooms if room.storey):
        if storey not in covered and storey != "attic":
            names = {room.name for room in rooms if room.storey == storey}
            said = next((alarm.room for alarm in walked.job.alarms if alarm.room in names), None)
            yield (
                HOUSE,
                {"also": f" on the {storey} storey", "stated": f"in {said}" if said else "none in the job"},
            )


@subject("carbon-monoxide-place")
def _carbon_monoxide(walked: Walked) -> Asked:
    garage = any(room.use == "garage" and room.attached is not False for room in walked.job.rooms)
    fuel = walked.job.dwelling is not None and walked.job.dwelling.fuel_burning is not False
    if not (garage or fuel):
        return
    senses = [alarm.room for alarm in walked.job.alarms if alarm.kind != "smoke" and alarm.status != "removed"]
    yield HOUSE, {"stated": f"outside the bedrooms; in the job: {', '.join(senses) or 'none'}"}


def _stated(walked: Walked, room: str) -> str:
    found = [
        alarm
        for alarm in walked.job.alarms
        if alarm.room == room and alarm.kind != "carbon-monoxide" and walked.stands(alarm)
    ]
    return "it is in the job" if found else "none in the job"


@subject("alarms")
def _alarms(walked: Walked) -> Asked:
    if walked.job.alarms or any(room.use == SLEEPING for room in walked.job.rooms):
        yield HOUSE, {}
