"""papermill, which runs the notebooks of a packet."""

from __future__ import annotations

import sys
from types import ModuleType


def papermill() -> ModuleType:
    """papermill, imported late: only a run needs it.

    Beside JupyterLab, rfc3987_syntax is installed, and jsonschema then builds parsers at import that take a
    second, for checks that no notebook needs. Without it jsonschema leaves those checks out.
    """
    hidden = "papermill" not in sys.modules and sys.modules.setdefault("rfc3987_syntax", None) is None  # type: ignore[arg-type]
    try:
        import papermill as runner
    finally:
        if hidden:
            del sys.modules["rfc3987_syntax"]
    return runner  # type: ignore[no-any-return]
