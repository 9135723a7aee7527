"""The pages of a house for whoever decides on it: one row a member, the tightest or the governing one told.

Each is a function of the worked house and of how its job stands: it takes results of the sheets in scope by name, and
gives a table or chart, or None where the scope has nothing of it.
"""

from calc.documents.house.runs import run_table

__all__ = ["run_table"]
