"""The pages of a house for whoever decides on it: one row a member, the tightest or the governing one told.

Each is a function of the worked house and of how its job stands: it takes results of the sheets in scope by name, and
gives a table or chart, or None where the scope has nothing of it.
"""

from calc.documents.house.panels import panel_table
from calc.documents.house.runs import run_table
from calc.documents.house.schedules import schedules

__all__ = ["panel_table", "run_table", "schedules"]
