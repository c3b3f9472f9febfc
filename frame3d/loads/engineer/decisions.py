"""A blank sheet of what the engineer has to decide, as PDF."""

from __future__ import annotations

from frame3d.frame.describe.direction import as_seen
from frame3d.frame.describe.key_figures import main_figures
from frame3d.frame.model.members import Frame
from frame3d.loads.cautions import CAUTIONS, NOT_COVERED
from frame3d.loads.write.pages import STYLES, marked, paper_of

_QUESTIONS = (
    ("Site", ("Place, height above sea level", "Terrain, exposure, slopes, neighbours")),
    ("Code", ("Building code and its edition", "Importance, use, occupancy", "Permit needed")),
    ("Snow", ("Snow on the ground", "Shape and drift", "Heated or not, snow removed or not")),
    ("Wind", ("Speed or pressure", "Pressure coefficients", "Sides and doors open or shut")),
    ("Crop and hung loads", ("What hangs, where", "Its mass")),
    ("Soil", ("Kind and density, as dug", "Frost, ground water",
              "Pull-out and side resistance of a socket")),
    ("Steel", ("Grade, certificate", "Corrosion, years of use", "Bends, swages, holes, welds")),
    ("Joints", ("Bolts and clamps: slip, bearing", "Play of legs in sockets")),
    ("Combination of loads", ("Factors", "Second order, imperfections", "Sway that is tolerable")),
    ("Result", ("What must be changed", "Name, licence, date, signature")),
)  # fmt: skip
_LINE = "_" * 54


def decisions_pdf(frame: Frame) -> bytes:
    """The file."""
    # Only here: what writes a PDF takes long to load.
    from frame3d.sheets.write.flow_pages import Chapter, flow_pdf

    title = f"{frame.design.project.name}: for the engineer to decide"
    head = [("title", f"<b>{marked(title)}</b>")]
    head += [("caution", f"<b>{marked(text)}</b>") for text in (*CAUTIONS, NOT_COVERED)]
    figures = [("row", f"<b>{marked(name)}</b>: {marked(value)}")
               for name, value in main_figures(frame)]  # fmt: skip
    body = [(("heading", "<b>The frame</b>"), *figures)]
    for heading, questions in _QUESTIONS:
        lines = [("heading", f"<b>{marked(heading)}</b>")]
        for question in questions:
            lines += [("text", marked(question)), ("text", _LINE), ("text", _LINE)]
        body.append(tuple(lines))
    return flow_pdf(
        [Chapter(title="For the engineer to decide", head=tuple(head), body=tuple(body))],
        size_mm=paper_of(frame.design.output.sheets),
        styles=STYLES,
        title=as_seen(title),
        foot=as_seen(CAUTIONS[0]),
    )
