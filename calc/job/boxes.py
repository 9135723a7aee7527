"""[[boxes]]: an outlet, device or junction box and all that is in it."""

from typing import ClassVar, Literal

from calc.job.cables import Cable, Size
from calc.job.fields import REQUIRED, Many, Name, Needs, OneOf, Part, Proposable, Text, field, keys_of
from calc.job.house import Status
from calc.job.lengths import Inches
from calc.job.wiring import EntrySize


class Device(Part):
    """A yoke or strap in a box."""

    kind: Literal[
        "receptacle", "switch", "three-way-switch", "four-way-switch", "dimmer", "fan-control",
        "range-receptacle", "dryer-receptacle", "other",
    ] = field("Device", "kind of device", REQUIRED)  # fmt: skip
    wire: Size = field("Wire", "largest conductor on this device", REQUIRED)
    gangs: int | None = field(
        "Gangs",
        "gangs that it takes: 2 when wider than a single device box; left out: by its kind",
        unit="gang",
        least=1,
        most=4,
    )
    count: int = field("Number", "how many are alike", 1, unit="device", least=1, most=12)


class Contents(Part):
    """What takes room in a box, or in one side of a divided box."""

    cables: Many[Cable] = field("Cables", "cables that end here, such as '2 x 12/2 with ground'", ())
    conductors: Many[Cable] = field("Conductors", "single conductors that end or are spliced here, with grounds", ())
    through: Many[Cable] = field("Through", "conductors that pass through unbroken", ())
    looped: Many[Cable] = field("Looped", "conductors that pass through with a long unbroken loop", ())
    isolated_grounds: Many[Size] = field("Isolated grounds", "isolated equipment grounding conductors", ())
    internal_clamps: Literal["none", "clamps", "moulded"] = field(
        "Internal clamps", "clamps inside the box, or the molded clamps of a plastic box", "none"
    )
    fittings: Many[Literal["stud", "hickey"]] = field("Support fittings", "fixture stud, hickey", ())
    devices: Many[Device] = field("Devices", "devices on yokes", ())
    terminal_blocks: Many[Size] = field("Terminal blocks", "for each block, its largest conductor", ())
    fixture_wires: Many[Cable] = field("Fixture wires", "wires of a luminaire that come in from a canopy", ())
    pigtails: int = field(
        "Pigtails", "conductors that never leave the box; they take nothing", 0, unit="conductor", least=0, most=100
    )

    @property
    def is_empty(self) -> bool:
        """Whether nothing in it takes room."""
        return not self.model_fields_set & set(keys_of(Contents))


class Compartment(Contents):
    """One side of a divided box."""

    name: Name = field("Side", "name of this side, such as 'left'", REQUIRED)
    gangs: int = field("Gangs", "gangs of this side", 1, unit="gang", least=1, most=10)
    volume_in3: float | None = field("Volume", "volume marked for this side", unit="in3", least=1, most=1000)
    low_voltage: bool = field("Low voltage", "this side holds low-voltage wiring only", False)


class Barrier(Part):
    """A divider in a box."""

    material: Literal["metal", "nonmetallic"] = field("Barrier", "what it is made of", REQUIRED)
    marked_in3: float | None = field("Volume", "volume that it takes, if marked", unit="in3", least=0, most=20)


class Entry(Part):
    """A raceway that enters a box with large conductors."""

    wall: Literal["left", "right", "top", "bottom", "back"] = field("Wall", "wall of the box", REQUIRED)
    trade_size: EntrySize = field("Raceway", "trade size", REQUIRED)
    conductor: Size | None = field("Largest conductor", "entry in the back: the largest conductor that comes in there")
    row: int = field("Row", "row on that wall", 1, least=1, most=10)
    run: Name | None = field("Run", "conductors inside: entries of the same run belong together", refers_to=("runs",))


class Box(Contents, Proposable):
    """A box; its volume is marked, or is that of a metal box of the table."""

    name: Name = field("Box", "name of the box, such as 'Kitchen counter, left of sink'", REQUIRED)
    room: Name | None = field("Room", "room that it is in", refers_to=("rooms",))
    circuit: Name | None = field("Circuit", "circuit that it is on", refers_to=("circuits",))
    status: Status = field("Status", "existing, new or removed", "new")
    count: int = field("Number", "how many boxes are alike", 1, unit="box", least=1, most=500)
    material: Literal["metal", "nonmetallic"] | None = field("Material", "what the box is made of")
    gangs: int = field("Gangs", "gangs of the box", 1, unit="gang", least=1, most=10)
    box: Text | None = field("Box of the table", "metal box of the table, such as '4 x 2-1/8 square'")
    marked_in3: float | None = field("Marked volume", "volume marked on the box", unit="in3", least=1, most=2000)
    ring_in3: float | None = field(
        "Ring volume", "volume marked on the plaster ring or cover", unit="in3", least=0, most=100
    )
    extension: Text | None = field("Extension of the table", "extension ring made as a metal box of the table")
    extension_in3: float | None = field(
        "Extension volume", "volume marked on the extension ring", unit="in3", least=0, most=500
    )
    barriers: Many[Barrier] = field("Barriers", "dividers in the box", ())
    compartments: Many[Compartment] = field("Sides", "sides of a divided box, each with what is in it", ())
    canopy: bool = field("Canopy", "the luminaire has a domed canopy over the box", False)
    neutral_at_switch: bool | None = field("Neutral at switch", "whether a neutral is there for a control")
    neutral_let_off: Literal["raceway", "reachable", "seen-from-another", "automatic", "receptacle"] | None = field(
        "Neutral not needed",
        "why a switch does without: raceway, open framing, the floor seen from another switch, automatic, receptacle",
    )
    supports: Literal["nothing", "luminaire", "fan"] = field("Supports", "what hangs from it", "nothing")
    mounted: Literal["wall", "ceiling", "floor"] | None = field("Mounted", "where the box is")
    fan_rated: bool | None = field("Fan rated", "whether the box is listed to hold a ceiling fan")
    fan_framing: bool | None = field(
        "Framing for a fan", "ceiling box: whether framing that can hold a fan is reached straight through it"
    )
    fan_could_hang: bool | None = field(
        "Fan could hang",
        "ceiling box: whether a paddle fan could hang there, by its distance from walls and its height",
    )
    fan_conductors: bool | None = field(
        "Conductors for a fan", "ceiling box: whether a spare conductor with a switch of its own comes to it"
    )
    length_in: Inches | None = field("Length", "inside length of a pull or junction box", unit="in", least=1, most=120)
    width_in: Inches | None = field("Width", "inside width of a pull or junction box", unit="in", least=1, most=120)
    depth_in: Inches | None = field(
        "Depth", "pull box: inside, from the back to the cover", unit="in", least=0.5, most=60
    )
    conduit_body: Literal["ordinary", "short-radius"] | None = field(
        "Conduit body", "a conduit body such as an LB, not a box; short-radius: a capped or service-entrance elbow"
    )
    area_in2: float | None = field(
        "Cross section", "conduit body: area inside, cut across", unit="in2", least=0.05, most=200
    )
    joins: Many[Name] = field("Joins", "conduit body: the raceways that it joins", (), refers_to=("raceways",))
    listed_for_conductors: bool | None = field(
        "Listed for its conductors",
        "conduit body, conductors larger than 6 AWG: whether it is listed and marked for as many of that size",
    )
    pull: Literal["straight", "angle", "u", "splice"] | None = field("Pull", "how large conductors go through")
    entries: Many[Entry] = field("Entries", "raceways with conductors of 4 AWG or larger", ())

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        OneOf(("box", "marked_in3"), least=0),
        Needs("barriers", "compartments"),
        Needs("compartments", "barriers"),
        Needs("pull", "entries"),
        Needs("area_in2", "conduit_body"),
        Needs("joins", "conduit_body"),
        Needs("listed_for_conductors", "conduit_body"),
    )
