"""Reading designs: files, defaults, where a design came from."""

from __future__ import annotations

import os

import pytest

from frame3d.design.reading.reader import design_from_mapping, design_from_text, locate, read_design
from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignError, DesignFaults
from frame3d.units import UnitSystem

GOOD = '[profile]\nwidth = "20 ft"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
METRIC = '[output]\nunits = "metric"\n'


class TestFiles:
    def test_a_file_is_read(self, tmp_path):
        path = tmp_path / "tunnel.toml"
        path.write_text(GOOD, encoding="utf-8")
        assert read_design(path) == design_from_text(GOOD)
        assert read_design(str(path)) == design_from_text(GOOD)

    def test_a_byte_order_mark_is_accepted(self, tmp_path):
        path = tmp_path / "tunnel.toml"
        path.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
        assert read_design(path) == design_from_text(GOOD)
        assert design_from_text("\ufeff" + GOOD) == design_from_text(GOOD)

    def test_windows_line_ends_are_accepted_and_counted(self, tmp_path):
        path = tmp_path / "tunnel.toml"
        path.write_bytes((GOOD + "[hoop]\npieces = 9\n").replace("\n", "\r\n").encode())
        with pytest.raises(DesignFaults, match=r"tunnel\.toml: line 7: hoop\.pieces: got 9"):
            read_design(path)

    @pytest.mark.parametrize(
        ("content", "pattern"),
        [
            (b"", "the file is empty"),
            (b'a = 1\nb = "\xb0"\n', "line 2: byte 0xb0 is not UTF-8; save the file as UTF-8"),
            (GOOD.encode("utf-16"), "saved as UTF-16; save it as UTF-8"),
            (b"#" * 1_000_001, "larger than 1 MB"),
            (b"\0\1\2", "line 1: there is a NUL"),
        ],
    )
    def test_a_file_that_is_no_design(self, tmp_path, content, pattern):
        path = tmp_path / "tunnel.toml"
        path.write_bytes(content)
        with pytest.raises(DesignFaults, match=pattern):
            read_design(path)

    def test_a_large_file_is_read_up_to_the_limit(self, tmp_path):
        path = tmp_path / "tunnel.toml"
        path.write_text(GOOD + "#" * (1_000_000 - len(GOOD)), encoding="utf-8")
        assert read_design(path) == design_from_text(GOOD)

    def test_a_long_text_is_refused_like_a_file(self):
        with pytest.raises(DesignFaults, match="longer than 1 MB"):
            design_from_text("#" * 1_000_001)

    def test_a_missing_file(self, tmp_path):
        with pytest.raises(DesignFaults, match="no file .*nowhere.toml.*check the name"):
            read_design(tmp_path / "nowhere.toml")

    def test_a_folder(self, tmp_path):
        with pytest.raises(DesignFaults, match="is a folder; name the design file in it"):
            read_design(tmp_path)

    def test_something_that_is_no_file(self, tmp_path):
        path = tmp_path / "pipe"
        os.mkfifo(path)
        with pytest.raises(DesignFaults, match="is a pipe and not a file"):
            read_design(path)

    def test_a_loop_of_links(self, tmp_path):
        (tmp_path / "a").symlink_to(tmp_path / "b")
        (tmp_path / "b").symlink_to(tmp_path / "a")
        with pytest.raises(DesignFaults, match="cannot be read|no file"):
            read_design(tmp_path / "a")

    def test_a_file_under_a_file(self, tmp_path):
        (tmp_path / "a").write_text("x", encoding="utf-8")
        with pytest.raises(DesignFaults, match="cannot be read|no file"):
            read_design(tmp_path / "a" / "b.toml")

    @pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
    def test_a_name_that_no_file_has(self, name):
        with pytest.raises(DesignFaults, match="cannot be a file name|cannot be read|no file"):
            read_design(name)


class TestDefaults:
    def test_the_least_design_is_complete(self):
        """Every default is itself a good value, in both systems of units."""
        for units in ("", METRIC):
            text = GOOD + units + '[[rail]]\nat = "ridge"\n[[brace]]\n[sill_board]\n'
            design = design_from_text(text)
            assert design.sill_board is not None
            assert len(design.rail) == len(design.brace) == 1

    def test_lists_and_boards_are_absent_unless_given(self):
        design = design_from_text(GOOD)
        assert design.rail == () and design.brace == () and design.sill_board is None

    def test_defaults_follow_the_units(self):
        """42 in is 1066.8 mm; the metric default is 1000 mm."""
        imperial, metric = design_from_text(GOOD), design_from_text(GOOD + METRIC)
        assert imperial.socket.length == pytest.approx(1066.8)
        assert metric.socket.length == pytest.approx(1000)
        assert (imperial.output.sheet_size, metric.output.sheet_size) == ("B", "A3")
        assert (imperial.hardware.frame_bolt, metric.hardware.frame_bolt) == ("3/8-16", "M10")

    @pytest.mark.parametrize(
        ("text", "section", "field", "expected"),
        [
            ('[hardware]\nsystem = "metric"\n', "hardware", "frame_bolt", "M10"),
            ('[hardware]\nsystem = "metric"\n', "hardware", "board_bolt", "M10"),
            (METRIC + '[hardware]\nsystem = "inch"\n', "hardware", "board_bolt", "3/8-16"),
            ('[output]\nsheets = "iso"\n', "output", "sheet_size", "A3"),
            (METRIC + 'sheets = "us"\n', "output", "sheet_size", "B"),
        ],
    )
    def test_a_default_follows_the_field_it_belongs_to(self, text, section, field, expected):
        design = design_from_text(GOOD + text)
        assert getattr(getattr(design, section), field) == expected

    def test_the_standard_of_the_sheets_follows_a_given_size(self):
        assert design_from_text(GOOD + '[output]\nsheet_size = "A1"\n').output.sheets.value == "iso"

    def test_what_is_given_is_kept(self):
        text = GOOD + '[hardware]\nsystem = "metric"\nframe_bolt = "M12"\n'
        assert design_from_text(text).hardware.frame_bolt == "M12"

    def test_the_default_hoop_slides_into_the_default_socket(self):
        """0.5 mm to 3 mm of play (common practice, no source)."""
        for units in ("", METRIC):
            design = design_from_text(GOOD + units)
            play = design.socket.tube.inside_mm - design.hoop.tube.od_mm
            assert 0.5 <= play <= 3.0


class TestValues:
    def test_units_may_be_mixed(self):
        """22 ft = 22 x 304.8 mm; 3 deg in rad by hand."""
        design = design_from_text(
            '[profile]\nwidth = "22 ft"\nridge_height = "3.6 m"\nleg_lean = "3 deg"\n'
            'rafter_radius = "straight"\n[bays]\ncount = 3\nspacing = "4 ft"\n'
        )
        assert design.profile.width == pytest.approx(6705.6, abs=1e-9)
        assert design.profile.ridge_height == 3600
        assert design.profile.leg_lean == pytest.approx(0.0523598775598)
        assert design.profile.rafter_radius == float("inf")

    def test_a_tube_by_numbers(self):
        design = design_from_text(GOOD + '[hoop]\ntube = { outside = "50 mm", wall = "2 mm" }\n')
        assert (design.hoop.tube.od_mm, design.hoop.tube.wall_mm) == (50, 2)
        assert design.hoop.tube.name == "tube 50 mm x 2 mm"

    def test_a_board_by_numbers(self):
        text = '[sill_board]\ntimber = { thickness = "47 mm", depth = "200 mm" }\n'
        timber = design_from_text(GOOD + text).sill_board.timber
        assert (timber.thickness_mm, timber.depth_mm) == (47, 200)


class TestMappings:
    MAPPING = {"profile": {"width": "20 ft"}, "bays": {"count": 3, "spacing": "4 ft"}}

    def test_a_mapping_is_read_like_a_file(self):
        assert design_from_mapping(self.MAPPING) == design_from_text(GOOD)

    def test_none_counts_as_left_out(self):
        mapping = self.MAPPING | {"hoop": {"tube": None, "pieces": None}, "rail": None}
        mapping |= {"sill_board": None, "socket": None}
        assert design_from_mapping(mapping) == design_from_text(GOOD)

    def test_the_mapping_itself_stays_as_it_is(self):
        mapping = {"profile": {"width": "20 ft"}, "bays": {"count": 3}, "rail": [{"height": "1 m"}]}
        design_from_mapping(mapping)
        assert mapping["rail"] == [{"height": "1 m"}] and "hoop" not in mapping

    def test_members_of_enums_are_taken(self):
        mapping = self.MAPPING | {"output": {"units": UnitSystem.METRIC}}
        assert design_from_mapping(mapping) == design_from_text(GOOD + METRIC)

    @pytest.mark.parametrize("thing", [None, 3, "text", [("profile", {})]])
    def test_no_mapping_at_all(self, thing):
        with pytest.raises(DesignFaults, match="a design must be a mapping of sections"):
            design_from_mapping(thing)

    def test_a_mapping_that_holds_itself(self):
        mapping = {"profile": {"width": "20 ft"}}
        mapping["hoop"] = mapping
        with pytest.raises(DesignFaults, match="nested too deep"):
            design_from_mapping(mapping)

    def test_a_list_that_holds_itself_many_times(self):
        rails: list = []
        rails += [rails] * 100
        with pytest.raises(DesignFaults, match="more than 50000 values|nested too deep"):
            design_from_mapping({"rail": rails})

    def test_names_that_are_not_text(self):
        with pytest.raises(DesignFaults, match="hoop: has a name that is not text"):
            design_from_mapping({"hoop": {1: 2}})

    def test_values_that_no_file_has(self):
        mapping = self.MAPPING | {"project": {"name": b"x", "owner": object()}}
        with pytest.raises(DesignFaults, match=r"got a bytes; .*\n.*got a object"):
            design_from_mapping(mapping)

    def test_faults_have_no_lines(self):
        with pytest.raises(DesignFaults) as caught:
            design_from_mapping({"profile": {"width": 3}}, "order 7")
        assert {fault.line for fault in caught.value.faults} == {None}
        assert str(caught.value).startswith("order 7: ")


class TestOrigin:
    def test_equality_and_hash_do_not_depend_on_it(self):
        one = design_from_text(GOOD, "one.toml")
        other = design_from_text("# moved down\n\n" + GOOD, "other.toml")
        assert one == other and hash(one) == hash(other) and len({one, other}) == 1

    def test_other_designs_and_other_things_are_not_equal(self):
        one = design_from_text(GOOD)
        assert one != design_from_text(GOOD.replace("20", "21"))
        assert one != "design" and one != one.profile

    @pytest.mark.parametrize(
        ("where", "line"),
        [
            ("profile.width", 2),
            ("bays", 3),
            ("bays.length", 3),  # not in the file: the section's line
            ("rail[1].height", 7),
            ("rail[2].height", 9),
            ("rail[2].tube", 8),
            ("hoop.tube", None),
            ("", None),
        ],
    )
    def test_an_error_found_later_gets_its_line(self, where, line):
        text = GOOD + '[[rail]]\nheight = "3 ft"\n[[rail]]\nheight = "4 ft"\n'
        design = design_from_text(text, "tunnel.toml")
        located = locate(design, DesignError("does not fit", where))
        (fault,) = located.faults
        assert (fault.where, fault.line, fault.message) == (where, line, "does not fit")
        assert located.source == "tunnel.toml"

    def test_a_design_that_was_made_by_hand_has_no_lines(self):
        design = design_from_text(GOOD)
        bare = Design(**{name: getattr(design, name) for name in Design.model_fields})
        assert bare == design
        located = locate(bare, DesignError("does not fit", "profile.width"))
        assert str(located) == "design: profile.width: does not fit"


class TestUnprintableText:
    """A caller's mapping may hold lone surrogates, which cannot even be printed."""

    @pytest.mark.parametrize(
        "mapping",
        [
            {"\ud800": 1},
            {"profile": {"\ud800": 1}},
            {"profile": {"width": "\ud800 ft"}},
            {"project": {"name": "\ud800"}},
            {"output": {"units": "\udfff"}},
        ],
    )
    def test_it_is_refused_in_words_that_can(self, mapping):
        words = "not text|not a length|cannot be printed|one of"
        with pytest.raises(DesignFaults, match=words) as caught:
            design_from_mapping(mapping)
        str(caught.value).encode("utf-8")
