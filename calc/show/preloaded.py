"""Imported once by the process that notebooks are forked from: what every notebook would otherwise read for itself."""

from calc.codebook import editions, open_codebook
from calc.codebook.tables import FOLDER, load
from calc.families import families
from calc.show import desk
from calc.show.charts import draw
from calc.wiring.reading import words
from calc.work.chart import Chart, Levels

__all__ = ["desk"]

for name in families():
    words(name)
for name in editions():
    open_codebook(name)
for path in sorted(FOLDER.glob("*.csv")):
    load(path)
draw(Chart("", "", Levels([("load", 1.0)], [("limit", 2.0)], "A")))  # finds the fonts
