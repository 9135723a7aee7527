"""The crew's page: fix list, walk sheets and readings as one HTML file for a phone, which asks nothing of any network.

It is whole without its script too, to be read. What a person typed reaches it as escaped text, drawings as pictures in
which nothing runs, and the page forbids itself everything else.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from html import escape
from itertools import count
from typing import Any

from calc.packet.collect import Collected
from calc.packet.offline import as_html, foot, offline_page, options
from calc.packet.wording import clean, printed

Json = dict[str, Any]

PANELS = "panels"
"""The part that only the page shows: what stands in each space of the panels."""
READINGS, MORE = "readings", "more"
QUANTITIES = (("insulation", "MΩ", "Insulation resistance, MΩ"), ("voltage", "V", "Voltage, V"), ("torque", "lb-in", "Torque, lb-in"),
              ("torque", "lb-ft", "Torque, lb-ft"), ("current", "A", "Current, A"), ("resistance", "Ω", "Resistance, Ω"))  # fmt: skip
UNITS = ("lb-in", "lb-ft")
WORST_FIRST = "Worst first. Each correction was proved by working the whole job again with it."


@dataclass
class Told:
    """What the script sends back of each item that is answered, by the item's id, and the drawings of each place."""

    drawings: dict[str, str]
    """Place to the id of its dialog."""
    items: dict[str, Json] = field(default_factory=dict)

    def id_of(self, sent: Json) -> str:
        """The id of an item, which stays the same in every file that asks the same."""
        whole = json.dumps(sent, sort_keys=True)
        for turn in count():
            name = hashlib.sha256(f"{whole}{turn or ''}".encode()).hexdigest()[:12]
            if name not in self.items:
                self.items[name] = sent
                return name
        raise AssertionError


def phone_page(content: Json, collected: Collected, *, name: str, address: str, fingerprint: str) -> str:
    """The page. ``content`` is what the crew's PDF is set from, ``collected`` what the notebook showed of the same."""
    raw = [part for part in collected.of("walk") if part["part"] != PANELS]
    faces = [part for part in collected.of("walk") if part["part"] == PANELS]
    dialogs, drawings = _dialogs(collected, faces)
    told = Told(drawings)
    of_panel = {group["name"]: group["where"] for part in faces for group in part["groups"]}
    sections, stages = [], [("", "All of it")]
    places = _places(raw, of_panel)
    for shown, part in zip(content["parts"], raw, strict=True):
        if part["part"] != "record":
            key = part.get("stage") or part["part"]
            stages.append((key, _short(shown["title"])))
            sections.append(
                _section(
                    key, shown["title"], _intro(shown), "".join(_groups(shown, part, told, of_panel)) + _closing(shown)
                )
            )
    torque = "".join(group for shown, part in zip(content["parts"], raw, strict=True) if part["part"] == "record"
                     for group in _groups(shown, part, told, of_panel))  # fmt: skip
    for key, title, inside in (
        (READINGS, "Readings", torque + _reading_form(places)),
        (MORE, "Other findings", _found_form(raw, places)),
    ):
        stages.append((key, title))
        sections.append(_section(key, title, "", inside, free=True))
    facts = {"job": name, "address": address, "fingerprint": fingerprint, "items": told.items}
    return _page(content, address or name, stages, places, "".join(sections), "".join(dialogs), facts)


def _page(
    content: Json, title: str, stages: Sequence[tuple[str, str]], places: Sequence[str], sections: str, dialogs: str, facts: Json
) -> str:  # fmt: skip
    said = " · ".join(f"{label} {text}" for label, text in content["facts"] if text != clean(title))
    body = f"""<header>
<h1 dir="auto">{as_html(title)}</h1>
<p class="soft" dir="auto">{as_html(said)}</p>
<p class="nojs warn">Nothing can be ticked in this preview. Open the file in the phone's browser.</p>
</header>
<nav class="bar" aria-label="What is shown"><div>
<label>Stage<select id="stage">{options(stages)}</select></label>
<label>Room<select id="place">{options([("", "Everywhere"), *((name, name) for name in places)])}</select></label>
<div class="last"><span id="count" role="status"></span>
<label class="tick"><input type="checkbox" id="only"> Only open</label></div>
</div></nav>
<main>
<p id="keeps" class="warn" hidden>This browser keeps nothing. Send back before you close this page, or it is lost.</p>
<div class="about"><label>Who you are<input id="who" maxlength="80" autocomplete="name"></label>
<p class="soft" id="how">Ticks, readings and notes stay on this phone until you send them back. No network is needed.</p></div>
{sections}
<p id="nothing" hidden>Nothing of this stage is in this room.</p>
</main>
{foot("Send back")}
{dialogs}"""
    return offline_page("crew", title=f"For the crew: {title}", body=body, told=facts)


def _section(key: str, title: str, intro: str, inside: str, *, free: bool = False) -> str:
    """A part of the page; a free one has a form, and is shown whatever room is chosen."""
    said = f'<p class="soft">{as_html(intro)}</p>' if intro else ""
    free_word = " data-free" if free else ""
    return f'<section data-stage="{as_html(key)}"{free_word}><h2>{as_html(title)}</h2>{said}{inside}</section>\n'


def _intro(shown: Json) -> str:
    """Why a correction can be trusted, in few words; of all else what its sheet says."""
    return WORST_FIRST if shown["part"] == "fixes" and shown["groups"] else shown["intro"]


def _closing(shown: Json) -> str:
    """What the fix list ends with, and the entries that look like a slip."""
    odd = "".join(f"<li>{as_html(text)}</li>" for text in shown["to_confirm"])
    confirm = f"<h3>To be confirmed</h3><ul class=plain>{odd}</ul>" if odd else ""
    return (f'<p class="soft">{as_html(shown["closing"])}</p>' if shown["closing"] else "") + confirm


def _groups(shown: Json, part: Json, told: Told, of_panel: Json) -> Iterator[str]:
    """The groups of a part: of the walk sheets a place each, of the fix list a grade, of the record a panel."""
    rooms: dict[int, list[str]] = {}
    for name, numbers in part.get("by_room", ()):
        for number in numbers:
            rooms.setdefault(number, []).append(name)
    for group, given in zip(shown["groups"], part["groups"], strict=True):
        place = of_panel.get(given["name"], given["name"])
        if part["part"] == "fixes":
            items = [_fix(item, fix, rooms.get(fix["number"], []), told) for item, fix in zip(group["items"], given["items"], strict=True)]  # fmt: skip
        elif part["part"] == "record":
            items = [_torque(row, given_row, given["name"], place, told) for row, given_row in zip(group["rows"], given["rows"], strict=True)]  # fmt: skip
        elif part["part"] == "stage":
            items = [_look(item, look, part["stage"], place, told) for item, look in zip(group["items"], given["items"], strict=True)]  # fmt: skip
        else:
            items = [
                _finding(item, finding, told) for item, finding in zip(group["items"], given["items"], strict=True)
            ]
        button = "" if part["part"] == "fixes" else _button(told.drawings, place, "Drawing")
        yield (
            f'<div class="group"><div class="head"><h3 dir="auto">{as_html(group["name"])}</h3><span class="open"></span>'
            f"{button}</div><ul>{''.join(items)}</ul></div>"
        )


def _look(item: Json, look: Json, stage: str, place: str, told: Told) -> str:
    key = told.id_of({"stage": stage, "place": place, "asked": look["text"], "sections": list(look["sections"])})
    earlier = "; ".join(f"{label}: {text}" for label, text in item["details"])
    return _item(key, [place], item["text"], "", item["side"], ["right", "wrong"], earlier, item["done"])


def _fix(item: Json, fix: Json, places: list[str], told: Told) -> str:
    asked = f"{': '.join(part for part in (fix['where'], fix['about']) if part)}: {fix['what']}"
    remedy = fix["remedy"] or fix["asked"]
    key = told.id_of({"place": places[0] if len(places) == 1 else "", "asked": f"{asked}. {remedy}", "sections": list(fix["sections"])})  # fmt: skip
    details = "".join(
        f"<dt>{as_html(label)}</dt><dd{' class=do' if label == 'Correction' else ''}>{as_html(text)}</dd>"
        for label, text in item["details"]
    )
    buttons = "".join(_button(told.drawings, place, f"Drawing: {place}") for place in places)
    inside = f"<dl>{details}</dl>" + (f'<p class="draw">{buttons}</p>' if buttons else "")
    return _item(key, places, f"{item['number']}. {item['heading']}", inside, item["side"], ["corrected", "wrong"])


def _finding(item: Json, finding: Json, told: Told) -> str:
    said = "; ".join(f"{label}: {text}" for label, text in item["details"])
    heading = f"{item['heading']}: {item['text']}" if item["heading"] else item["text"]
    if item["done"]:
        return f'<li class="item" data-state="right" data-places="[]"><p class="text" dir="auto"><span class="sign" aria-hidden="true">✓</span><span>{as_html(heading)}</span></p><p class="stands">{as_html(said)}</p></li>'  # fmt: skip
    key = told.id_of({"finding": finding["text"], "sections": list(finding["sections"])})
    return _item(
        key, [finding["where"]] if finding.get("where") else [], heading, "", item["side"], ["corrected"], said
    )


_WORDS = {"right": "✓ Right", "wrong": "✗ Not right", "corrected": "✓ Corrected"}


def _item(
    key: str, places: Sequence[str], text: str, inside: str, side: Sequence[str], answers: Sequence[str], earlier: str = "",
    done: bool = False,
) -> str:  # fmt: skip
    by = " ".join(part for part in side if part)
    buttons = "".join(
        f'<button type="button" data-say="{word}" aria-pressed="false">{_WORDS[word]}</button>' for word in answers
    )
    return (
        f'<li class="item" data-id="{key}" data-state="{"right" if done else "open"}" data-places="{_list(places)}"'
        f' data-before="{"right" if done else ""}" data-said="{as_html(earlier)}">'
        f'<p class="text" dir="auto"><span class="sign" aria-hidden="true">☐</span><span id="t{key}">{as_html(text)}</span></p>'
        f"{inside}{f'<p class=by>{as_html(by)}</p>' if by else ''}"
        f'<div class="answer" role="group" aria-labelledby="t{key}">{buttons}'
        f'<button type="button" data-note aria-expanded="false">Note</button></div>'
        f'<label class="note" hidden>What you saw<textarea maxlength="2000"></textarea></label>'
        f'<p class="stands">{as_html(earlier)}</p></li>'
    )


def _torque(row: Sequence[str], given: Sequence[str], panel: str, place: str, told: Told) -> str:
    terminal, wire = row[0], row[1]
    key = told.id_of({"place": panel, "of": given[0]})
    named = ", ".join(part for part in (terminal, wire) if part)
    label, set_to, tool, by = row[2:6]
    earlier = (
        "; ".join([f"Set to {set_to}", *([f"on the label {label}"] if label else []), *filter(None, (tool, by))])
        if set_to
        else ""
    )
    state, sign = ("right", "✓") if earlier else ("open", "☐")
    field = '<label>{}<input name="{}" {}></label>'
    number = 'inputmode="decimal" maxlength="12"'
    fields = [field.format("Torque on the label", "label", number), field.format("Set to", "set", number),
              f'<label>Unit<select name="unit">{options([(unit, unit) for unit in UNITS])}</select></label>',
              field.format("Tool", "tool", 'maxlength="60"')]  # fmt: skip
    return (
        f'<li class="item" data-torque="{key}" data-state="{state}" data-places="{_list([place, panel])}" data-said="{as_html(earlier)}">'
        f'<p class="text" dir="auto"><span class="sign" aria-hidden="true">{sign}</span><span id="t{key}">{as_html(named)}</span></p>'
        f'<div class="fields" role="group" aria-labelledby="t{key}">{"".join(fields)}</div><p class="stands">{as_html(earlier) or "Open"}</p></li>'
    )


def _reading_form(places: Sequence[str]) -> str:
    quantities = options([(f"{name}|{unit}", label) for name, unit, label in QUANTITIES])
    return (
        f'<form id="reading" autocomplete="off"><h3>Another reading</h3><label>Quantity<select name="quantity">{quantities}</select></label>'
        f'<label>Where<select name="place">{options([(name, name) for name in places])}</select></label>'
        '<label>Of what, between what<input name="of" maxlength="120"></label>'
        '<label>Reading<input name="value" inputmode="decimal" maxlength="12" required aria-describedby="reading-wrong"></label>'
        '<p id="reading-wrong" class="stands" role="alert"></p><p><button>Add the reading</button></p><ul></ul></form>'
    )


def _found_form(raw: Sequence[Json], places: Sequence[str]) -> str:
    stages = [(part["stage"], _short(part["title"])) for part in raw if part.get("stage")]
    return (
        f'<form id="found" autocomplete="off"><label>Stage<select name="stage">{options([*stages, ("", "No stage")])}</select></label>'
        f'<label>Where<select name="place">{options([(name, name) for name in places])}</select></label>'
        '<label>What you saw<textarea name="text" maxlength="2000" required></textarea></label>'
        "<p><button>Add it</button></p><ul></ul></form>"
    )


def _places(raw: Sequence[Json], of_panel: Json) -> list[str]:
    """Every place that anything is about, as the crew walks."""
    listed = [name for part in raw for name, _ in part.get("by_room", ())]
    walked = [group["name"] for part in raw if part["part"] == "stage" for group in part["groups"]]
    return list(dict.fromkeys([*walked, *listed, *of_panel])) or ["Whole house"]


def _dialogs(collected: Collected, faces: Sequence[Json]) -> tuple[list[str], dict[str, str]]:
    """What is drawn of each place, and the face of each panel there: a dialog a place."""
    inside: dict[str, list[str]] = {}
    for each in collected.displays:
        if each.kind == "chart" and each.data.get("subject"):
            picture = base64.b64encode(each.svg.encode("utf-8")).decode("ascii")
            inside.setdefault(each.data["subject"], []).append(
                f'<h3 class="face" dir="auto">{as_html(each.data["title"])}</h3><figure tabindex="0" role="group" aria-label="{as_html(each.data["title"])}">'
                f'<img alt="{as_html(each.data["alt"])}" src="data:image/svg+xml;base64,{picture}"></figure>'
            )
    for part in faces:
        for group in part["groups"]:
            head = "".join(f"<th scope=col>{as_html(name)}</th>" for name in part["columns"])
            rows = "".join(
                f"<tr>{''.join(f'<td dir=auto>{as_html(printed(cell))}</td>' for cell in row)}</tr>"
                for row in group["rows"]
            )
            face = f'<div class="face"><h3 dir="auto">{as_html(group["name"])}</h3><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>'
            for place in dict.fromkeys((group["where"], group["name"])):
                inside.setdefault(place, []).append(face)
    drawings = {place: f"d{number}" for number, place in enumerate(inside)}
    return [_dialog(drawings[place], place, parts) for place, parts in inside.items()], drawings


def _dialog(key: str, place: str, parts: Sequence[str]) -> str:
    size = (
        '<button type="button" class="size" aria-pressed="false">Whole</button>'
        if any("<img" in part for part in parts)
        else ""
    )
    return (
        f'<dialog id="{key}" aria-labelledby="{key}h"><div class="head"><h2 id="{key}h" dir="auto">{as_html(place)}</h2>{size}'
        f'<button type="button" class="close">Close</button></div>{"".join(parts)}</dialog>\n'
    )


def _button(drawings: dict[str, str], place: str, label: str) -> str:
    return (
        f'<button type="button" data-drawing="{drawings[place]}">{as_html(label)}</button>' if place in drawings else ""
    )


def _short(title: str) -> str:
    return title.removeprefix("Walk sheet: ")


def _list(names: Sequence[str]) -> str:
    return escape(json.dumps(list(names), ensure_ascii=False), quote=True)
