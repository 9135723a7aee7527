"""A reader's document on the screen and in its public form."""

from __future__ import annotations

from calc.show.display import MIME, show_document
from calc.work.chart import Chart, Levels
from calc.work.document import Document, Facts, Section, Sentences, Signing, Verdict
from calc.work.table import Table, columns

CHART = Chart("Load", "A bar of 90 A under a limit of 100 A", Levels([("load", 90.0)], [("limit", 100.0)], "A"))
TABLE = Table(
    "Runs", columns("Run", "Length ft", "Outcome", right=(1,)),
    [["House <b>"], ["R1", "120", "passes"], ["R2", "80", "FALLS SHORT"], ["All", "200", ""]], strong=[3],
)  # fmt: skip
WHOLE = Document(
    "office", "Permit set", "Alder Row 5",
    [
        Section("Verdict", [Verdict("falls short", "House: 1 falls short", ["R2 is too small."]), Facts([("Site", "Alder Row 5")])]),
        Section("Runs", [TABLE, CHART, Sentences(["Look at the trench."], "On site"), Signing([("License", "")])], new_page=True),
    ],
)  # fmt: skip


def test_a_document_is_shown_with_every_word_escaped_and_each_state_told_by_words() -> None:
    page = show_document(WHOLE).forms["text/html"]
    for words in (
        "Permit set",
        "Verdict",
        "House: 1 falls short",
        "R2 is too small.",
        "Look at the trench.",
        "License",
    ):
        assert words in page
    assert "House &lt;b&gt;</th>" in page
    assert "colspan='3'" in page
    assert '<img alt="A bar of 90 A under a limit of 100 A" src="data:image/svg+xml;base64,' in page
    assert ">FALLS SHORT</strong>" in page
    assert ">200</strong>" in page


def test_its_public_form_has_each_part_in_order_and_the_drawing_of_a_chart_beside_its_words() -> None:
    data = show_document(WHOLE).forms[MIME.format("document")]
    assert [part["kind"] for section in data["sections"] for part in section["parts"]] == [
        "verdict", "facts", "table", "chart", "sentences", "signing",
    ]  # fmt: skip
    chart = data["sections"][1]["parts"][1]
    assert chart["svg"].lstrip().startswith("<?xml") or "<svg" in chart["svg"]
    assert chart["alt"]
    assert "data" not in chart
