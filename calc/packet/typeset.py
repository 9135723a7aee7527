"""A packet's PDF: PDF/A-3a and PDF/UA-1, the same bytes for the same job.

Fonts: Libertinus Serif (inside typst: regular, semibold, bold, italic, lining tabular figures, the signs that shown
work needs) for all text; DejaVu Sans (inside matplotlib) for charts and for scripts that Libertinus lacks; and last
'Last Resort' (inside matplotlib), which draws a box naming the script of any other character, because archival PDF
allows no missing glyph. System fonts are never used: they would differ from machine to machine. A class's papers alone
may ask for a file of them, for a name.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import typst

from calc.packet.collect import Collected
from calc.packet.document import document

PDF_STANDARDS = ["a-3a", "ua-1"]
# Archival PDF must carry a date; a job that gives none gets this one, the usual stand-in of reproducible builds.
UNDATED = date(1980, 1, 1)
_STYLE = Path(__file__).parents[1] / "show" / "style.json"


class TypesetError(RuntimeError):
    """The typesetter refused a document; the message says why."""


def typeset(
    collected: Collected,
    *,
    name: str,
    fingerprint: str,
    job_text: str,
    dated: date | None = None,
    attachments: bool = True,
    learner: bool = False,
) -> bytes:
    """The worked annex as PDF.

    name: the job's name, any text; fingerprint: hexadecimal, of the job file; job_text: the job file as it stands,
    attached with the sheets unless ``attachments`` is off; dated: the job's date, written as the PDF's date;
    learner: with the reason of each line and check where it first comes up, and a margin to work in.
    Raises TypesetError when the typesetter refuses, such as for a chart that isn't SVG.
    """
    content = document(
        collected,
        name=name,
        fingerprint=fingerprint,
        job_text=job_text,
        attachments=attachments,
        learner=learner,
    )
    return set_pdf("annex.typ", {"packet": content}, dated)


def set_pdf(
    template: str, content: Mapping[str, Any], dated: date | None = None, font_files: Sequence[Path] = ()
) -> bytes:
    """A PDF of a template under templates/packet, which reads ``content`` as JSON; ``font_files`` are further fonts that it
    may name. TypesetError as above.
    """
    folder = template_folder()
    try:
        pdf = typst.Compiler(
            folder / template,
            root=folder,
            font_paths=_fonts(tuple(font_files)),
            ignore_system_fonts=True,
            sys_inputs={
                "style": _STYLE.read_text(encoding="utf-8"),
                **{name: json.dumps(value) for name, value in content.items()},
            },
        ).compile(
            format="pdf",
            pdf_standards=PDF_STANDARDS,  # type: ignore[arg-type]
            timestamp=datetime.combine(dated or UNDATED, datetime.min.time(), tzinfo=UTC),
        )
    except typst.TypstError as error:
        hints = "".join(f" ({hint})" for hint in error.hints)
        raise TypesetError(f"the document can't be typeset: {error.message}{hints}") from error
    assert isinstance(pdf, bytes)
    return pdf


def template_folder() -> Path:
    """The packet's Typst templates: beside the package when installed, at the top of a clone otherwise."""
    package = Path(__file__).parents[1]
    installed = package / "templates" / "packet"
    return installed if installed.is_dir() else package.parent / "templates" / "packet"


@cache
def font_folders() -> tuple[Path, ...]:
    """The folders of the program's own fonts, beside those inside typst."""
    spec = find_spec("matplotlib")  # found, not imported: its import is slow and isn't needed here
    folders = list(spec.submodule_search_locations or ()) if spec else []
    return tuple(Path(folder) / "mpl-data" / "fonts" / "ttf" for folder in folders)


@cache
def _fonts(files: tuple[Path, ...]) -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[*font_folders(), *files])
