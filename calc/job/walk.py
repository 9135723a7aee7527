"""What a walk through the house needs: [[stairs]], [[alarms]], [[findings]]."""

from typing import Literal

from calc.job.fields import REQUIRED, Date, Many, Name, Notes, Part, Proposable, Text, field
from calc.job.house import Status

RIGHT = "Right."
"""What is written of questions that were found right and of which nothing else was said."""
Stage = Literal["footing", "trench", "rough", "service-release", "final"]


class Landing(Part):
    """A level that a stair touches."""

    name: Name = field("Level", "such as 'first floor' or 'middle landing'", REQUIRED)
    floor_level: bool | None = field("Floor level", "whether it is a floor of the house, not a landing between")
    entry: bool | None = field("Entry", "whether a door opens onto it")
    switch: bool | None = field("Switch", "whether the stair light is switched here")


class Stair(Part):
    """A stairway inside the house."""

    name: Name = field("Stair", "name of the stair", REQUIRED)
    risers: int = field("Risers", "risers between two floor levels", REQUIRED, unit="riser", least=1, most=60)
    landings: Many[Landing] = field("Levels", "floors and landings, from the bottom up", ())
    light: bool | None = field("Light", "whether a lighting outlet is there")


class Alarm(Proposable):
    """A smoke or carbon monoxide alarm."""

    room: Name = field("Room", "room that it is in", REQUIRED, refers_to=("rooms",))
    kind: Literal["smoke", "carbon-monoxide", "both"] = field("Kind", "what it senses", REQUIRED)
    status: Status = field("Status", "existing, new or removed", "new")
    power: Literal["hardwired", "battery"] | None = field("Power", "house wiring with battery, or battery alone")
    interconnected: bool | None = field("Interconnected", "whether all sound together")
    circuit: Name | None = field("Circuit", "circuit that it is on", refers_to=("circuits",))


class Finding(Part):
    """What a person saw on the walk."""

    kind: Literal["seen", "right", "corrected", "reading"] = field(
        "Kind", "something seen, a question found right, a correction made, a reading taken", "seen"
    )
    stage: Stage | None = field("Stage", "inspection stage; left out for what is of none")
    text: Notes = field("Finding", "what was seen", REQUIRED)
    room: Name | None = field("Room", "where it was seen", refers_to=("rooms",))
    place: Text | None = field("Place", "where it was seen, where that is no room: a building, a panel, outdoors")
    asked: Many[Notes] = field("Asked", "questions of the walk, or the correction, that it answers", ())
    section: Text | None = field("Section", "section that the inspector named")
    who: Text | None = field("Found by", "who saw it")
    found_on: Date | None = field("Found on", "when it was seen")
    closed_on: Date | None = field("Closed on", "when it was corrected; leave out while it is open")
    closed_by: Text | None = field("Closed by", "who corrected it")

    source: Text | None = field("Source", "file that it was taken from, where a phone sent it back")

    @property
    def closed(self) -> bool:
        """Whether nothing is left to do about it."""
        return self.closed_on is not None or self.kind != "seen"
