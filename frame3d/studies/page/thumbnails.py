"""Small pictures of the best designs, each as an image in the page."""

from __future__ import annotations

import base64
import html

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignFaults
from frame3d.frame.located import laid_out
from frame3d.studies.plan.variants import changed
from frame3d.studies.results.result import Compared, StudyResult
from frame3d.view.still_picture import frame_picture

_MOST = 6


def thumbnails_of(result: StudyResult) -> str:
    """Figures with the pictures of designs spread over the front; empty where there is none."""
    front = result.front
    step = max(1, -(-len(front) // _MOST))
    return "".join(_figure(result, row) for row in front[::step])


def _figure(result: StudyResult, row: Compared) -> str:
    try:
        frame = laid_out(design_from_mapping(changed(result.plan.base, dict(row.values))))
    except DesignFaults:  # kept rows of a design that another program could lay out
        return ""
    svg = base64.b64encode(frame_picture(frame).encode()).decode()
    told = ", ".join(
        f"{goal.figure} {html.escape(str(row.figures[goal.figure]))}" for goal in result.plan.goals
    )
    return (
        f'<figure><img src="data:image/svg+xml;base64,{svg}" alt="The frame of row {row.number}">'
        f'<figcaption><button type="button" data-row="{row.number}">Row {row.number}</button> '
        f"{told}</figcaption></figure>"
    )
