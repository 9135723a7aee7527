"""Reading a PDF back with a library that had no part in making it."""

from __future__ import annotations

import io
import re
from functools import lru_cache
from typing import Any

from pypdf import PdfReader


@lru_cache(maxsize=8)
def reader(pdf: bytes) -> PdfReader:
    """What has been read of it is kept for the next who asks; nobody changes it."""
    return PdfReader(io.BytesIO(pdf))


@lru_cache(maxsize=64)
def text_of(pdf: bytes, page: int | None = None) -> str:
    """The text of a page (from 1) or of all, with plain spaces, as a person would search it."""
    pages = reader(pdf).pages
    chosen = pages if page is None else [pages[page - 1]]
    text = " ".join(p.extract_text() for p in chosen)
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def structure(pdf: bytes) -> list[str]:
    """The tags of the PDF's structure tree, in order."""
    tags: list[str] = []
    waiting: list[Any] = [reader(pdf).trailer["/Root"]["/StructTreeRoot"]]  # type: ignore[index]
    while waiting:
        node = waiting.pop(0)
        if "/S" in node:
            tags.append(str(node["/S"]))
        children = node.get("/K", [])
        children = children if isinstance(children, list) else [children]
        nodes = [child.get_object() for child in children]
        waiting = [node for node in nodes if isinstance(node, dict) and node.get("/Type") != "/MCR"] + waiting
    return tags
