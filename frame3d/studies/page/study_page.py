"""study.html: the rows of a study to sort, filter and plot, in one file that fetches nothing.

Plots are drawn by Chart.js (MIT), which lies beside the page and is packed into it. The policy
lets run that and our own script, known by the hash of both together, and nothing else.
"""

from __future__ import annotations

import base64
import html
import json
import zlib
from importlib import resources

from frame3d import __version__
from frame3d.checks.report import NO_VERDICT
from frame3d.frame.describe.direction import isolated
from frame3d.frame.describe.wording import CAUTIONS
from frame3d.studies.page.page_data import page_data
from frame3d.studies.page.thumbnails import thumbnails_of
from frame3d.studies.results.result import StudyResult
from frame3d.view.modules import joined
from frame3d.view.view_page import policy

_ASSETS = resources.files("frame3d.studies.page") / "assets"
_LIBRARY = "chart.umd.min.js"
_HIGHEST = 9


def study_page(result: StudyResult, name: str) -> str:
    """The text of study.html; ``name`` is that of the plan."""
    style = _asset("study.css")
    script = f"{_asset(_LIBRARY)}\n{joined(_ASSETS, 'study.js')}"
    data = json.dumps(page_data(result, name), separators=(",", ":"), allow_nan=False)
    words = {
        "POLICY": policy(script, style),
        "STYLE": style,
        "FIRST": "".join(f"<p>{html.escape(text)}</p>" for text in result.cautions),
        "TITLE": html.escape(isolated(name)),
        "GIST": html.escape(_gist(result)),
        "PICTURES": thumbnails_of(result),
        "NO_VERDICT": html.escape(NO_VERDICT),
        "CAUTIONS": "".join(f"<li>{html.escape(text)}</li>" for text in CAUTIONS),
        "MADE": f"Made by frame3d {__version__}",
        "DATA": base64.b64encode(zlib.compress(data.encode(), _HIGHEST)).decode(),
        "SCRIPT": script,
    }
    pieces = _asset("study.html").split("{{")
    filled = [pieces[0]]
    for piece in pieces[1:]:
        place, _, after = piece.partition("}}")
        filled += [words[place], after]
    return "".join(filled)


def _gist(result: StudyResult) -> str:
    """How many designs there are, what they must meet, and what is wanted."""
    plan, states = result.plan, [row.state for row in result.rows]
    said = [
        f"{len(states):,} designs: {states.count('made'):,} made, {states.count('refused'):,} "
        f"refused, {states.count('failed'):,} failed, "
        f"{sum(row.meets for row in result.rows):,} meet all conditions"
    ]
    if plan.conditions:
        said.append("conditions: " + ", ".join(one.text for one in plan.conditions))
    if plan.goals:
        said.append(
            "goals: " + ", ".join(f"{g.figure} {'up' if g.up else 'down'}" for g in plan.goals)
        )
    return "; ".join(said)


def _asset(name: str) -> str:
    return (_ASSETS / name).read_text(encoding="utf-8")
