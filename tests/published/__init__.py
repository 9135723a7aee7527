"""Checks against published worked examples. Every number here names its source beside it."""
