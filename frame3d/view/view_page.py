"""view.html: the frame in one file that needs nothing else, from disk and without a network.

The viewer, the page round it and what they show are packed into the file. Its policy
lets run what is in it, known by its hash, and nothing else, and fetches nothing.
"""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
import zlib
from collections.abc import Iterable, Sequence
from importlib import resources

from frame3d import __version__
from frame3d.checks.findings.finding import Finding
from frame3d.checks.report import NO_VERDICT, count_of, finding_row
from frame3d.frame.describe.as_built import titled
from frame3d.frame.describe.direction import isolated
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import CAUTIONS, lengths_of, tied
from frame3d.frame.model.members import Frame
from frame3d.view.clear_bodies import bodies_of
from frame3d.view.ground_scene import ground_scene
from frame3d.view.links import numbers_of
from frame3d.view.modules import joined
from frame3d.view.scene_file import scene_of
from frame3d.view.still_picture import frame_picture

Figures = Sequence[tuple[str, str]]
_HIGHEST = 9
_ASSETS = resources.files("frame3d.view") / "assets"


def view_page(
    frame: Frame, findings: Sequence[Finding], figures: Figures, status: SetStatus = UNCHECKED
) -> str:
    """The text of view.html.

    Parameters
    ----------
    frame : Frame
    findings : sequence of Finding
        What the checks found in it.
    figures : sequence of (str, str)
        Its main figures as names and texts.
    status : SetStatus
        What stands against building from it.
    """
    scene = scene_of(frame)
    members = numbers_of(frame, findings)
    data = {"members": scene.members, "bodies": bodies_of(frame), "members_of": members,
            "ground": ground_scene(frame)}  # fmt: skip
    style, script = _tight(_slim(_asset("view.css"))), _slim(joined(_ASSETS, "view.js"))
    return _filled({
        "POLICY": policy(script, style),
        "STYLE": style,
        "TITLE": html.escape(isolated(titled(frame))),
        "STATUS": _status(status),
        "GIST": html.escape(tied(_gist(frame))),
        "PICTURE": frame_picture(frame),
        "COUNTS": html.escape(count_of(findings)),
        "FINDINGS": "".join(_findings(frame, findings, members)),
        "NO_VERDICT": html.escape(NO_VERDICT),
        "FIGURES": "".join(f"<dt>{html.escape(a)}</dt><dd>{html.escape(tied(b))}</dd>"
                           for a, b in figures),
        "CAUTIONS": "".join(f"<li>{html.escape(text)}</li>" for text in CAUTIONS),
        "MADE": f"Made by frame3d {__version__}",
        "SCENE": _packed(scene.glb),
        "DATA": _packed(json.dumps(data, separators=(",", ":")).encode()),
        "SCRIPT": script,
    })  # fmt: skip


def policy(script: str, style: str) -> str:
    """What a page may do, for its ``Content-Security-Policy``: run these two texts, no more."""
    return (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )


def _slim(text: str) -> str:
    """``text`` without indentation, whole lines of comment, and breaks that mean nothing."""
    lines = (line.strip() for line in text.splitlines())
    kept = "\n".join(line for line in lines if line and not line.startswith("//"))
    # Not before a directive of a shader, which has a line to itself.
    return re.sub(r"(?<=[{;,(])\n(?!#)", "", kept)


def _tight(style: str) -> str:
    """A style sheet without the spaces that mean nothing: round brackets of rules, after marks."""
    return re.sub(r"\s*([{};,])\s*", r"\1", style).replace(": ", ":")


def _asset(name: str) -> str:
    return (_ASSETS / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def _packed(data: bytes) -> str:
    return base64.b64encode(zlib.compress(data, _HIGHEST)).decode()


def _filled(words: dict[str, str]) -> str:
    """The page with everything in its place; each place is filled once."""
    pieces = _asset("view.html").split("{{")
    filled = [pieces[0]]
    for piece in pieces[1:]:
        name, _, after = piece.partition("}}")
        filled += [words[name], after]
    return "".join(filled)


def _gist(frame: Frame) -> str:
    form, arch = lengths_of(frame), frame.arch
    wide, high, long = (
        form.text(size, unit=True)
        for size in (
            arch.widths().centres_mm, arch.heights().centres_mm, frame.grid.length_mm,
        )
    )  # fmt: skip
    return f"{wide} wide, {high} high, {long} long, between centres of the tubes"


def _status(status: SetStatus) -> str:
    """What stands against building from the set, over everything else; empty for nothing."""
    told = status.short_list()
    if not told:
        return ""
    items = "".join(f"<li>{html.escape(tied(text))}</li>" for text in told)
    headline = status.headline or "This set is incomplete."
    return (
        f'<details id="status" open><summary>{html.escape(headline)}</summary><ul>{items}</ul>'
        "</details>"
    )


def _findings(
    frame: Frame, findings: Sequence[Finding], members: Sequence[Sequence[int]]
) -> Iterable[str]:
    """Each finding as an item, a button where it has members to show."""
    if not findings:
        yield "<li>Nothing was found.</li>"
    for number, finding in enumerate(findings):
        (severity, rule), where, told = finding_row(frame, finding)
        head = f'<span class="rule">{html.escape(severity)}: {html.escape(rule)}</span>'
        if members[number]:
            head = (f'<button type="button" value="{number}" disabled>{head}<br>'
                    f"{html.escape(', '.join(where))}</button>")  # fmt: skip
        else:
            head += f"<br>{html.escape(', '.join(where))}"
        yield f"<li>{head}<br>{html.escape(tied(' '.join(told)))}</li>"
