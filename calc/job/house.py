"""The sheet's heading and the house itself: [code], [job], [dwelling]."""

from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Literal

from calc.job.fields import REQUIRED, Date, FileName, Many, Name, Needs, Notes, OneOf, Part, Text, field

if TYPE_CHECKING:
    Edition = str
else:  # an edition is a file of the codebook, and nothing else says which there are
    Edition = Literal[tuple(sorted(path.stem for path in Path(__file__).parents[1].glob("codebook/editions/*.toml")))]
Status = Literal["existing", "new", "removed"]


class Readings(Part):
    """Where the code can be read in more than one way: the reading that this job takes."""

    existing_heat_cool: Literal["larger-at-100-pct", "both-at-40-pct", "omitted"] = field(
        "Existing heating and cooling",
        "how existing heating and cooling count in an existing dwelling without new heating or cooling",
        "larger-at-100-pct",
    )
    cooking_mixed_columns: Literal["each-column", "all-appliances"] = field(
        "Cooking of mixed sizes",
        "each column by its own number of appliances, or every column by the number of all appliances",
        "each-column",
    )
    motor_at_75_pct: Literal["counted", "not-counted"] = field(
        "Motor among appliances at 75 %",
        "whether a motor among four or more appliances fastened in place may be the largest, which adds its quarter",
        "counted",
    )
    year_record: Literal["15-minutes", "as-recorded"] = field(
        "A year's record of demand",
        "averages of 15 minutes as for the shorter record, or as the utility records it, an hour at most",
        "15-minutes",
    )
    moulded_clamps: Literal["not-counted", "counted"] = field(
        "Molded clamps", "whether the molded clamps of a plastic box take room", "not-counted"
    )
    drop_method: Literal["direct-current", "effective", "exact"] = field(
        "Voltage drop by",
        "direct-current resistance, effective impedance at the power factor, or the exact solution with its angles",
        "direct-current",
    )
    drop_conductor_c: float | None = field(
        "Conductors at", "conductor temperature for voltage drop; leave out for that of the tables, 75 °C",
        unit="°C", least=-20, most=90,
    )  # fmt: skip
    transformer_impedance: Literal["least-by-tolerance", "as-marked"] = field(
        "Transformer impedance",
        "for fault current: the least that the tolerance of the nameplate allows, or as the nameplate has it",
        "least-by-tolerance",
    )
    dwelling_sizes: Literal["by-terminals", "as-listed"] = field(
        "Listed sizes of a dwelling",
        "with terminals of 60 °C, or of 100 A or less without marking: by their column, or the listed sizes as they stand",
        "by-terminals",
    )
    counter_end_walls: Literal["counted", "not-counted"] = field(
        "End walls of counters", "whether the short walls at the ends of a counter are counter wall space", "counted"
    )
    garage_outlets: Literal["in-and-outdoors", "outdoors-only"] = field(
        "Hard-wired outlets at garages",
        "edition 2023: whether ground-fault protection of outlets of garages and accessory buildings is for those inside too",
        "in-and-outdoors",
    )
    circuit_motor: Literal["125-percent", "nameplate"] = field(
        "Motor beside other loads",
        "how the largest fastened motor, such as a disposer's, counts on a circuit with other loads: at 125 %, or as it is",
        "125-percent",
    )


class Code(Part):
    """[code]: the edition in force and what was changed where the house stands."""

    edition: Edition = field("Edition", "edition of the code adopted where the house stands", REQUIRED)
    basis: Literal["NEC"] = field("Code", "the code that the edition belongs to", "NEC")
    adopted_as: Text | None = field("Adopted as", "name of the local adoption, as the office writes it")
    permit_date: Date | None = field("Permit date", "date of the permit; some exceptions end on a date")
    amendments: Many[FileName] = field("Amendments", "amendment files in force, by name, kept beside the job", ())
    readings: Readings = field("Readings", "the reading taken where the code can be read two ways", Readings())


class JobCard(Part):
    """[job]: what the office needs to know whose sheet this is."""

    name: FileName = field("Job", "name of the job; reports are kept in a folder of this name", REQUIRED)
    address: Text | None = field("Site address", "street and town of the house")
    permit_number: Text | None = field("Permit number", "as the office gave it")
    jurisdiction: Text | None = field("Jurisdiction", "the office that issues the permit")
    owner: Text | None = field("Owner", "owner of the house")
    contractor: Text | None = field("Contractor", "firm that does the work")
    prepared_by: Text | None = field("Prepared by", "who worked this out")
    license: Text | None = field("License", "license number of the preparer")
    phone: Text | None = field("Phone", "where the office can reach the preparer")
    date: Date | None = field("Date", "date of this sheet")
    notes: Notes | None = field("Notes", "anything that the office should read")


class Scope(Part):
    """[scope]: what this job claims something about; left out, what was entered."""

    covers: Many[Name] = field(
        "Covers",
        "house, service, new-circuits, calculations such as dwelling-load, or rooms, buildings and panels by name",
        (),
    )


class UnitGroup(Part):
    """[[dwelling.units]]: dwelling units that are alike."""

    name: Name = field("Units", "name of these units, such as 'Two-bedroom flats'", REQUIRED)
    count: int = field("Number of units", "how many units are alike", 1, unit="unit", least=1, most=1000)
    floor_area_ft2: float = field(
        "Floor area", "floor area of one unit by its outside dimensions", REQUIRED, unit="ft2", least=50, most=30_000
    )
    small_appliance_circuits: int = field(
        "Small-appliance circuits", "20 A kitchen and dining circuits in one unit", 2, unit="circuit", least=2, most=20
    )
    laundry_circuits: int = field(
        "Laundry circuits",
        "20 A laundry circuits in one unit; 0 only where the premises have a common laundry",
        1,
        unit="circuit",
        least=0,
        most=5,
    )


class Dwelling(Part):
    """[dwelling]: the house. A one-family house gives its own area, others their units."""

    kind: Literal["one-family", "two-family", "multifamily"] = field("Kind of dwelling", "how many families", REQUIRED)
    status: Literal["new", "existing"] = field("New or existing", "existing: the house is wired already", "new")
    floor_area_ft2: float | None = field(
        "Floor area",
        "outside dimensions of every floor, with space that can be finished later; no open porches or garages",
        unit="ft2",
        least=50,
        most=30_000,
    )
    small_appliance_circuits: int = field(
        "Small-appliance circuits", "20 A kitchen and dining circuits", 2, unit="circuit", least=2, most=20
    )
    laundry_circuits: int = field("Laundry circuits", "20 A laundry circuits", 1, unit="circuit", least=0, most=5)
    units: Many[UnitGroup] = field("Units", "groups of units that are alike, for two families or more", ())
    fuel_burning: bool | None = field(
        "Fuel-burning equipment", "whether gas, oil or wood is burned in the house (carbon monoxide alarms)"
    )

    presence: ClassVar[tuple[OneOf | Needs, ...]] = (OneOf(("floor_area_ft2", "units"), least=0),)
