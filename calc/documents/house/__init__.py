"""The pages of a house for whoever decides on it: one row a member, the tightest or the governing one told.

Each is a function of the worked house and of how its job stands: it takes results of the sheets in scope by name, and
gives a table or chart, or None where the scope has nothing of it.
"""

from calc.documents.house.beside import tables_beside
from calc.documents.house.boxes import box_table
from calc.documents.house.circuits import circuit_table, required_table
from calc.documents.house.grounding import grounding_table
from calc.documents.house.one_line import one_line
from calc.documents.house.panels import panel_table
from calc.documents.house.plans import plans
from calc.documents.house.rooms import room_table
from calc.documents.house.runs import run_table
from calc.documents.house.schedules import schedules

__all__ = [
    "box_table", "circuit_table", "grounding_table", "one_line", "panel_table", "plans", "required_table", "room_table", "run_table",
    "schedules", "tables_beside",
]  # fmt: skip
