"""The way out and back of a run's current: the voltage that its drop is a share of, and what the conductors carry."""

from __future__ import annotations

from dataclasses import dataclass, replace

from calc.families import feeder
from calc.families.feeder.installed import installed
from calc.job import Job, Run, place
from calc.wiring.house import House
from calc.wiring.impedance import ONE, Installed, conductors, length
from calc.wiring.reading import carry, read
from calc.work import Missing, Refused, Sheet, Value, constant, given, root

TWO = constant("2", 2, "")
TWO_CONDUCTORS = constant("out and back", 2, "")
THREE = constant("3", 3, "")
LEGS = ("leg ahead", "leg behind")  # of a wye: the other leg follows it, or runs before it
LEG_AND_HALF = constant("a leg and half the neutral", 1.5, "")


@dataclass(frozen=True)
class Path:
    """What a run's drop is worked from, whatever the method.

    ``start`` is the voltage where the run begins, ``base`` the nominal one that percents are of; ``temperature`` is
    None where it is that of the tables. ``current`` is the load's; ``amperes`` is the current times the conductors
    that it flows through, ``in_phase_amperes`` the same for a method that knows no angles. The two legs of a wye see
    different angles, so they are worked one by one.
    """

    wires: Installed
    temperature: Value | None
    base: Value
    start: Value
    kft: Value
    power_factor: Value
    current: Value
    amperes: Value
    in_phase_amperes: Value
    of_wye: bool = False

    def angles(self, sheet: Sheet, turn: tuple[Value, Value] | None = None) -> list[tuple[str, Value, Value]]:
        """(leg, power factor, sine of the same angle) for each leg that sees an angle of its own.

        ``turn`` is cosine and sine of the angle between a leg's current and what leg and neutral carry together; 30
        degrees unless said otherwise.
        """
        sine = sheet.line("reactive_factor", root(ONE - self.power_factor * self.power_factor))
        if not self.of_wye:
            return [("", self.power_factor, sine)]
        (far, near), cos = turn or (root(THREE) / TWO, ONE / TWO), self.power_factor
        turned = (
            (cos * far - sine * near, sine * far + cos * near),
            (cos * far + sine * near, sine * far - cos * near),
        )
        return [
            (leg, sheet.line("leg_power_factor", one, item=leg), sheet.line("leg_reactive_factor", other, item=leg))
            for leg, (one, other) in zip(LEGS, turned, strict=True)
        ]


def keyed(key: str, leg: str) -> str:
    """The key of a line that legs may have one by one."""
    return f"leg_{key}" if leg else key


@dataclass(frozen=True)
class Loaded:
    """A run with its conductors and the current that they carry; ``neutral`` where the job states that of the neutral.

    ``alike`` takes both legs of a multiwire circuit as loaded alike, whatever the job says.
    """

    house: House
    run: Run
    wires: Installed
    amperes: Value
    neutral: Value | None
    alike: bool = False

    @property
    def of_wye(self) -> bool:
        """Two legs and the neutral of a wye, loaded alike: the neutral carries about as much as a leg."""
        if self.run.phases != 1 or self.wires.neutral_size == "":
            return False
        if self.run.multiwire:
            return self.alike and system_of(self.house.job, self.run) == "208Y/120"
        return self.run.volts == 208


def loaded(house: House, run: Run) -> Loaded:
    """The run as the job, or the conductors' own sheet, has it. Refused where that is not enough to work with."""
    wires = installed(house, run)
    neutral = read(run, "neutral_a") if run.neutral_a is not None else None
    it = Loaded(house, run, wires, _amperes(house, run), neutral)
    if (run.multiwire or it.of_wye) and wires.neutral_size != wires.size:
        what = "a multiwire circuit" if run.multiwire else "two legs of a wye"
        raise Refused(f"{run.name}: the neutral of {what} is taken as large as its legs, and this one isn't.")
    return it


def path(sheet: Sheet, loaded: Loaded, lost_pct: Value | None) -> Path:
    """Lines for voltage and length, and the path that they belong to. ``lost_pct`` is what is lost upstream."""
    run, current = loaded.run, loaded.amperes
    conductors(sheet, loaded.wires)
    row = loaded.house.code.row("nominal_voltages", system=system_of(loaded.house.job, run))
    base = sheet.line("base_v", row["line_to_neutral_v"] if run.multiwire or loaded.of_wye else read(run, "volts"))
    start = base if lost_pct is None else sheet.line("start_v", base - base * lost_pct)
    readings = loaded.house.job.code.readings
    temperature = (
        None if readings.drop_conductor_c is None else read(readings, "drop_conductor_c", "conductor temperature")
    )
    common = (loaded.wires, temperature, base, start, length(sheet, loaded.wires), read(run, "power_factor"), current)
    if loaded.of_wye:
        sheet.remark("note_three_wires_of_wye")
        return Path(*common, root(THREE) * current, LEG_AND_HALF * current, of_wye=True)
    if run.multiwire:
        if loaded.alike:
            back = given("neutral of equal legs", 0, "A", "")
        else:
            sheet.remark("note_multiwire_alone" if loaded.neutral is None else "note_multiwire_stated")
            if loaded.neutral is not None and row.cells["system"] == "208Y/120":
                sheet.remark("note_multiwire_of_wye")
            back = (
                loaded.neutral
                if loaded.neutral is not None
                else replace(current, name=f"{current.name}, back on the neutral")
            )
        return Path(*common, current + back, current + back)
    if run.phases == 3:
        return Path(*common, root(THREE) * current, root(THREE) * current)
    if loaded.wires.neutral_size and run.volts != 120:
        sheet.remark("note_balanced")
    return Path(*common, TWO_CONDUCTORS * current, TWO_CONDUCTORS * current)


def system_of(job: Job, run: Run) -> str:
    """The system that a run belongs to: the service's, or the one that its voltage tells of."""
    if job.service is not None:
        return job.service.system
    return "208Y/120" if run.volts == 208 or run.phases == 3 else "120/240"


def _amperes(house: House, run: Run) -> Value:
    """The current that the run carries: as given, else from the conductors' own sheet."""
    if run.calculated_a is not None:
        return read(run, "calculated_a")
    if run.role == "utility":
        raise Missing(f"{run.name} has no current to work with.", at=place(run, "calculated_a"))
    s = feeder.run_sheet(house, run)
    if "calculated_a" not in s:
        assert s.refused is not None
        raise s.refused.under(f"{run.name} has no current to work with: ")
    return carry(s, "calculated_a", "load")
