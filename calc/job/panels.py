"""Panels, buildings and earth: [[panels]], [[buildings]], [grounding]."""

from typing import ClassVar, Literal

from calc.job.cables import Size
from calc.job.fields import REQUIRED, Date, Many, Name, Needs, OneOf, Part, Proposable, Text, field
from calc.job.house import Status
from calc.job.lengths import Feet, Inches

ElectrodeKind = Literal["water-pipe", "footing", "rod", "pipe", "plate", "ring", "structural-metal", "other"]


class Panel(Proposable):
    """[[panels]]: a panel, or a meter-main."""

    name: Name = field("Panel", "name of the panel", REQUIRED)
    status: Status = field("Status", "existing, new or removed", "new")
    fed_from: Name | None = field(
        "Fed from",
        "the panel that feeds it, or 'utility'; not needed where a run feeds it",
        refers_to=("panels",),
        also=("utility",),
    )
    bus_a: int | None = field("Bus rating", "rating of the bus", unit="A", least=30, most=4000)
    main_a: int | None = field("Main breaker", "its main; leave out for main lugs", unit="A", least=15, most=4000)
    spaces: int | None = field("Spaces", "full-size breaker spaces", unit="space", least=2, most=84)
    circuits_most: int | None = field(
        "Most circuits", "most circuits that its label allows, tandems counted", unit="circuit", least=2, most=84
    )
    interrupting_a: int | None = field(
        "Interrupting rating", "lowest rating of its breakers", unit="A", least=5000, most=200_000
    )
    series_rating_a: int | None = field(
        "Series rating", "series rating with the breaker ahead, as labelled", unit="A", least=5000, most=200_000
    )
    surge_protection: Literal["none", "type-1", "type-2"] | None = field(
        "Surge protection", "surge-protective device in or beside the panel"
    )
    service_equipment: bool = field("Service equipment", "whether the service disconnect is here", False)
    neutral_bonded: bool | None = field("Neutral bonded", "whether neutral and ground are joined here")
    building: Name | None = field("Building", "building that it stands in", refers_to=("buildings",))
    unit_group: Name | None = field(
        "Units",
        "group of units that each have a panel like this one, which carries all of the unit",
        refers_to=("dwelling.units",),
    )
    room: Name | None = field("Room", "room that it stands in", refers_to=("rooms",))
    location: (
        Literal[
            "outdoors", "garage", "basement", "utility", "hall", "kitchen", "laundry", "attic", "crawl-space",
            "bathroom", "clothes-closet", "over-stairs", "other",
        ]
        | None
    ) = field("Place", "kind of place that it stands in")  # fmt: skip
    working_depth_in: Inches | None = field("Working depth", "clear depth in front", unit="in", least=0, most=240)
    working_width_in: Inches | None = field("Working width", "clear width in front", unit="in", least=0, most=240)
    working_height_in: Inches | None = field("Headroom", "clear height in front", unit="in", least=0, most=240)


class Electrode(Proposable):
    """A grounding electrode of the house or of a building."""

    kind: ElectrodeKind = field("Electrode", "kind of electrode", REQUIRED)
    used: bool = field("Used", "whether it is connected; an electrode can be present and not used", True)
    count: int = field("Number", "how many rods, pipes or plates", 1, unit="electrode", least=1, most=20)
    length_ft: Feet | None = field(
        "Length",
        "length in the ground or the concrete: rod, pipe, footing steel or ring",
        unit="ft",
        least=0,
        most=1000,
    )
    spacing_ft: Feet | None = field("Spacing", "distance between rods", unit="ft", least=0, most=200)
    resistance_ohm: float | None = field(
        "Resistance", "measured resistance to ground of a single one", unit="ohm", least=0, most=10_000
    )
    accessible: bool | None = field("Accessible", "whether it can be reached without breaking concrete")
    seen_by: Text | None = field("Seen by", "who saw it before it was covered")
    seen_on: Date | None = field("Seen on", "when it was seen")
    conductor: Size | None = field("Electrode conductor", "size of its conductor; leave out to have it worked out")
    material: Literal["copper", "aluminum"] = field("Conductor metal", "metal of its conductor", "copper")
    protected: bool | None = field("Protected", "whether its conductor is protected from damage")
    continues_to: ElectrodeKind | None = field("Runs on to", "electrode that the same conductor runs on to")


class Grounding(Part):
    """[grounding]: electrodes and bonds of the service."""

    electrodes: Many[Electrode] = field("Electrodes", "electrodes that are present", ())
    water_piping: Literal["metal", "plastic", "mixed"] | None = field("Water piping", "water piping in the house")
    water_bond: Size | None = field("Water bond", "bond of the metal water piping")
    gas_piping: Literal["none", "steel", "csst", "other"] | None = field("Gas piping", "gas piping in the house")
    gas_bond: Size | None = field("Gas bond", "bond of the gas piping")
    gas_circuit_a: int | None = field(
        "Circuit at the gas", "largest circuit that could energise the gas piping", unit="A", least=10, most=400
    )
    intersystem_bonding: bool | None = field("Intersystem bonding", "whether its termination is there")
    main_bonding_jumper: Size | None = field(
        "Main bonding jumper", "leave out where the maker's screw or strap is used"
    )
    supply_side_bonding_jumper: Size | None = field("Supply-side bonding jumper", "ahead of the service disconnect")
    sleeve_bonded: bool | None = field(
        "Sleeve bonded", "whether a metal sleeve around the grounding electrode conductor is bonded at both ends"
    )


class Building(Part):
    """[[buildings]]: another building on the lot."""

    name: Name = field("Building", "name of the building", REQUIRED)
    kind: Literal["garage", "workshop", "shed", "barn", "accessory-dwelling", "other"] = field(
        "Kind", "what it is used as", REQUIRED
    )
    status: Status = field("Status", "existing, new or removed", "new")
    floor_area_ft2: float | None = field(
        "Floor area",
        "accessory dwelling on the service of the house: its outside dimensions",
        unit="ft2",
        least=50,
        most=30_000,
    )
    small_appliance_circuits: int = field(
        "Small-appliance circuits",
        "accessory dwelling: 20 A kitchen and dining circuits",
        2,
        unit="circuit",
        least=2,
        most=20,
    )
    laundry_circuits: int = field(
        "Laundry circuits", "accessory dwelling: 20 A laundry circuits", 1, unit="circuit", least=0, most=5
    )
    electrodes: Many[Electrode] = field("Electrodes", "electrodes at this building", ())
    disconnect: Literal["none", "outside", "inside-nearest", "elsewhere"] | None = field(
        "Disconnect", "where its disconnect is"
    )
    disconnect_a: int | None = field("Disconnect rating", "rating of its disconnect", unit="A", least=15, most=1200)
    metal_path_to_house: bool | None = field(
        "Metal path to the house", "whether metal piping, sheath or conduit joins it to the house"
    )

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (Needs("disconnect_a", "disconnect"),)
