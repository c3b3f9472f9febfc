r"""Texts and names in drawing files: what a reader would take for a command, written as itself.

References
----------
DXF reference, TEXT: ``%%d`` and other codes after two percent signs, ``%%%`` one percent sign,
``^`` and a letter a control character, ``^`` and a space a caret, ``\U+XXXX`` the character of
that code in any text of a file. MTEXT besides: commands after a backslash, groups in braces.
DIMPOST: ``<>`` and ``[]`` stand for values. Names of tables and layouts: without
``< > / \ " : ; ? * | , = ` '`` and of at most 255 characters.
"""

from __future__ import annotations

import re

from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.tools.text import plain_text

_PERCENTS = re.compile(r"%{2,}")
_CODED = re.compile(r"\\(?=[UM]\+)")
_IN_NO_NAME = re.compile(r"[<>/\\\":;?*|,=`'\x00-\x1f]")
_CONTROL = re.compile(r"[\x00-\x1f\x7f]+")
_LONGEST_NAME = 255
_PAIRS = re.compile(r"%(?=%)|<(?=>)|\[(?=\])")


def line_text(text: str) -> str:
    """``text`` for TEXT and attributes: whoever shows the file sees what was written."""
    # No field takes a line break; one would end the text and begin another entry of the file.
    text = _CONTROL.sub(" ", text)
    text = _PERCENTS.sub(lambda found: "%%%" * len(found[0]), text)
    text = text.replace("^", "^ ")
    return _CODED.sub(lambda _: r"\U+005C", text)


def shown_text(text: str) -> str:
    """What a program shows of the ``text`` of a TEXT or an attribute."""
    return decode_dxf_unicode(plain_text(text))


def block_text(text: str) -> str:
    """``text`` for MTEXT and for what stands round a dimension.

    An empty group parts what would be a code together.
    """
    text = _CONTROL.sub(" ", text)
    text = text.replace("\\", "\\\\").replace("{", r"\{").replace("}", r"\}")
    text = text.replace("^", "^ ")
    text = _CODED.sub(lambda _: r"\{}", text)
    return _PAIRS.sub(lambda found: f"{found[0]}{{}}", text)


def layout_name(number: int, title: str) -> str:
    """The name of a sheet's layout; the number makes it the only one of that name."""
    name = f"{number} {title.replace(',', '')}"
    return _IN_NO_NAME.sub("-", name)[:_LONGEST_NAME].strip()
