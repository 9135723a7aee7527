"""Conductors from here to there: [[runs]], [[raceways]], [[circuits]]."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from calc.job.cables import Cable, Size
from calc.job.fields import REQUIRED, Many, Name, Needs, OneOf, Part, Proposable, Text, Words, field
from calc.job.house import Status
from calc.job.lengths import Feet, Inches

Material = Literal["copper", "aluminum"]
Insulation = Literal[
    "THHN", "THWN", "THWN-2", "THW", "THW-2", "THHW", "TW", "XHHW", "XHHW-2", "XHH", "RHH", "RHW", "RHW-2", "USE", "USE-2"
]  # fmt: skip
RacewayKind = Literal["EMT", "IMC", "RMC", "FMC", "LFMC", "LFNC-A", "LFNC-B", "ENT", "PVC-40", "PVC-80", "HDPE"]
WiringMethod = Literal[
    "NM", "UF", "MC", "AC", "SER", "SEU", "USE",
    "EMT", "IMC", "RMC", "FMC", "LFMC", "LFNC-A", "LFNC-B", "ENT", "PVC-40", "PVC-80", "HDPE", "overhead",
]  # fmt: skip
Space = Annotated[int, Field(ge=1, le=84), Words("space", "a space number from 1 to 84")]
TradeSize = Literal["3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"]
"""Trade sizes whose inside is in the table of raceways."""
EntrySize = Literal["3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6"]
"""Trade sizes that there are: the distances in a pull box follow from the name of the size alone."""
Termination = Literal[60, 75, 90]
Location = Literal["dry", "dry-throughout", "damp", "wet", "buried", "attic", "rooftop"]


class Run(Proposable):
    """One set of conductors, with its load, its surroundings and (given or to be found) its size."""

    name: Name = field("Run", "name of the run", REQUIRED)
    role: Literal["utility", "service", "feeder", "branch"] = field(
        "Role", "utility: the utility's own conductors, counted for drop and fault only", REQUIRED
    )
    status: Status = field("Status", "existing, new or removed", "new")
    fed_from: Name | None = field(
        "Fed from",
        "panel or run where it begins, or 'utility'; leave out where what lies ahead is no part of the job",
        refers_to=("panels", "runs"),
        also=("utility",),
    )
    feeds: Name | None = field("Feeds", "panel, circuit or load at its end", refers_to=("panels", "circuits", "loads"))
    calculated_a: float | None = field(
        "Load", "calculated current; leave out to take it from what it feeds", unit="A", least=0.1, most=4000
    )
    served_area_ft2: float | None = field(
        "Floor area served",
        "feeder: floor area of a dwelling whose lighting and receptacles it feeds, 0 for none; leave out for all of a house",
        unit="ft2", least=0, most=30_000,
    )  # fmt: skip
    continuous_a: float = field(
        "Continuous load", "the part of it that is continuous", 0.0, unit="A", least=0, most=4000
    )
    neutral_a: float | None = field("Neutral load", "calculated current of the neutral", unit="A", least=0, most=4000)
    motor_or_hvac: bool = field(
        "Motor or air conditioning", "a circuit sized by minimum circuit and maximum breaker of the nameplate", False
    )
    volts: Literal[120, 208, 240] = field("Voltage", "nominal voltage between its conductors", REQUIRED, unit="V")
    phases: Literal[1, 3] = field("Phases", "1 or 3", 1)
    neutral: bool | None = field("Neutral", "whether it has a neutral; leave out to have it follow from the load")
    multiwire: bool = field("Multiwire", "two 120 V circuits that share a neutral", False)
    power_factor: float = field("Power factor", "of the load", 1.0, least=0.1, most=1)
    length_ft: Feet | None = field("Length", "length one way", unit="ft", least=0.5, most=10_000)
    drop_limit_pct: float | None = field(
        "Drop wanted", "most voltage drop wanted in this run", unit="%", least=0.1, most=20
    )

    material: Material | None = field("Metal", "metal of the conductors; a cable says its own")
    insulation: Insulation | None = field("Insulation", "type of single conductors; a cable says its own")
    wiring_method: WiringMethod | None = field("Wiring method", "the cable, or the raceway around the conductors")
    raceway: Name | None = field("Raceway", "raceway that it shares with others", refers_to=("raceways",))
    raceway_trade_size: TradeSize | None = field("Raceway size", "leave out to have it worked out")
    location: Location = field(
        "Location", "the worst place along the run; dry-throughout: dry all the way, though an end is outdoors", "dry"
    )
    marked_for: Literal["dry", "wet", "direct-burial"] | None = field(
        "Marked for", "MC cable: the worst place that its marking is for; leave out where nobody read it"
    )
    ambient_f: float = field("Ambient", "highest air temperature along the run", 86.0, unit="°F", least=-40, most=180)
    above_roof_in: Inches | None = field("Above roof", "height above the roof", unit="in", least=0, most=120)
    in_insulation: bool = field(
        "In insulation", "in thermal insulation, or through one sealed opening, without space between cables", False
    )
    cables_bundled: int = field(
        "Cables bundled", "cables lying together for more than 24 in or in one sealed opening, this one counted",
        1, unit="cable", least=1, most=50,
    )  # fmt: skip
    current_carrying: int | None = field(
        "Current-carrying conductors", "in the raceway or bundle, all of them; leave out to have them counted",
        unit="conductor", least=1, most=200,
    )  # fmt: skip
    terminations_from_c: Termination | None = field("Terminals where it begins", "temperature rating", unit="°C")
    terminations_to_c: Termination | None = field("Terminals where it ends", "temperature rating", unit="°C")
    burial_in: Inches | None = field("Burial depth", "soil over the top of it", unit="in", least=0, most=120)
    burial_under: Literal["yard", "driveway", "street", "slab", "building"] | None = field(
        "Buried under", "what lies above it"
    )
    ground_fault_protected: bool | None = field("Ground-fault protected", "whether its breaker protects people")

    cable: Cable | None = field("Cable", "the cable or set as the trade says it; leave out to have the size worked out")
    size: Size | None = field("Conductor size", "ungrounded conductors; leave out to have it worked out")
    neutral_size: Size | None = field("Neutral size", "leave out to have it worked out")
    ground_size: Size | None = field("Equipment ground size", "leave out to have it worked out")
    equipment_ground: Literal["wire", "raceway", "none"] = field(
        "Equipment ground", "what serves as equipment grounding conductor", "wire"
    )
    sets: int = field("Parallel sets", "sets of conductors in parallel", 1, unit="set", least=1, most=12)
    breaker_a: int | None = field("Breaker", "leave out to have it worked out", unit="A", least=10, most=4000)
    bus_position: Literal["opposite-end", "anywhere"] | None = field(
        "Breaker on the bus",
        "feeder with a source beyond it: whether its breaker stands at the end opposite the main; left out: anywhere",
    )
    notes: Text | None = field("Notes", "anything worth printing beside it")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        OneOf(("cable", "size"), least=0),
        OneOf(("cable", "insulation"), least=0),
        OneOf(("cable", "material")),
        OneOf(("feeds", "calculated_a", "breaker_a"), most=3),
        Needs("neutral_size", "size"),
        Needs("ground_size", "size"),
    )

    @property
    def metal(self) -> str:
        """Metal of the conductors, as said or as the cable has it."""
        return self.material or (self.cable.material if self.cable else "")

    @property
    def given_size(self) -> str:
        """Size given for the ungrounded conductors; '' when it is to be worked out."""
        return self.size or (self.cable.size if self.cable else "")


class Raceway(Part):
    """[[raceways]]: a raceway with everything that is pulled into it."""

    name: Name = field("Raceway", "name of the raceway", REQUIRED)
    kind: Literal[RacewayKind, "metal-wireway"] = field(
        "Kind", "kind of raceway; metal-wireway: a trough of sheet metal with a cover", REQUIRED
    )
    trade_size: TradeSize | None = field("Trade size", "leave out to have the smallest worked out")
    length_ft: Feet | None = field("Length", "24 in or less is a nipple", unit="ft", least=0.1, most=10_000)
    holds: Many[Cable] = field("Holds", "conductors and cables in it, besides the runs that name it", ())
    cable_width_in: Inches | None = field(
        "Cable width", "larger outside diameter of the cables in it", unit="in", least=0.05, most=6
    )
    compact: bool = field("Compact conductors", "whether the aluminum conductors in it are compact", False)
    fittings: Literal["inside", "outside"] | None = field(
        "Fittings", "trade size 3/8: whether its fittings grip inside the conduit or outside"
    )
    width_in: Inches | None = field("Width", "wireway: inside", unit="in", least=1, most=48)
    height_in: Inches | None = field("Height", "wireway: inside", unit="in", least=1, most=48)
    bend_in: Inches | None = field(
        "Room to bend",
        "wireway: from the wall where conductors come in to the wall opposite; left out: the smaller of width and height",
        unit="in", least=1, most=48,
    )  # fmt: skip
    splices_in2: float | None = field(
        "Splices",
        "wireway: area that splices and taps take where they lie closest; 0 for none",
        unit="in2",
        least=0,
        most=500,
    )


class Circuit(Proposable):
    """[[circuits]]: a branch circuit or a breaker of a panel."""

    name: Name = field("Circuit", "name of the circuit, as the panel's schedule will say it", REQUIRED)
    panel: Name | None = field("Panel", "panel that it starts from", refers_to=("panels",))
    status: Status = field("Status", "existing, new or removed", "new")
    positions: Many[Space] = field(
        "Positions", "spaces that its breaker takes, such as 1, 3; leave out to have them chosen", ()
    )
    tandem: Literal["a", "b"] | None = field("Tandem half", "which half of a tandem breaker")
    poles: Literal[1, 2] = field("Poles", "1 for 120 V, 2 for 208 or 240 V", 1, unit="pole")
    breaker_a: int | None = field("Breaker", "leave out to have it worked out", unit="A", least=10, most=400)
    breaker_type: Literal["standard", "arc-fault", "ground-fault", "dual-function"] = field(
        "Breaker type", "protection in the breaker", "standard"
    )
    first_outlet: Literal["standard", "arc-fault", "ground-fault", "dual-function"] = field(
        "First outlet", "protection in the first outlet", "standard"
    )
    multiwire_with: Name | None = field("Multiwire with", "circuit that shares its neutral", refers_to=("circuits",))
    common_disconnect: Literal["two-pole", "handle-tie", "none"] | None = field(
        "Common disconnect", "what opens both halves of a multiwire circuit together"
    )
    neutral_pigtailed: bool | None = field(
        "Neutral pigtailed", "multiwire: whether devices can be taken out without opening it"
    )
    cable: Cable | None = field("Cable", "cable of the circuit; leave out to have it worked out")
    other_cables: Many[Cable] = field("Other cables", "other cables on it, such as a switch leg of another size", ())
    length_ft: Feet | None = field("Length", "one way to the far outlet", unit="ft", least=0.5, most=10_000)
    rooms: Many[Name] = field("Rooms", "rooms that it serves", (), refers_to=("rooms",))
    purpose: Literal[
        "general", "lighting", "small-appliance", "laundry", "bathroom", "garage", "outdoor", "individual",
        "feeder", "spare",
    ] = field("Purpose", "what it is there for", REQUIRED)  # fmt: skip
    outlets: Many[
        Literal["receptacles", "lighting", "fan", "refrigerator", "freezer", "washer", "clock", "igniter", "smoke-alarms", "other"]
    ] = field("Outlets", "what is on it besides the loads that name it", ())  # fmt: skip
    load_va: float | None = field(
        "Load for balancing", "load to count on its leg where no load names it", unit="VA", least=0, most=100_000
    )
    receptacle_a: Literal[15, 20, 30, 50, 60] | None = field("Receptacle", "rating of its receptacles", unit="A")
    single_receptacle: bool | None = field(
        "Single receptacle", "one single receptacle and nothing else; false: a duplex, or several"
    )
    extended_ft: Feet | None = field(
        "Extended by", "length added to an existing circuit", unit="ft", least=0, most=1000
    )
    extension_adds_outlets: bool | None = field("Extension adds outlets", "whether outlets or devices are added")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        Needs("common_disconnect", "multiwire_with"),
        Needs("positions", "panel"),
    )

    @property
    def number(self) -> str:
        """Its number on the panel: first space, and the half of a tandem; '' when not placed yet."""
        return f"{self.positions[0]}{self.tandem or ''}" if self.positions else ""
