"""Lessons: for each family an invented job to draw, and the slips that people make."""
