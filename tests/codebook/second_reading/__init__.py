"""Every table cell and rule value taken a second time, so that a change of any one of them is noticed.

``gathered.json`` was put together from published pages apart from the program's files, in words of its own, with the
codes of its sources (calc/codebook/sources.toml). ``tables.py`` sets its tables against the program's, ``rules.py`` and
``rules.toml`` its rules. What no second place confirms stands in ``fixed.toml``: not a second source, only a fence, so
that a change there is deliberate. ``python -m tests.codebook.second_reading`` writes that file anew from the codebook
as it stands; read the difference before you commit it.
"""
