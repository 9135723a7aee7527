"""Where power comes in: [service], [fault], [measured_demand], [[sources]], [[load_management]]."""

from typing import ClassVar, Literal

from calc.job.fields import REQUIRED, Date, FileName, Many, Name, Needs, OneOf, Part, Text, field
from calc.job.house import Status

LoadMethod = Literal["standard", "optional", "existing", "measured"]


class Service(Part):
    """[service]: the service of the house when this job is done."""

    system: Literal["120/240", "208Y/120"] = field("System", "voltage of the service", "120/240")
    phases: Literal[1, 3] = field("Phases", "1: two legs and neutral; 3: three legs and neutral (208Y/120 only)", 1)
    supply: Literal["overhead", "underground"] | None = field("Supply", "how the utility reaches the house")
    rating_a: int | None = field(
        "Service rating", "rating when this job is done; leave out to have it worked out", unit="A", least=30, most=4000
    )
    main_a: int | None = field("Main breaker", "rating of the main breaker", unit="A", least=15, most=4000)
    meter_a: int | None = field("Meter socket", "rating of the meter socket", unit="A", least=30, most=4000)
    load_method: LoadMethod = field(
        "Load method", "the method that sizes the service; the permit names one", "standard"
    )
    work: Literal["new", "replaced", "kept", "riser-only"] = field(
        "Work on the service", "riser-only: no more than meter socket, riser or entrance conductors are replaced", "new"
    )
    replaces_a: int | None = field(
        "Rating replaced", "rating of the service that this one replaces", unit="A", least=15, most=4000
    )
    disconnect_outdoors: bool | None = field("Disconnect outdoors", "whether the service disconnect is outdoors")
    disconnect_in_sight: bool | None = field(
        "Disconnect at the house", "whether the emergency disconnect is on the house or within sight of it"
    )
    emergency_disconnect: Literal["none", "service-disconnect", "meter-disconnect", "not-service-equipment"] | None = (
        field("Emergency disconnect", "which outdoor switch serves as the emergency disconnect")
    )
    emergency_disconnect_marked: bool | None = field(
        "Emergency disconnect marked", "whether it carries its required marking"
    )
    surge_protection: Literal["none", "type-1", "type-2"] | None = field(
        "Surge protection", "surge-protective device at the service"
    )
    most_ranges_between_legs: int | None = field(
        "Ranges between two legs",
        "three-phase only: most cooking appliances between any two legs; leave out when spread evenly",
        unit="appliance",
        least=0,
        most=1000,
    )
    most_dryers_between_legs: int | None = field(
        "Dryers between two legs",
        "three-phase only: most dryers between any two legs; leave out when spread evenly",
        unit="appliance",
        least=0,
        most=1000,
    )


class Fault(Part):
    """[fault]: what the utility can deliver into a short circuit: its transformer, or its letter."""

    transformer_kva: float | None = field("Transformer", "rating of the transformer", unit="kVA", least=3, most=5000)
    impedance_pct: float | None = field(
        "Transformer impedance", "impedance on the transformer's nameplate", unit="%", least=0.5, most=10
    )
    x_over_r: float | None = field(
        "Transformer X/R", "ratio of reactance to resistance, where known", least=0.1, most=50
    )
    available_a: float | None = field(
        "Available fault current", "line to line, from the utility's letter", unit="A", least=100, most=200_000
    )
    available_ln_a: float | None = field(
        "Available to neutral", "line to neutral, from the utility's letter", unit="A", least=100, most=300_000
    )
    available_at: Literal["transformer", "service"] = field(
        "Available at", "the point that the letter speaks of", "service"
    )
    stated_by: Text | None = field("Stated by", "who at the utility stated it")
    stated_on: Date | None = field("Stated on", "date of the utility's statement")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        OneOf(("transformer_kva", "available_a")),
        Needs("transformer_kva", "impedance_pct"),
        Needs("impedance_pct", "transformer_kva"),
        Needs("available_a", "stated_by"),
        Needs("available_a", "stated_on"),
        Needs("available_ln_a", "available_a"),
    )


class MeasuredDemand(Part):
    """[measured_demand]: a record of the highest demand, with the conditions that make it usable."""

    method: Literal["1-year", "30-day"] = field(
        "Record", "one year of the utility's demand, or 30 days of continuous recording", REQUIRED
    )
    peak_kw: float | None = field(
        "Highest demand", "highest average over one interval", unit="kW", least=0.1, most=5000
    )
    peak_a: float | None = field(
        "Highest current", "highest average over one interval on the highest leg", unit="A", least=1, most=10_000
    )
    readings_file: FileName | None = field("Readings", "CSV file of interval readings kept beside the job")
    readings_columns: Many[Text] = field(
        "Columns of readings",
        "where the file's header says it otherwise: 'time = Read At', 'kwh = Use'; of time, date, kw, kwh, leg_1_a, leg_2_a",
        (),
    )
    readings_dates: Literal["month-first", "day-first"] | None = field(
        "Dates of readings", "how 3/4/2025 is meant, where the file itself doesn't tell"
    )
    interval_min: int | None = field("Interval", "length of one interval", unit="min", least=1, most=1440)
    highest_leg: bool | None = field("Highest leg", "whether the recorder stood on the leg that carries most")
    from_date: Date | None = field("From", "first day of the record")
    to_date: Date | None = field("To", "last day of the record")
    occupied: bool | None = field("Occupied", "whether the house was lived in as usual all that time")
    seasonal_added_va: float | None = field(
        "Seasonal load added",
        "heating, cooling or other seasonal load that was off while recording; 0 when there is none",
        unit="VA",
        least=0,
        most=1_000_000,
    )
    generation_or_shaving: bool | None = field(
        "Generation or peak shaving", "whether solar, wind, battery or peak shaving lowered the record"
    )
    overload_protected: bool | None = field(
        "Overload protection", "whether the service or feeder has the overload protection that the code asks for"
    )
    recorded_by: Text | None = field("Recorded by", "who made the record")

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (
        OneOf(("peak_kw", "peak_a", "readings_file")),
        Needs("readings_columns", "readings_file"),
        Needs("readings_dates", "readings_file"),
    )


class Source(Part):
    """[[sources]]: another source that feeds a panel's bus."""

    name: Name = field("Source", "name of the source", REQUIRED)
    kind: Literal["photovoltaic", "battery", "generator", "other"] = field("Kind", "kind of source", REQUIRED)
    output_a: float | None = field("Output current", "rated output current", unit="A", least=0.1, most=1000)
    breaker_a: int | None = field("Breaker", "breaker that connects it", unit="A", least=5, most=1000)
    panel: Name | None = field("Panel", "panel that it feeds", refers_to=("panels",))
    position: Literal["opposite-end", "anywhere", "line-side"] | None = field(
        "Position", "where it joins the bus: at the end opposite the main, anywhere, or ahead of the main"
    )
    status: Status = field("Status", "existing, new or removed", "new")


class LoadManagement(Part):
    """[[load_management]]: a system that holds the current of some loads to a setting."""

    name: Name = field("System", "name of the system", REQUIRED)
    kind: Literal["energy-management", "power-control", "vehicle-supply"] = field(
        "Kind", "energy management, power control system, or automatic load management of vehicle supply", REQUIRED
    )
    listed: bool | None = field("Listed", "whether the system is listed for this use")
    controls: Many[Name] = field("Controls", "loads that it controls", REQUIRED, refers_to=("loads",))
    setpoint_a: float = field("Setting", "most current that it lets through", REQUIRED, unit="A", least=1, most=4000)
    scope: Literal["service", "panel", "loads"] = field(
        "Scope", "what the setting holds: the service, a panel, or the controlled loads together", "loads"
    )
    panel: Name | None = field("Panel", "panel that it holds to the setting", refers_to=("panels",))
    access_restricted: bool | None = field("Setting locked", "whether only qualified persons can change the setting")
