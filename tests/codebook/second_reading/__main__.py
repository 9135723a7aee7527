"""Write fixed.toml anew from the codebook as it stands. Read the difference before you commit it: it is the fence."""

from __future__ import annotations

import json

from calc.codebook.files import edition
from tests.codebook.second_reading import compare
from tests.codebook.second_reading.rules import EDITIONS

HEAD = """\
# What no second place confirms, fixed so that a change is deliberate. Written by: python -m tests.codebook.second_reading
# These are no second source. A value that a page confirms belongs in gathered.json and rules.toml instead.

"""


def text() -> str:
    """The fence: table cells, then fields of rules, a line each; four values where editions differ."""
    out = [HEAD, "[tables]\n"]
    for name in compare.TABLES:
        if left := compare.unread_cells(name):
            out.append(f"{name} = [\n")
            out += [f"  {json.dumps('|'.join(key) + ' : ' + '|'.join(f'{c}={v}' for c, v in row.items()))},\n" for key, row in left.items()]  # fmt: skip
            out.append("]\n")
    for field in compare.FIELDS:
        out.append(f"\n[rules.{field}]\n")
        for name in edition("2026").rules:
            found = [compare.shown(edition(year).rules[name], field) for year in EDITIONS]
            read = [compare.gathered_field(name, year, field) is not None or edition(year).rules[name].absent for year in EDITIONS]  # fmt: skip
            if not any(found) or (all(read) and field != "absent"):
                continue
            out.append(f"{name} = {json.dumps(found[0] if len(set(found)) == 1 else found)}\n")
    return "".join(out)


if __name__ == "__main__":
    compare.FIXED.write_text(text(), encoding="utf-8")
