"""For what the walk asks its questions: the job's own rooms, panels, runs, boxes and equipment, with what is said of them."""

from calc.remedies.asked import alarms, boxes, earth, equipment, house, panels, rooms
from calc.remedies.asked.subjects import SUBJECTS, House

__all__ = ["SUBJECTS", "House", "alarms", "boxes", "earth", "equipment", "house", "panels", "rooms"]
