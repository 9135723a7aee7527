"""The crew's packet: made from what notebooks showed, set whole, and kept apart from the permit packet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from calc.job import Job, parse_job
from calc.packet import CollectError, PacketError, collect, packet_notebooks
from calc.packet.collect import Collected, Display
from calc.packet.crew import crew_document, make_crew
from calc.packet.typeset import set_pdf
from tests.packet import samples
from tests.packet.reading import reader, structure, text_of
from tests.packet.samples import notebook, output
from tests.packet.test_run import GOOD, in_process, run, showing, written  # noqa: F401

JOB = '[code]\nedition = "2023"\n\n[job]\nname = "sorrel-12"\naddress = "118 Sorrel Bend"\ndate = 2024-03-05\n'

FIX = {
    "number": 1, "grade": 1, "where": "Attic", "about": "R9", "what": "breaker protects the conductors", "family": "feeder",
    "check": "breaker_protects", "status": "falls short", "there": "20 A (breaker)", "needed": "at most 18.3 A (largest breaker)",
    "sections": ["240.4(B)"], "remedy": "bore more holes", "others": ["10/2 NM instead of 12/2"], "asked": "", "trade": "electrician",
    "along": ["Upstairs: breaker protects the conductors"], "changes": {},
}  # fmt: skip


def fixes(*items: dict[str, Any], **changes: Any) -> dict[str, Any]:
    groups = [{"name": "Fire or shock", "items": list(items)}] if items else []
    return {"schema_version": 2, "part": "fixes", "title": "Fix list", "subject": "sorrel-12", "edition": "2023",
            "intro": "Worst first.", "closing": "Nothing falls short.", "groups": groups,
            "by_room": [["Attic", [1, 2, 3]]], "by_trade": [["electrician", [1, 3]]]} | changes  # fmt: skip


def stage(*items: dict[str, Any], name: str = "Kitchen") -> dict[str, Any]:
    return {"schema_version": 2, "part": "stage", "stage": "rough", "title": "Walk sheet: Rough-in", "subject": "sorrel-12",
            "intro": "Tick what is right.", "groups": [{"name": name, "items": list(items)}]}  # fmt: skip


def look(text: str = "Grounds are joined.", **changes: Any) -> dict[str, Any]:
    return {"text": text, "standing": "Code", "sections": ["250.148"], "mark": ""} | changes


RECORD = {"schema_version": 2, "part": "record", "title": "Torque record", "subject": "sorrel-12", "intro": "",
          "columns": ["Terminal", "Conductor", "Label", "Set to", "Tool", "By"],
          "groups": [{"name": "Panel", "rows": [["Neutral", "4/0", "", "", "", ""]]}]}  # fmt: skip
FOUND = {"schema_version": 2, "part": "findings", "title": "Findings so far", "subject": "sorrel-12", "intro": "",
         "groups": [{"name": "Open", "items": [{"text": "Behind the machine.", "about": "Rough-in, Kitchen",
                                                "sections": ["422.16"], "details": [["Found", "N. H."]], "done": False}]}]}  # fmt: skip


def the_job() -> Job:
    return parse_job(JOB.encode())


def pdf(*parts: dict[str, Any]) -> bytes:
    content = crew_document(Collected([Display("walk", part) for part in parts]), the_job())
    return set_pdf("crew.typ", {"crew": content})


def test_everything_shown_is_on_the_page() -> None:
    text = text_of(
        pdf(fixes(FIX), stage(look(), look("Box flush.", standing="Inspector decides", sections=[])), RECORD, FOUND)
    )
    for said in ("Crew packet: 118 Sorrel Bend", "Site 118 Sorrel Bend", "no part of the permit packet", "Fire or shock", "Attic: R9",
                 "Breaker protects the conductors", "20 A", "At most 18.3 A", "Bore more holes", "10/2 NM instead of 12/2",
                 "240.4(B)", "electrician", "1–3", "Nothing falls short.", "Walk sheet: Rough-in", "Kitchen",
                 "Grounds are joined.", "Code 250.148", "Inspector decides", "More that was found", "Torque record", "4/0",
                 "Behind the machine.", "422.16", "N. H."):  # fmt: skip
        assert said in text, said


def test_a_fix_says_what_is_there_what_is_needed_and_how_to_mend_it_and_is_not_done() -> None:
    other = FIX | {
        "status": "not shown",
        "remedy": "",
        "asked": "enter what is missing",
        "others": [],
        "along": [],
        "number": 2,
    }
    done = {
        "text": "Behind the machine.",
        "about": "Kitchen",
        "done": True,
        "details": [["Found", "N. H."]],
        "mark": "",
    }
    shown = [
        Display("walk", fixes(FIX, other)),
        Display("walk", FOUND | {"groups": [{"name": "Closed", "items": [done]}]}),
    ]
    one, two = crew_document(Collected(shown), the_job())["parts"]
    first, second = one["groups"][0]["items"]
    assert [label for label, _ in first["details"]] == ["Asked", "There", "Needed", "Correction", "Or", "With it"]
    assert [label for label, _ in second["details"]] == ["Not shown", "There", "Why", "Correction"]
    assert dict(second["details"])["Correction"] == "Enter what is missing"
    assert (first["done"], first["number"], first["heading"]) == (False, "1", "Attic: R9")
    (found,) = two["groups"][0]["items"]
    assert (found["done"], found["side"], found["number"]) == (True, [""], "")
    assert [index["title"] for index in one["indexes"]] == ["By room", "By trade"]
    assert two["indexes"] == []


def test_what_is_to_be_confirmed_stands_on_the_page_of_the_fix_list_with_a_box_to_tick() -> None:
    """An entry that looks like a slip, whether something falls short beside it or not; nothing is said where there is none."""
    odd = "loads[2] Cooktop: 740 VA is less than a cooktop draws."
    for items in ((), (FIX,)):
        page = text_of(pdf(fixes(*items, to_confirm=[odd])))
        assert "To be confirmed" in page
        assert "740 VA is less than a cooktop draws" in page
        assert "To be confirmed" not in text_of(pdf(fixes(*items, to_confirm=[])))


def test_a_mark_of_a_value_from_memory_is_printed() -> None:
    assert "(from memory)" in text_of(pdf(stage(look(mark="from memory"))))


def test_a_place_is_named_again_on_the_next_page() -> None:
    many = pdf(stage(*(look(f"Question number {n}.") for n in range(60))))
    pages = [text_of(many, page) for page in range(1, len(reader(many).pages) + 1)]
    asked = [page for page in pages if "Question number" in page]
    assert len(asked) > 1
    assert all("Kitchen" in page and "Asked by" in page for page in asked)


def test_the_name_of_a_place_never_stands_alone_at_the_foot_of_a_page() -> None:
    for count in range(18, 32):
        part = stage(*(look(f"Question number {n}.") for n in range(count)))
        part["groups"].append({"name": "Pantry", "items": [look("The last question.")]})
        made = pdf(part)
        pages = [text_of(made, page) for page in range(1, len(reader(made).pages) + 1)]
        assert all("The last question." in page for page in pages if "Pantry" in page), count


def test_it_is_archival_tagged_and_the_same_twice() -> None:
    first = pdf(fixes(FIX), stage(look()), RECORD, FOUND)
    assert first == pdf(fixes(FIX), stage(look()), RECORD, FOUND)
    tags = structure(first)
    assert {"/Table", "/TH", "/H1"} <= set(tags)
    assert reader(first).trailer["/Root"]["/Lang"].startswith("en")  # type: ignore[index]


@pytest.mark.parametrize(
    "text", ["#pagebreak() *bold* $x$", "\u202eright to left", "\ue000 private", "w" * 400, "مرحبا 你好"]
)
def test_whatever_a_person_typed_is_only_text(text: str) -> None:
    made = pdf(fixes(FIX | {"remedy": text, "where": text}), stage(look(text), name=text))
    assert "Fix list" in text_of(made)


def test_only_notebooks_that_say_so_belong_in_each_packet(tmp_path: Path) -> None:
    for name, ours in (("1", {"packet": True}), ("2", {"walk": True}), ("3", {"packet": False, "walk": "yes"})):
        notebook(tmp_path / f"{name}.ipynb", metadata={"studbay": {"family": "x", **ours}})
    assert [path.stem for path in packet_notebooks(tmp_path)] == ["1"]
    assert [path.stem for path in packet_notebooks(tmp_path, "walk")] == ["2"]


def test_the_notebooks_that_ship_keep_the_two_apart() -> None:
    folder = Path(__file__).parents[2] / "notebooks"
    permit, crew = packet_notebooks(folder), packet_notebooks(folder, "walk")
    assert [path.name for path in crew] == ["10-fixes.ipynb"]
    assert not set(permit) & set(crew)


def test_a_walk_display_needs_its_parts(tmp_path: Path) -> None:
    path = notebook(tmp_path / "n.ipynb", [output("walk", {"schema_version": 2, "part": "fixes"})])
    with pytest.raises(CollectError, match="the walk lacks title"):
        collect([path])
    path = notebook(tmp_path / "n.ipynb", [output("walk", fixes(schema_version=1))])
    with pytest.raises(CollectError, match="walk format 1"):
        collect([path])


# -- on disk ------------------------------------------------------------------------------------------------------


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "jobs" / "job.toml"
    path.parent.mkdir()
    path.write_text(JOB)
    return path


WALK = showing(output("walk", fixes(FIX)), output("walk", stage(look())))


def walked(job: Path, tmp_path: Path, *sources: str) -> Any:
    paths = [written(tmp_path / "nb" / f"{n}.ipynb", source) for n, source in enumerate(sources)]
    return make_crew(job, notebooks=paths, out_dir=tmp_path / "reports", engine="in-process")


def test_a_walk_packet_lies_in_a_folder_of_its_own(job: Path, tmp_path: Path) -> None:
    made = walked(job, tmp_path, WALK)
    assert made.folder == tmp_path / "reports" / "sorrel-12" / "crew"
    assert made.to_fix == 1
    assert sorted(path.name for path in made.folder.iterdir()) == [
        "0.ipynb",
        "crew.html",
        "crew.json",
        "crew.pdf",
        "made.json",
    ]
    parts = json.loads((made.folder / "crew.json").read_text())["parts"]
    assert [part["part"] for part in parts] == ["fixes", "stage"]
    assert not reader(made.pdf.read_bytes()).attachments


def test_permit_packet_and_walk_packet_leave_each_other_alone(job: Path, tmp_path: Path) -> None:
    crew = walked(job, tmp_path, WALK)
    before = crew.pdf.read_bytes()
    permit = run(job, tmp_path, written(tmp_path / "nb" / "permit.ipynb", GOOD))
    assert crew.pdf.read_bytes() == before
    walked(job, tmp_path, WALK)
    assert permit.pdf.exists()
    assert "Fix list" not in text_of(permit.pdf.read_bytes())
    assert (permit.folder / "permit.ipynb").exists()


def test_a_fix_list_in_a_notebook_of_the_permit_packet_stops_it(job: Path, tmp_path: Path) -> None:
    """It would file the job's own violations as public record."""
    with pytest.raises(PacketError, match="fix list or walk sheet"):
        run(job, tmp_path, written(tmp_path / "nb" / "1.ipynb", GOOD + "\n" + WALK))
    assert not (tmp_path / "reports" / "sorrel-12" / "permit-set.pdf").exists()


def test_a_failed_notebook_keeps_the_last_walk_packet(job: Path, tmp_path: Path) -> None:
    made = walked(job, tmp_path, WALK)
    before = made.pdf.read_bytes()
    with pytest.raises(PacketError, match="ZeroDivisionError"):
        walked(job, tmp_path, "1 / 0")
    assert made.pdf.read_bytes() == before
    assert (made.folder / "failed-0.ipynb").exists()


def test_nothing_shown_makes_no_packet(job: Path, tmp_path: Path) -> None:
    with pytest.raises(PacketError, match="nothing was made"):
        walked(job, tmp_path, "x = 1")


def test_a_permit_packet_with_failures_carries_its_banner(job: Path, tmp_path: Path) -> None:
    short = samples.dwelling_sheet(
        checks=[samples.check("s", "service serves", "100 A provided, 124 A required", "230.42", False, "less load")],
        status="falls short",
    )
    made = run(
        job,
        tmp_path,
        written(
            tmp_path / "nb" / "1.ipynb",
            showing(output("document", samples.document()), output("sheet", short)),
        ),
    )
    assert "What is shown: falls short" in text_of(made.annex.read_bytes(), 1)
    assert not made.passes
