"""What ``import calc`` gives: a house opened, worked, changed and made into a document, for programs and notebooks."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from calc.apart import packet_command
from calc.codebook import Codebook
from calc.families import Family, families
from calc.job import Job, changed, read_job, save_job
from calc.packet.run import PacketError
from calc.verdict.proposed import sheets_of
from calc.verdict.standing import Standing, standing
from calc.wiring.house import House as WorkedHouse
from calc.work import Sheet

Lines = Mapping[str, float | str]


def open_house(path: str | Path) -> House:
    """Open a job file, under the edition and the amendments that it adopts.

    Args:
        path: The job file, TOML.

    Raises:
        JobError: The file can't be used; ``error.problems`` has every problem, each with its line.
        CodebookError: Its edition or a file of amendments can't be used.

    Examples:
        >>> house = calc.open_house("my-house.toml")
        >>> house.name, house.edition
        ('New house', '2023')
    """
    return House(WorkedHouse.of(read_job(path)))


def calculations() -> dict[str, str]:
    """The calculations by name, each with its title, in the order of a packet.

    Examples:
        >>> calc.calculations()["voltage-drop"]
        'Voltage drop'
    """
    return {name: family.TITLE for name, family in families().items()}


class House:
    """A house as its job describes it, under one code. It never changes: ``with_`` gives another one.

    Each thing is worked once; another one made from it works again only what can differ.
    """

    def __init__(self, worked: WorkedHouse, replaced: Mapping[str, Lines] | None = None) -> None:
        self._replaced = replaced or {}
        self._worked = worked
        for calculation, lines in self._replaced.items():
            self._worked = self._worked.with_lines(calculation, lines)

    @property
    def job(self) -> Job:
        """What the job file says.

        Examples:
            >>> calc.open_house("my-house.toml").job.dwelling.floor_area_ft2
            2000.0
        """
        return self._worked.whole_job

    @property
    def code(self) -> Codebook:
        """The code that it is worked under: edition and local amendments.

        Examples:
            >>> calc.open_house("my-house.toml").code.amendments
            ()
        """
        return self._worked.code

    @property
    def name(self) -> str:
        """The job's name.

        Examples:
            >>> calc.open_house("my-house.toml").name
            'New house'
        """
        return self.job.job.name

    @property
    def edition(self) -> str:
        """The edition of the code that it is worked under.

        Examples:
            >>> calc.open_house("my-house.toml").edition
            '2023'
        """
        return self.code.edition

    def sheets(self, calculation: str) -> list[Sheet]:
        """Work a calculation: a sheet a subject, whether or not the job's scope covers it.

        Args:
            calculation: Its name, as ``calculations()`` has it.

        Returns:
            The sheets, none where the job has nothing of the kind. What can't be worked says so in ``sheet.status``
            and ``sheet.refused``; it raises nothing.

        Raises:
            KeyError: There is no such calculation, or the job has no part for it; the message says what it needs.

        Examples:
            >>> house = calc.open_house("my-house.toml")
            >>> [sheet.subject for sheet in house.sheets("dwelling-load")]
            ['New house']
        """
        family = self._family(calculation)
        if missing := family.needs(self.job):
            raise KeyError(f"{family.TITLE} needs {'; '.join(missing)}")
        return sheets_of(self._worked, calculation)

    def sheet(self, calculation: str, subject: str = "") -> Sheet:
        """One sheet of a calculation; its results are taken by name, each in the unit that the name ends in.

        Args:
            calculation: Its name, as ``calculations()`` has it.
            subject: The run, circuit, box, room or panel that it is about; not needed where there is one sheet.

        Raises:
            KeyError: As for ``sheets``; or no sheet, or more than one, is about the subject: the message names them.

        Examples:
            >>> load = calc.open_house("my-house.toml").sheet("dwelling-load")
            >>> load["service_rating_a"], load.status
            (150.0, 'passes')
        """
        found = self.sheets(calculation)
        named = [sheet for sheet in found if not subject or sheet.subject == subject]
        if len(named) != 1:
            raise KeyError(f"{len(named)} sheets of {calculation} are about '{subject}'; there are "
                           f"{', '.join(dict.fromkeys(sheet.subject for sheet in found))}")  # fmt: skip
        return named[0]

    def with_entries(self, changes: Mapping[str, Any]) -> House:
        """The house with other entries in its job, checked as a whole. The file stays as it is: see ``save``.

        Args:
            changes: By place in the job file, ``"loads[3].load_va"``, lists counted from 1; ``"loads[+]"`` adds an
                entry, None takes one away. Values as a job file writes them, in the unit that the key ends in.

        Raises:
            JobError: The result is no job.
            KeyError: The job has no such place.
            CodebookError: The edition or the amendments that it then adopts can't be used.

        Examples:
            >>> house = calc.open_house("my-house.toml")
            >>> larger = house.with_entries({"dwelling.floor_area_ft2": 4000})
            >>> larger.sheet("dwelling-load")["general_lighting_va"]
            12000.0
        """
        other = changed(self.job, changes)
        same_code = other.code == self.job.code
        return House(self._worked.with_job(other) if same_code else self._worked.after(other), self._replaced)

    def with_line(self, calculation: str, key: str, value: float | str) -> House:
        """The house with a line of a calculation replaced by a number or size of yours; what follows is worked with it.

        The line is marked as stated, not worked: for a what-if, a learner's answer, a value of an engineer's own.

        Args:
            calculation: Its name, as ``calculations()`` has it.
            key: The line's key, with its item where it has one: ``"dryer_va[Dryer]"``.
            value: A number in the unit that the key ends in, or a size as text.

        Raises:
            KeyError: There is no such calculation.

        Examples:
            >>> house = calc.open_house("my-house.toml")
            >>> house.with_line("dwelling-load", "standard_a", 150).sheet("dwelling-load")["standard_whole_a"]
            150.0
        """
        self._family(calculation)
        lines = {**self._replaced.get(calculation, {}), key: value}
        return House(self._worked, {**self._replaced, calculation: lines})

    def under(self, edition: str) -> House:
        """The house under another edition of the code, without local amendments.

        Args:
            edition: Its year, ``"2020"``.

        Raises:
            CodebookError: There is no such edition; the message names those there are.

        Examples:
            >>> calc.open_house("my-house.toml").under("2017").edition
            '2017'
        """
        return House(WorkedHouse.of(self.job, edition), self._replaced)

    @property
    def verdict(self) -> Standing:
        """How the house stands: every sheet in the job's scope, what does not pass, and the verdict of the whole.

        Replaced lines are left out of it: a verdict is about what the job states.

        Raises:
            JobError: The scope names something that the job has not.

        Examples:
            >>> calc.open_house("my-house.toml").verdict.status
            'passes'
        """
        return standing(self._worked.unchanged)

    def save(self) -> House:
        """Write the entries back to the job file, comments kept; the version before is kept beside it.

        Raises:
            SaveConflict: The file was changed by somebody else meanwhile.
            JobError: It can't be written; it is then as it was.

        Examples:
            >>> house = calc.open_house("my-house.toml").with_entries({"dwelling.floor_area_ft2": 2400})
            >>> house.save().job.dwelling.floor_area_ft2
            2400.0
        """
        return House(self._worked.with_job(save_job(self.job)), self._replaced)

    def _family(self, calculation: str) -> Family:
        known = families()
        if calculation not in known:
            raise KeyError(f"no calculation '{calculation}'; there are {', '.join(calculations())}")
        return known[calculation]


def make_packet(job_path: str | Path, out: str | Path = "reports", attachments: bool = True) -> Path:
    """Run the notebooks for a job file and make its permit packet, in a process of its own, as ``studbay packet`` does.

    Args:
        job_path: The job file. Save a house with changed entries first.
        out: Folder for reports; the packet goes into one of the job's name inside it.
        attachments: Whether the PDF carries the job file and the sheets as JSON.

    Returns:
        The PDF. Beside it are ``sheets.json`` and the executed notebooks.

    Raises:
        JobError: The job file can't be used.
        PacketError: A notebook failed or nothing could be typeset; an earlier packet stands as it was.

    Examples:
        >>> calc.make_packet("my-house.toml", "reports").as_posix()
        'reports/New house/permit-set.pdf'
    """
    read_job(job_path)  # bad input is told before any process is started
    command = packet_command(job_path, out)
    made = subprocess.run([*command, *([] if attachments else ["--no-attachments"])],
                          capture_output=True, text=True, encoding="utf-8")  # fmt: skip
    if made.returncode not in (0, 1):
        raise PacketError(made.stderr.strip().rpartition("\n")[2])
    return Path(made.stdout.strip().rpartition("\n")[2])
