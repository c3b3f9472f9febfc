"""The text of STEP files, against ISO 10303-21 and a reader that did not write it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from steputils import p21

from frame3d.ifc.part21 import DERIVED, Enum, Lines, Measure, Ref, real, text, written


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        # ISO 10303-21:2016, 6.4.3: quotes and reverse solidi are doubled; \X2\ has four digits for
        # each letter of the basic plane, \X4\ eight for any; both end with \X0\.
        ("plain", "'plain'"),
        ("Grower's", "'Grower''s'"),
        ("a\\b", "'a\\\\b'"),
        ("ü", "'\\X2\\00FC\\X0\\'"),
        ("温室 2", "'\\X2\\6E295BA4\\X0\\ 2'"),
        ("🌱", "'\\X4\\0001F331\\X0\\'"),
        ("é🌱é", "'\\X2\\00E9\\X0\\\\X4\\0001F331\\X0\\\\X2\\00E9\\X0\\'"),
        ("", "''"),
    ],
)
def test_strings(value: str, wanted: str) -> None:
    assert text(value) == wanted


@given(st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=40))
def test_strings_are_plain_and_come_back(value: str) -> None:
    import ifcopenshell

    said = text(value)
    assert said.isascii() and said.isprintable()
    file = ifcopenshell.file.from_string(
        "ISO-10303-21;HEADER;FILE_DESCRIPTION((''),'2;1');FILE_NAME('','',(''),(''),'','','');"
        f"FILE_SCHEMA(('IFC4'));ENDSEC;DATA;#1=IFCMATERIAL({said},$,$);ENDSEC;END-ISO-10303-21;"
    )
    assert file.by_id(1).Name == value


@pytest.mark.parametrize("value", [0.0, -0.0, 1.0, -25.4, 1e-10, 123456789.123456, 1 / 3])
def test_numbers_have_a_point_and_come_back(value: float) -> None:
    said = real(value)
    assert "." in said and "e" not in said and said != "-0."
    assert float(said) == pytest.approx(value, abs=5e-10)


def test_values_of_every_kind() -> None:
    values = (None, True, False, 3, 2.5, Ref(7), Enum("ADDED"), DERIVED, (1.0, (2.0,)))
    assert written(values) == "($,.T.,.F.,3,2.5,#7,.ADDED.,*,(1.,(2.)))"
    assert written(Measure("IFCLABEL", "H1")) == "IFCLABEL('H1')"


def test_lines_are_numbered_and_said_once_where_that_is_wanted() -> None:
    lines = Lines()
    first = lines.once("A", 1.0)
    assert lines.once("A", 1.0) == first
    assert lines.add("A", 1.0) != first
    assert list(lines) == ["#1=A(1.);", "#2=A(1.);"]
    # Read by a library that knows the syntax and not the schema.
    body = "\n".join(lines)
    file = p21.loads(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
        "FILE_NAME('','2000-01-01T00:00:00',(''),(''),'','','');\nFILE_SCHEMA(('IFC4'));\nENDSEC;\n"
        f"DATA;\n{body}\nENDSEC;\nEND-ISO-10303-21;\n"
    )
    assert len(file.data[0].instances) == 2
