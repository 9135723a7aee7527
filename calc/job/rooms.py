"""[[rooms]]: a room as people tape it, walked clockwise with the wall on the left hand.

`at_ft` is the running dimension from where the first wall begins or, with `wall` given, from where that
wall begins: its left end as one faces it from inside.
"""

from typing import ClassVar, Literal

from calc.job.fields import REQUIRED, Many, Name, Needs, OneOf, Part, Proposable, Text, field
from calc.job.house import Status
from calc.job.lengths import Feet, Inches

RoomUse = Literal[
    "family", "living", "dining", "kitchen", "breakfast", "pantry", "den", "library", "office", "recreation", "sunroom",
    "bedroom", "bathroom", "hall", "foyer", "laundry", "utility", "storage", "closet", "clothes-closet", "garage",
    "workshop", "basement", "attic", "crawl-space", "porch", "deck", "balcony", "outdoors", "other",
]  # fmt: skip
OUTDOORS: tuple[RoomUse, ...] = ("outdoors", "porch", "deck", "balcony")
"""Uses of places under the open sky or open to it."""


class Wall(Part):
    """One straight piece of the wall line, in the order walked."""

    name: Name = field("Wall", "name of the wall, such as 'north'", REQUIRED)
    length_ft: Feet = field("Length", "along the wall", REQUIRED, unit="ft", least=0.1, most=500)
    kind: Literal["wall", "railing", "divider", "open"] = field(
        "Kind", "railing and fixed divider count as wall; open: no wall stands there", "wall"
    )
    turn_deg: float = field(
        "Turn", "turn at its end: 90 to the right, -90 to the left", 90.0, unit="deg", least=-180, most=180
    )


class Opening(Part):
    """Something that breaks the wall line, or that people take for a break."""

    kind: Literal[
        "door", "cased-opening", "garage-door", "slider", "fixed-glass", "window", "fireplace", "cabinet", "bookcase"
    ] = field("Opening", "what is there", REQUIRED)  # fmt: skip
    wall: Name | None = field("Wall", "wall that the place is measured along", refers_to=(".walls",))
    at_ft: Feet = field("At", "where it begins", REQUIRED, unit="ft", least=0, most=2000)
    width_ft: Feet = field("Width", "along the wall", REQUIRED, unit="ft", least=0.1, most=200)
    work_surface: bool = field("Work surface", "cabinet: whether it has a countertop or work surface", False)
    leads_to: Literal["inside", "outdoors", "closet", "garage"] | None = field(
        "Leads to", "where it leads; a door that doesn't say so leads inside"
    )
    grade_access: bool | None = field("At grade", "outdoor door: whether one steps out at grade")
    outdoor_light: bool | None = field("Light outside", "outdoor door: whether a light is at its outside")


class Outlet(Proposable):
    """A receptacle outlet."""

    wall: Name | None = field("Wall", "wall that the place is measured along", refers_to=(".walls",))
    at_ft: Feet | None = field("At", "where it is", unit="ft", least=0, most=2000)
    height_in: Inches | None = field("Height", "above floor, or above grade outdoors", unit="in", least=0, most=240)
    from_wall_in: Inches | None = field(
        "From wall", "floor outlet: distance from the wall", unit="in", least=0, most=240
    )
    status: Literal["existing", "new", "removed", "replaced"] = field(
        "Status", "existing, new, removed or replaced", "new"
    )
    switched: Literal["no", "half", "all"] = field("Switched", "whether a switch turns it off", "no")
    in_cabinet: bool = field("In cabinet", "inside a cabinet or cupboard", False)
    dedicated: bool = field("Dedicated", "for one appliance only, or part of a luminaire or appliance", False)
    purpose: (
        Literal["laundry", "basin", "vehicle-bay", "equipment-service", "front", "back", "security", "other"] | None
    ) = field("Purpose", "a required outlet that it stands for")
    bay: int | None = field("Bay", "garage: number of the vehicle bay", least=1, most=20)
    equipment: Name | None = field("Equipment", "heating or cooling that it is there to serve", refers_to=("loads",))
    distance_ft: Feet | None = field("Distance", "from that equipment", unit="ft", least=0, most=500)
    load_side: bool | None = field("Behind its disconnect", "whether it is fed from that equipment's disconnect")
    water_ft: Feet | None = field(
        "To water", "way of a cord to the nearest sink, tub or shower stall", unit="ft", least=0, most=500
    )
    tub_ft: Feet | None = field(
        "To tub or shower",
        "level distance to the nearest tub or shower, 0 in or above it",
        unit="ft",
        least=0,
        most=500,
    )
    farthest_wall: bool | None = field(
        "Farthest wall", "bathroom too small for that distance: whether it is on the farthest wall opposite"
    )
    circuit: Name | None = field("Circuit", "circuit that it is on", refers_to=("circuits",))
    grounded: bool | None = field("Grounded", "whether an equipment grounding conductor reaches it")
    two_slots: bool | None = field("Two slots", "whether it is of the kind without a hole for a ground")
    ground_fault: bool | None = field("Ground-fault protected", "whether it protects people, itself or upstream")
    arc_fault: bool | None = field("Arc-fault protected", "whether it is arc-fault protected, itself or upstream")
    tamper_resistant: bool | None = field("Tamper resistant", "whether it is of the tamper-resistant kind")
    weather_resistant: bool | None = field("Weather resistant", "whether it is of the weather-resistant kind")


class CounterOutlet(Proposable):
    """A receptacle that serves a counter."""

    at_in: Inches = field(
        "At",
        "along the counter from its left end; on an end wall from the corner",
        REQUIRED,
        unit="in",
        least=0,
        most=1200,
    )
    end_wall: Literal["left", "right"] | None = field("End wall", "on the wall at this end of the counter")
    above_in: Inches | None = field("Above counter", "height above the counter", unit="in", least=0, most=60)
    below_in: Inches | None = field("Below counter", "depth below the counter", unit="in", least=0, most=60)
    in_counter: bool = field("In the counter", "a listed assembly in the counter", False)
    status: Literal["existing", "new", "removed", "replaced"] = field(
        "Status", "existing, new, removed or replaced", "new"
    )
    dedicated: bool = field("Dedicated", "for one appliance that stands in its own space", False)
    circuit: Name | None = field("Circuit", "circuit that it is on", refers_to=("circuits",))
    ground_fault: bool | None = field("Ground-fault protected", "whether it protects people, itself or upstream")
    arc_fault: bool | None = field("Arc-fault protected", "whether it is arc-fault protected, itself or upstream")
    tamper_resistant: bool | None = field("Tamper resistant", "whether it is of the tamper-resistant kind")
    weather_resistant: bool | None = field("Weather resistant", "whether it is of the weather-resistant kind")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (OneOf(("above_in", "below_in", "in_counter"), least=0),)


class Break(Part):
    """What stands in or through a counter: sink, cooktop, range, refrigerator."""

    kind: Literal["sink", "cooktop", "range", "refrigerator", "other"] = field(
        "Break", "what breaks the counter", REQUIRED
    )
    at_in: Inches = field("At", "where it begins, along the counter", REQUIRED, unit="in", least=0, most=1200)
    width_in: Inches = field("Width", "along the counter", REQUIRED, unit="in", least=1, most=240)
    behind_in: Inches | None = field("Behind", "depth of counter behind it", unit="in", least=0, most=60)
    corner: bool = field("In a corner", "set across a corner", False)


class Counter(Part):
    """A counter along a wall, an island or a peninsula."""

    name: Name = field("Counter", "name of the counter", REQUIRED)
    kind: Literal["wall", "island", "peninsula"] = field("Kind", "wall counter, island or peninsula", "wall")
    length_in: Inches = field("Length", "along the wall, or the long side", REQUIRED, unit="in", least=1, most=1200)
    depth_in: Inches | None = field("Depth", "from front to back, or the short side", unit="in", least=1, most=240)
    left_end_in: Inches = field(
        "Left end wall", "wall along its left end, where there is one", 0.0, unit="in", least=0, most=240
    )
    right_end_in: Inches = field("Right end wall", "wall along its right end", 0.0, unit="in", least=0, most=240)
    overhang_in: Inches | None = field(
        "Overhang", "how far the top stands out over its base", unit="in", least=0, most=60
    )
    breaks: Many[Break] = field("Breaks", "sinks, cooktops, ranges and the like, in order", ())
    outlets: Many[CounterOutlet] = field("Outlets", "receptacles that serve it", ())
    provision: bool | None = field("Provision", "island: whether wiring is ready for a later receptacle")


class Basin(Part):
    """A bathroom basin."""

    wall: Name | None = field("Wall", "wall that the place is measured along", refers_to=(".walls",))
    at_ft: Feet = field("At", "where it begins", REQUIRED, unit="ft", least=0, most=2000)
    width_ft: Feet = field("Width", "along the wall", REQUIRED, unit="ft", least=0.1, most=50)


class Room(Part):
    """A room, or a place outdoors."""

    name: Name = field("Room", "name of the room", REQUIRED)
    use: RoomUse = field("Use", "what the room is used as", REQUIRED)
    storey: Text | None = field("Storey", "storey that it is on, such as 'first'")
    building: Name | None = field("Building", "building, when not the house itself", refers_to=("buildings",))
    unit_group: Name | None = field("Units", "group of units that have it", refers_to=("dwelling.units",))
    status: Status = field("Status", "existing, new or removed", "new")
    finished: bool | None = field("Finished", "basement, attic: whether it is finished; left out: not known")
    walls: Many[Wall] = field("Walls", "the wall line, clockwise", ())
    openings: Many[Opening] = field("Openings", "doors, glass, fireplaces, cabinets along the wall line", ())
    outlets: Many[Outlet] = field("Outlets", "receptacles; left out, places are proposed; [] where there are none", ())
    counters: Many[Counter] = field("Counters", "counters, islands and peninsulas; [] where there are none", ())
    basins: Many[Basin] = field("Basins", "bathroom basins; [] where there are none", ())
    floor_area_ft2: float | None = field("Floor area", "foyer: its area", unit="ft2", least=1, most=20_000)
    hall_length_ft: Feet | None = field(
        "Hall length", "along its centre line, without passing a door", unit="ft", least=0, most=500
    )
    vehicle_bays: int | None = field("Vehicle bays", "garage: bays for vehicles", unit="bay", least=1, most=20)
    attached: bool | None = field("Attached", "garage: whether attached to the house")
    front_or_back: Literal["front", "back", "other"] | None = field("Side of house", "outdoors: which side")
    reached_from_inside: bool | None = field(
        "Reached from inside", "balcony, deck, porch: whether one steps out from inside"
    )
    storage: bool | None = field("Used for storage", "attic, crawl space, basement: whether things are kept there")
    light: Literal["wall-switched", "switched-receptacle", "other-control", "none"] | None = field(
        "Light", "lighting outlet and how it is switched"
    )
    switch_at_entry: bool | None = field("Switch at entry", "whether it is switched at its usual entry")
    light_at_equipment: bool | None = field("Light at equipment", "whether equipment in it has light beside it")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (Needs("openings", "walls"),)
