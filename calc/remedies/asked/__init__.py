"""For what the walk asks its questions: the job's own rooms, panels, runs, boxes and equipment, with what is said of them."""

from calc.remedies.asked import alarms, boxes, earth, equipment, house, panels, rooms
from calc.remedies.asked.subjects import SUBJECTS, Walked

__all__ = ["SUBJECTS", "Walked", "alarms", "boxes", "earth", "equipment", "house", "panels", "rooms"]
