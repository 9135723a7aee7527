"""[[loads]]: everything that draws power apart from general lighting and receptacles."""

from typing import ClassVar, Literal

from calc.job.fields import REQUIRED, Many, Name, Needs, OneOf, Part, Text, field
from calc.job.house import Status
from calc.job.lengths import Inches

LoadKind = Literal[
    "range", "cooktop", "wall-oven", "dryer", "water-heater", "tankless-water-heater", "heat-pump-water-heater",
    "dishwasher", "disposer", "microwave", "hood", "compactor", "space-heat", "heat-pump", "mini-split",
    "supplemental-heat", "air-conditioner", "furnace", "boiler", "fan", "ev-supply", "well-pump", "sump-pump",
    "pool-pump", "spa", "hydromassage-tub", "sauna", "shop", "other",
]  # fmt: skip
COOKING: tuple[LoadKind, ...] = ("range", "cooktop", "wall-oven")
WATER_HEATERS: tuple[LoadKind, ...] = ("water-heater", "tankless-water-heater", "heat-pump-water-heater")
_HEAT: tuple[LoadKind, ...] = ("space-heat", "supplemental-heat", "furnace", "boiler")
Connection = Literal["line-to-line", "line-to-neutral", "line-to-line-and-neutral"]


class Load(Part):
    """One load, or several that are alike."""

    name: Name = field("Load", "name of the load", REQUIRED)
    kind: LoadKind = field("Kind", "kind of load: it decides how the load counts", REQUIRED)
    load_va: float | None = field(
        "Nameplate load",
        "nameplate of one, in volt-amperes (1 kW counts as 1,000 VA)",
        unit="VA",
        least=1,
        most=100_000,
    )
    nameplate_a: float | None = field(
        "Nameplate current",
        "nameplate current of one, instead of the load; a minimum circuit in its place is on the safe side",
        unit="A",
        least=0.1,
        most=400,
    )
    volts: Literal[120, 208, 240] = field("Voltage", "nominal voltage that it is connected to", REQUIRED, unit="V")
    count: int = field(
        "Number", "how many are alike; in a unit load, in each unit", 1, unit="appliance", least=1, most=500
    )
    status: Status = field("Status", "existing, new or removed by this job", "new")
    connection: Connection | None = field("Connection", "leave out for the usual connection of its kind and voltage")
    fastened: bool | None = field("Fastened in place", "leave out for the usual of its kind; say it for 'other'")
    continuous: bool = field("Continuous", "runs three hours or more at a time, beyond what the code takes so", False)
    fuel_burning: bool = field(
        "Burns fuel", "gas, oil or wood equipment: the load is its blower, burner and controls", False
    )

    panel: Name | None = field("Panel", "panel that its circuit comes from", refers_to=("panels",))
    circuit: Name | None = field("Circuit", "circuit that it is on", refers_to=("circuits",))
    room: Name | None = field("Room", "room that it stands in", refers_to=("rooms",))
    outdoors: bool | None = field("Outdoors", "whether it stands outdoors")
    serves: Literal["unit", "house"] = field(
        "Serves", "two families or more: each unit, or the house as a whole", "unit"
    )
    unit_group: Name | None = field(
        "Units", "the group of units that have it; leave out when every unit has it", refers_to=("dwelling.units",)
    )
    runs_with: Many[Name] = field(
        "Runs with", "heating or cooling that this one runs beside (blower, strips)", (), refers_to=("loads",)
    )
    moves_cooling_air: bool | None = field(
        "Moves cooling air",
        "furnace that burns fuel: whether its blower runs with the cooling; leave out where it does",
        only_for=("furnace",),
    )
    locked_out_by: Many[Name] = field(
        "Locked out by", "loads that can't run at the same time, held out by a control", (), refers_to=("loads",)
    )

    heat_zones: int | None = field(
        "Heat zones", "separately controlled heaters in this load; leave out when each has its own control",
        unit="zone", least=1, most=100, only_for=_HEAT,
    )  # fmt: skip
    thermal_storage: bool = field(
        "Storage heating", "heating that charges at full load for hours", False, only_for=_HEAT
    )
    motor_hp: float | None = field("Largest motor", "rating of its largest motor", unit="hp", least=0.05, most=50)
    motor_a: float | None = field(
        "Largest motor current", "rated-load or full-load current of its largest motor", unit="A", least=0.1, most=400
    )
    mca_a: float | None = field(
        "Minimum circuit", "minimum circuit ampacity on the nameplate", unit="A", least=0.1, most=400
    )
    mocp_a: float | None = field(
        "Maximum breaker", "maximum overcurrent protection on the nameplate", unit="A", least=10, most=600
    )
    setting_a: float | None = field(
        "Current setting",
        "vehicle supply: the current that it is set to",
        unit="A",
        least=6,
        most=200,
        only_for=("ev-supply",),
    )
    setting_locked: bool | None = field(
        "Setting locked", "whether only qualified persons can change the setting", only_for=("ev-supply",)
    )
    counted_as: Literal["appliance", "motor"] | None = field(
        "Counted as",
        "pool pump: as an appliance fastened in place or as a motor; opinions differ",
        only_for=("pool-pump",),
    )
    tank_gal: float | None = field(
        "Tank",
        "water heater: volume of the tank",
        unit="gal",
        least=0,
        most=500,
        only_for=("water-heater", "heat-pump-water-heater"),
    )

    connected_by: Literal["hardwired", "cord"] | None = field("Connected by", "fixed wiring, or cord and plug")
    cord_in: Inches | None = field("Cord", "length of its cord", unit="in", least=0, most=300)
    receptacle_at: Literal["behind", "adjacent-space", "cabinet-above", "other"] | None = field(
        "Receptacle at", "where its receptacle is"
    )
    individual_circuit: bool = field("Own circuit", "whether the maker asks for a circuit of its own", False)
    disconnect_in_sight: bool | None = field("Disconnect in sight", "whether a disconnect is within sight of it")
    notes: Text | None = field("Notes", "anything worth printing beside it")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        OneOf(("load_va", "nameplate_a")),
        Needs("setting_locked", "setting_a"),
    )

    @property
    def rated_by(self) -> str:
        """The key that states its rating."""
        return "load_va" if self.load_va is not None else "nameplate_a"

    @property
    def va(self) -> float:
        """Nameplate load of one, VA."""
        if self.load_va is not None:
            return self.load_va
        assert self.nameplate_a is not None
        return self.nameplate_a * self.volts

    @property
    def total_va(self) -> float:
        """Nameplate load of all that are alike (in one unit, for a unit load), VA."""
        return self.va * self.count

    @property
    def is_fastened(self) -> bool:
        """Fastened in place: as said, or as is usual for its kind."""
        return self.fastened is not False

    @property
    def connected(self) -> Connection:
        """How it is connected: as said, or as is usual for its kind and voltage."""
        if self.connection:
            return self.connection
        if self.volts == 120:
            return "line-to-neutral"
        return "line-to-line-and-neutral" if self.kind in (*COOKING, "dryer") else "line-to-line"

    @property
    def uses_neutral(self) -> bool:
        """Whether it can put current on the neutral."""
        return self.connected != "line-to-line"

    @property
    def zones(self) -> int:
        """Separately controlled heaters in this load."""
        return self.heat_zones or self.count
