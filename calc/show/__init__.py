"""What people see: sheets as HTML, charts, tables."""

from calc.show.display import Shown, show_chart, show_front, show_sheet, show_table

__all__ = ["Shown", "show_chart", "show_front", "show_sheet", "show_table"]
