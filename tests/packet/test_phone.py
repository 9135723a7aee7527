"""The crew's page: one file that asks nothing of any network, in which every word is text, and which can be read without its script."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from typing import Any

from calc.packet.collect import Collected, Display
from calc.packet.crew import crew_document
from calc.packet.phone import phone_page
from tests.hostile.texts import READABLE
from tests.packet.test_crew import FIX, FOUND, RECORD, fixes, look, stage, the_job

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><script>alert(1)</script><text>Plan</text></svg>'
PANELS = {"schema_version": 2, "part": "panels", "title": "Panels", "subject": "sorrel-12", "intro": "", "columns": ["Space", "Serves", "Breaker"],
          "groups": [{"name": "Panel", "where": "Basement", "rows": [["1", "Kitchen left", "20 A"]]}]}  # fmt: skip


class Seen(HTMLParser):
    """Tags with their attributes, and the text outside script and style."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.raw: dict[str, list[str]] = {}
        self.within = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.within = tag if tag in ("script", "style") else ""

    def handle_endtag(self, tag: str) -> None:
        self.within = ""

    def handle_data(self, data: str) -> None:
        if self.within:
            self.raw.setdefault(self.within, []).append(data)
        else:
            self.text.append(data)

    @property
    def shape(self) -> list[tuple[str, tuple[str, ...]]]:
        """The tags and the names of their attributes."""
        return [(tag, tuple(sorted(attrs))) for tag, attrs in self.tags]


def page(*parts: dict[str, Any], charts: tuple[dict[str, Any], ...] = (), name: str = "sorrel-12") -> str:
    shown = [Display("walk", part) for part in parts] + [Display("chart", chart, SVG) for chart in charts]
    collected = Collected(shown)
    return phone_page(
        crew_document(collected, the_job()), collected, name=name, address="118 Sorrel Bend", fingerprint="ab" * 32
    )


def house(text: str) -> str:
    """A page whose every word from outside is the text."""
    chart = {"title": text, "alt": text, "subject": text}
    fix = FIX | {
        "where": text,
        "about": text,
        "remedy": text,
        "there": text,
        "trade": text,
        "others": [text],
        "along": [text],
    }
    record = RECORD | {"groups": [{"name": text, "rows": [[text, text, "", "", "", ""]]}]}
    panels = PANELS | {"groups": [{"name": text, "where": text, "rows": [["1", text, text]]}]}
    found = FOUND | {"groups": [{"name": "Open", "items": [{"text": text, "about": text, "sections": [text], "details": [["Found", text]], "done": False, "where": text}]}]}  # fmt: skip
    return page(
        fixes(fix, by_room=[[text, [1]]], to_confirm=[text]), stage(look(text), name=text), record, found, panels,
        charts=(chart,), name=text,
    )  # fmt: skip


def test_everything_to_do_is_on_the_page_by_stage_and_place() -> None:
    seen = Seen(page(fixes(FIX), stage(look()), RECORD, FOUND, PANELS, charts=({"title": "Plan: Kitchen", "alt": "A room.", "subject": "Kitchen"},)))  # fmt: skip
    text = " ".join(seen.text)
    for said in ("118 Sorrel Bend", "1. Attic: R9", "Bore more holes", "240.4(B)", "Grounds are joined.", "Neutral, 4/0", "Behind the machine.",
                 "Kitchen left", "Plan: Kitchen"):  # fmt: skip
        assert said in text, said
    stages = [attrs["data-stage"] for tag, attrs in seen.tags if tag == "section"]
    assert stages == ["fixes", "rough", "findings", "readings", "more"]
    places = [json.loads(attrs["data-places"] or "") for tag, attrs in seen.tags if "data-places" in attrs]
    assert places == [["Attic"], ["Kitchen"], [], ["Basement", "Panel"]]


def test_what_is_sent_back_names_the_question_as_the_walk_sheet_asks_it() -> None:
    told = json.loads(Seen(page(stage(look("Cable's sheath reaches 1/4 in x 2")))).raw["script"][0])
    assert list(told["items"].values()) == [
        {"stage": "rough", "place": "Kitchen", "asked": "Cable's sheath reaches 1/4 in x 2", "sections": ["250.148"]}
    ]
    assert (told["job"], told["fingerprint"]) == ("sorrel-12", "ab" * 32)


def test_an_item_keeps_its_id_while_it_asks_the_same() -> None:
    """What a phone keeps is found again by it."""
    first = json.loads(Seen(page(stage(look("One."), look("Two.")))).raw["script"][0])["items"]
    second = json.loads(Seen(page(stage(look("Zero."), look("Two."), look("Two.")))).raw["script"][0])["items"]
    (key,) = [key for key, item in first.items() if item["asked"] == "Two."]
    assert second[key]["asked"] == "Two."
    assert len(second) == 3


def test_the_page_lets_nothing_in_and_nothing_out() -> None:
    """Its policy allows its own script and style by their hashes and pictures inside it; it names no other place."""
    seen = Seen(page(fixes(FIX), stage(look()), charts=({"title": "Plan", "alt": "A room.", "subject": "Kitchen"},)))
    (policy,) = [attrs["content"] for tag, attrs in seen.tags if attrs.get("http-equiv") == "Content-Security-Policy"]
    assert policy is not None
    assert policy.startswith("default-src 'none'; img-src data:;")
    for text in (seen.raw["style"][0], seen.raw["script"][1]):
        assert f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" in policy
    assert "unsafe" not in policy
    assert not [attrs for tag, attrs in seen.tags if "href" in attrs or "style" in attrs or (attrs.get("src") or "data:").partition(":")[0] != "data"]  # fmt: skip
    assert not [name for _, attrs in seen.tags for name in attrs if name.startswith("on")]
    assert not re.search(r"https?://", "".join(seen.text) + "".join(seen.raw["style"]) + "".join(seen.raw["script"]))


def test_hostile_text_is_text() -> None:
    """The same tags and attributes come of any name, and each text stands there as it was typed."""
    plain = Seen(house("A plain name"))
    for text in READABLE:
        seen = Seen(house(text))
        assert seen.shape == plain.shape, text
        told = json.loads(seen.raw["script"][0])
        assert told["job"] == text
        assert {item.get("asked") for item in told["items"].values()} >= {text}
        assert seen.raw["script"][1] == plain.raw["script"][1]


def test_a_question_answered_on_an_earlier_walk_says_so() -> None:
    made = page(stage(look(done=True, details=[["Right", "I. Corrigan, 2026-04-21"]])))
    assert 'data-before="right" data-said="Right: I. Corrigan, 2026-04-21"' in made


def test_a_torque_that_was_set_on_an_earlier_walk_is_done() -> None:
    """Its row says what was set, with which tool, by whom and when, and counts as open no more."""
    set_before = RECORD | {"groups": [{"name": "Panel", "rows": [["Neutral", "4/0", "250", "250 lb-in", "T-7", "N. H., 2026-04-21"], ["Main", "", "", "", "", ""]]}]}  # fmt: skip
    seen = Seen(page(set_before))
    rows = [(attrs["data-state"], attrs["data-said"]) for tag, attrs in seen.tags if "data-torque" in attrs]
    assert rows == [("right", "Set to 250\xa0lb-in; on the label 250; T-7; N. H., 2026-04-21"), ("open", "")]
