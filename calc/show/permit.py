"""The permit set in a notebook: what an office reads, and what its PDF is made from."""

from __future__ import annotations

from pathlib import Path

from IPython.display import display

from calc.documents.permit import TITLE, permit_set
from calc.show.desk import Page
from calc.show.display import show_document


def open_permit(job_path: str | Path | None, live: bool | None = None) -> Page:
    """A job opened for its permit set. None: the job chosen on the start page."""
    return Page(TITLE, (), job_path, live)


def show_permit(page: Page) -> None:
    """The permit set of the page's job. For a person it is worked beside the page."""
    if page.trouble:
        return
    if page.live:
        page.show_slowly(TITLE, lambda: str(show_document(permit_set(page.house)).forms["text/html"]))
    else:
        display(show_document(permit_set(page.house)))
