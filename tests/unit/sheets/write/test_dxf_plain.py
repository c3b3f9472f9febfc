"""Lines and texts written in one piece are what the drawing library writes of them."""

import io

import ezdxf
import pytest
from ezdxf.enums import TextEntityAlignment
from ezdxf.lldxf.tagwriter import TagWriter

from frame3d.sheets.write.dxf_plain import add_plain_line, add_plain_text


def _written(entity):
    stream = io.StringIO()
    entity.export_dxf(TagWriter(stream, dxfversion=entity.doc.dxfversion))
    return stream.getvalue()


def _spaces(version="R2018"):
    """Two drawings alike, so that handles are the same in both."""
    return ezdxf.new(version), ezdxf.new(version)


@pytest.mark.parametrize("version", ["R2000", "R2018"])
@pytest.mark.parametrize("paper", [False, True])
def test_a_line_is_written_as_the_library_writes_it(version, paper):
    ours, theirs = (doc.paperspace() if paper else doc.modelspace() for doc in _spaces(version))
    start, end = (1.5, -2 / 3), (1e-17, 12345678.9)
    made = add_plain_line(ours, start, end, "outline")
    theirs_made = theirs.add_line(start, end, dxfattribs={"layer": "outline"})
    assert _written(made) == _written(theirs_made)


@pytest.mark.parametrize("version", ["R2000", "R2018"])
@pytest.mark.parametrize("paper", [False, True])
@pytest.mark.parametrize("turn", [0.0, -0.0, 33.3])
@pytest.mark.parametrize(
    "align",
    [
        TextEntityAlignment.LEFT,
        TextEntityAlignment.MIDDLE_LEFT,
        TextEntityAlignment.MIDDLE_CENTER,
        TextEntityAlignment.MIDDLE_RIGHT,
    ],
)
def test_a_text_is_written_as_the_library_writes_it(version, paper, turn, align):
    ours, theirs = (doc.paperspace() if paper else doc.modelspace() for doc in _spaces(version))
    words = "3'-6 1/2\" %%c é"
    made = add_plain_text(
        ours, words, (1.25, -7 / 3), align, height=2.5, turn_deg=turn, layer="texts",
        style="lettering", width=0.9,
    )  # fmt: skip
    theirs_made = theirs.add_text(
        words, height=2.5, rotation=turn,
        dxfattribs={"layer": "texts", "style": "lettering", "width": 0.9},
    ).set_placement((1.25, -7 / 3), align=align)  # fmt: skip
    assert _written(made) == _written(theirs_made)


def test_what_has_more_to_it_is_written_with_it():
    ours, theirs = (doc.modelspace() for doc in _spaces())
    made = add_plain_line(ours, (0, 0), (1, 0), "0")
    theirs_made = theirs.add_line((0, 0), (1, 0))
    words = add_plain_text(
        ours, "a", (0, 0), TextEntityAlignment.LEFT,
        height=1, turn_deg=0, layer="0", style="lettering", width=0.9,
    )  # fmt: skip
    their_words = theirs.add_text(
        "a", height=1, rotation=0, dxfattribs={"style": "lettering", "width": 0.9}
    ).set_placement((0, 0), align=TextEntityAlignment.LEFT)
    for entity in (made, theirs_made, words, their_words):
        entity.dxf.linetype = "CONTINUOUS"
        entity.dxf.color = 3
    assert _written(made) == _written(theirs_made)
    assert _written(words) == _written(their_words)
    assert "CONTINUOUS" in _written(made)
    assert "CONTINUOUS" in _written(words)


def test_the_library_reads_back_what_is_written(tmp_path):
    doc = ezdxf.new()
    add_plain_line(doc.modelspace(), (1, 2), (3, 4.5), "0")
    doc.saveas(tmp_path / "a.dxf")
    (line,) = ezdxf.readfile(tmp_path / "a.dxf").modelspace()
    assert (line.dxf.start, line.dxf.end) == ((1, 2, 0), (3, 4.5, 0))
