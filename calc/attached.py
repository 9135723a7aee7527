"""A file attached to a PDF, read in a process of its own: a crafted PDF may take any time and any memory, and gets neither.

Run as a module, it is that process: the PDF comes in, the attachment goes out.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from calc.intake import NotTaken, taken

MOST_PDF_BYTES = 100_000_000
LONGEST_S = 8
MOST_MEMORY_BYTES = 2 * 1024**3
_NONE = 4  # exit code of the process: a PDF without such an attachment


def attached(pdf: Path, name: str) -> bytes | None:
    """The attachment of that name, None in a PDF that has none. NotTaken for what is no PDF that can be read."""
    raw = taken(pdf, MOST_PDF_BYTES, "packet")
    command = [sys.executable, "-P", "-m", __name__, name]  # -P: nothing that lies in this folder is imported
    try:
        done = subprocess.run(command, input=raw, capture_output=True, timeout=LONGEST_S, check=False)
    except subprocess.TimeoutExpired:
        raise NotTaken(f"not a PDF that can be read: it takes more than {LONGEST_S} seconds") from None
    if done.returncode not in (0, _NONE):
        said = " ".join(done.stderr.decode("utf-8", "replace").split())
        raise NotTaken(f"not a PDF that can be read: {said or 'reading it takes too much'}")
    return done.stdout if done.returncode == 0 else None


def _main(name: str) -> int:
    import io

    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY_BYTES, MOST_MEMORY_BYTES))
        resource.setrlimit(resource.RLIMIT_CPU, (LONGEST_S, LONGEST_S))
    except (ImportError, OSError, ValueError):
        pass  # a system without such limits: the time above still holds
    try:
        import logging

        from pypdf import PdfReader

        logging.disable()  # it remarks on slips of a PDF that it reads all the same
        found = PdfReader(io.BytesIO(sys.stdin.buffer.read())).attachments.get(name)
        if not found:
            return _NONE
        sys.stdout.buffer.write(found[0])
    except Exception as error:  # a PDF that is none makes the library raise whatever it met
        print(" ".join(str(error).split())[:200] or type(error).__name__, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(_main(sys.argv[1]))
