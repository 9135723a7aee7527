"""The job: one house, one file that people can read, diff and keep with the permit.

job = read_job("house.toml")           every problem at once, as JobError, each with its line
job.load("Range").total_va             the parts are typed and fixed
place(job.loads[0], "load_va")         'loads[1].load_va', counted from 1
field_info(job.loads[0], "load_va")    label, unit, help, limits, choices
other = changed(job, {"loads[1].load_va": 16000})
save_job(other)                        comments kept, the whole file or nothing
notices(job)                           entries that may be slips; `confirmed` in a table says that one is right
accepted(job), withdrawn(job)           what was laid out for a person, taken up or taken out
import_workbook(job, "house.xlsx")      the whole job from a workbook; export_workbook the other way
import_parts(job, "boxes", "b.xlsx")   a list of the job from a spreadsheet; export_parts the other way

What writes files is brought in when it is asked for: an answer to a question writes none.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from calc.job.boxes import Barrier, Box, Compartment, Contents, Device, Entry
from calc.job.cables import INSULATIONS, SIZES, Conductors, made_cables, parse_conductors, parse_size
from calc.job.edit import changed
from calc.job.fields import FieldFacts, Part, field_info
from calc.job.house import Code, Dwelling, JobCard, Readings, Scope, UnitGroup
from calc.job.lengths import format_length, parse_feet, parse_inches
from calc.job.loads import Load
from calc.job.model import Job
from calc.job.panels import Building, Electrode, Grounding, Panel
from calc.job.places import place
from calc.job.plausible import Notice, notices
from calc.job.problems import JobError, Problem, SaveConflict
from calc.job.proposed import Proposal, accepted, proposals, withdrawn
from calc.job.read import not_known, parse_job, read_job
from calc.job.rooms import Basin, Break, Counter, CounterOutlet, Opening, Outlet, Room, Wall
from calc.job.schema import job_schema
from calc.job.service import Fault, LoadManagement, MeasuredDemand, Service, Source
from calc.job.starters import file_stem, new_job, starters
from calc.job.taken_back import Back, taken_back
from calc.job.walk import Alarm, Finding, Landing, Stair
from calc.job.wiring import Circuit, Raceway, Run

if TYPE_CHECKING:
    from calc.job.sheets_io import copied, export_parts, import_parts
    from calc.job.workbook import export_workbook, import_workbook
    from calc.job.write import create_job, save_job

__all__ = [
    "INSULATIONS", "SIZES",
    "Alarm", "Back", "Barrier", "Basin", "Box", "Break", "Building", "Circuit", "Code", "Compartment", "Conductors", "Contents",
    "Counter", "CounterOutlet", "Device", "Dwelling", "Electrode", "Entry", "Fault", "FieldFacts", "Finding", "Grounding",
    "Job", "JobCard", "JobError", "Landing", "Load", "LoadManagement", "MeasuredDemand", "Notice", "Opening", "Outlet",
    "Panel", "Part", "Problem", "Proposal", "Raceway", "Readings", "Room", "Run", "SaveConflict", "Scope", "Service", "Source", "Stair", "UnitGroup",
    "Wall",
    "accepted", "changed", "copied", "create_job", "export_parts", "export_workbook", "field_info", "file_stem", "format_length", "import_parts", "import_workbook",
    "job_schema", "made_cables", "new_job", "not_known", "notices", "parse_conductors", "parse_feet", "parse_inches", "parse_job",
    "parse_size", "place", "proposals", "read_job", "save_job", "starters", "taken_back", "withdrawn",
]  # fmt: skip

_WRITING = {
    "copied": "sheets_io", "export_parts": "sheets_io", "import_parts": "sheets_io",
    "export_workbook": "workbook", "import_workbook": "workbook",
    "create_job": "write", "save_job": "write",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _WRITING:
        raise AttributeError(f"module 'calc.job' has no attribute '{name}'")
    return getattr(import_module(f"calc.job.{_WRITING[name]}"), name)
