"""What a worker can be asked: each task is a function of the question's fields.

A design that cannot be read or laid out is an answer like any other, with its faults.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import NO_VERDICT, report_of, status_of
from frame3d.design.reading.faults import fault_at
from frame3d.design.reading.formats import FORMAT_FIELD, notes_on_defaults, opened
from frame3d.design.reading.lines import key_lines
from frame3d.design.reading.syntax import parsed, value_faults
from frame3d.design.writing.editing import edited_text
from frame3d.errors import DesignFaults
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.members import Frame
from frame3d.frame_set import lists_of
from frame3d.view.clear_bodies import bodies_of
from frame3d.view.links import numbers_of
from frame3d.view.scene_file import scene_of
from frame3d.view.still_picture import frame_picture
from frame3d.web.requests.given import given_from, list_faults
from frame3d.web.work.ground_answer import ground_answer
from frame3d.web.work.live import frame_words
from frame3d.web.work.messages import Message, said
from frame3d.web.work.read_designs import NAME, fault_rows, frame_of, frame_on_ground

Fields = dict[str, Any]  # of a question; each task knows its own
Tell = Callable[[str, int, int], None]
Task = Callable[[Fields, Tell], Message]


def _told(task: Task) -> Task:
    """``task`` with the faults of a design as its answer."""

    def safe(question: Fields, tell: Tell) -> Message:
        try:
            return task(question, tell)
        except DesignFaults as error:
            return said({"faults": fault_rows(error)})

    return safe


def _lay(question: Fields, tell: Tell) -> Message:
    """The frame to look at: its scene, its members, its figures."""
    frame = frame_on_ground(question["text"], question["lists"])
    scene = scene_of(frame)
    words = {**frame_words(frame), "scene": scene.members}
    return said(words, scene.glb)


def _find(question: Fields, tell: Tell) -> Message:
    """What the checks find, the room inside, and what takes longer to work out than a picture."""
    frame, given = frame_of(question["text"]), given_from(question["lists"])
    faults = list_faults(frame, given)
    sound = {what: one for what, one in given.items() if what not in faults}
    frame = frame_on_ground(question["text"], question["lists"])  # the one that is looked at
    found = check_frame(frame)
    status = status_of(found, missing=lists_of(frame, sound).missing)
    report = report_of(frame, found)
    for row, numbers in zip(report["findings"], numbers_of(frame, found), strict=True):
        row["members"] = numbers
    return said({
        "counts": report["counts"], "findings": report["findings"], "room": report["room"],
        "mass": lengths_of(frame).mass(_mass_kg(frame)), "bodies": bodies_of(frame),
        "ground": ground_answer(frame),
        "status": {"headline": status.headline, "told": status.short_list()},
        "lists": {"faults": faults, "missing": [one.what for one in status.missing]},
        "what_this_is": NO_VERDICT,
    })  # fmt: skip


def _mass_kg(frame: Frame) -> float:
    return sum(mass_kg(group.part) * group.count for group in frame.parts())


def _open(question: Fields, tell: Tell) -> Message:
    """The values of a design file, as far as it can be parsed, under the names of today."""
    mapping = parsed(question["text"], NAME)
    if unfit := value_faults(mapping):
        lines = key_lines(question["text"])
        raise DesignFaults([fault_at(path, message, lines) for path, message in unfit], NAME)
    older = opened(mapping, NAME)
    notes = [str(note) for note in (*older.notes, *notes_on_defaults(older))]
    given = {FORMAT_FIELD: older.format} if FORMAT_FIELD in mapping else {}
    form = {**given, **older.mapping}
    # A date is no text in a file; the form shows what was written, and the reader its fault.
    return said({"design": json.loads(json.dumps(form, default=str)), "notes": notes})


def _save(question: Fields, tell: Tell) -> Message:
    """A design file with new values and the comments of the old one."""
    wanted = parsed(question["text"], NAME)
    return said({"text": edited_text(question["source"], wanted)})


def _begin(question: Fields, tell: Tell) -> Message:
    """A typical design with the answers of who begins with it, as text."""
    from frame3d.web.work.beginning import begun_text

    return said({"text": begun_text(question["text"], json.loads(question["answers"]))})


def _picture(question: Fields, tell: Tell) -> Message:
    """The frame as a picture that stands still."""
    return said({}, frame_picture(frame_of(question["text"]), on_dark=question["on_dark"]).encode())


def _cost(question: Fields, tell: Tell) -> Message:
    from frame3d.web.work.costs import shopping_list

    return said(shopping_list(question["text"], question["lists"], question["quotes"]))


def _sheets(question: Fields, tell: Tell) -> Message:
    from frame3d.web.work.drawings import sheet_list

    return said(sheet_list(question["text"], question["lists"], tell))


def _first(question: Fields, tell: Tell) -> Message:
    from frame3d.web.work.drawings import first_sheet

    names = ("text", "lists", "family", "place")
    return said(first_sheet(*(question[name] for name in names)))


def _sheet(question: Fields, tell: Tell) -> Message:
    from frame3d.web.work.drawings import sheet_svg

    return said({}, sheet_svg(question["text"], question["lists"], question["number"]))


def _make(question: Fields, tell: Tell) -> Message:
    from frame3d.web.work.exports import make_file

    names = ("text", "lists", "kind", "folder")
    text, lists, kind, folder = (question[name] for name in names)
    return said(make_file(text, lists, kind, folder, tell, question["against"]))


TASKS: dict[str, Task] = {
    name: _told(task)
    for name, task in {
        "lay": _lay, "find": _find, "open": _open, "save": _save, "sheets": _sheets,
        "first": _first, "sheet": _sheet, "make": _make, "begin": _begin, "picture": _picture,
        "cost": _cost,
    }.items()
}  # fmt: skip
