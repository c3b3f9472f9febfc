"""``new``, ``fields``, ``show`` and ``freeze``: a design begun, explained, and shown whole."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Severity
from frame3d.cli import app
from frame3d.design.reading import formats
from frame3d.design.reading.formats import ChangedDefault
from frame3d.design.reading.reader import design_from_text, read_design
from frame3d.design.values.field_info import sections
from frame3d.design.writing.template import design_text
from frame3d.examples import example_paths, typical_paths
from frame3d.frame.located import laid_out
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

FOUR = [(style.value, units.value) for style in ArchStyle for units in UnitSystem]
KEPT = Path(__file__).parents[2] / "kept"


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")


def run(*words, code=0):
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code == code, result.output + result.stderr
    return result


def refused(*words):
    return run(*words, code=2).stderr


class TestNew:
    @pytest.mark.parametrize(("style", "units"), FOUR)
    def test_short_and_full_are_one_design(self, style, units):
        run("new", "a.toml", "--style", style, "--units", units)
        run("new", "b.toml", "--style", style, "--units", units, "--full")
        assert read_design("a.toml") == read_design("b.toml")
        assert Path("b.toml").read_text() == design_text(ArchStyle(style), UnitSystem(units))
        assert len(Path("a.toml").read_text().splitlines()) < 70

    def test_it_tells_what_it_wrote(self):
        out = run("new", "a.toml", "--width", "26 ft", "--length", "72 ft").stdout
        assert out.startswith(
            "a.toml is written: gothic, 26'-0\" wide, 14'-6\" high, 72'-0\" long, "
        )
        assert "19 hoops" in out  # 72 / 4 bays and one more
        assert tomllib.loads(Path("a.toml").read_text())["bays"]["length"] == "72 ft"

    @pytest.mark.parametrize(("style", "units"), FOUR)
    @pytest.mark.parametrize("feet", [12, 14, 26, 34])
    def test_a_width_makes_a_tunnel_without_errors(self, style, units, feet):
        width = f"{feet} ft" if units == "imperial" else f"{0.3 * feet:g} m"
        run("new", "a.toml", "--style", style, "--width", width)
        design = read_design("a.toml")
        assert design.output.units.value == units
        found = check_frame(laid_out(design))
        assert [one for one in found if one.severity is Severity.ERROR] == []

    @pytest.mark.parametrize(
        ("words", "told"),
        [
            (["--width", "26"], "--width: got '26' for a length, without a unit"),
            (["--height", "3 ft"], '--height: got "3 ft"; it must be between 3\'-4" and'),
            (["--length", "x"], "--length: got 'x', which is not a length"),
            (["--spacing", "40 ft"], '--spacing: got "40 ft"; it must be between'),
            (["--width", "200 ft"], '--width: got "200 ft"; it must be between 3\'-4" and'),
            (["--length", "9999 ft"], '--length: got "9999 ft"; it must be between'),
            (["--name", ""], "--name: got a name of 0 characters"),
            (["--like", "long_meadow_gothc"], "did you mean long_meadow_gothic? there are"),
            (["--like", "zzz"], "--like: there is no example zzz; there are long_meadow_gothic"),
            (["--like", "long_meadow_gothic", "--full"], "drop --style, --units and --full"),
        ],
    )
    def test_a_figure_that_is_refused_tells_its_option(self, words, told):
        text = refused("new", "a.toml", *words)
        assert told in text
        assert len(text.splitlines()) == 1
        assert not Path("a.toml").exists()

    def test_two_figures_that_do_not_go_together_name_their_options(self):
        text = refused("new", "a.toml", "--width", "60 ft", "--height", "4 ft")
        assert "--height" in text

    @pytest.mark.parametrize("name", [*example_paths(), "market"])
    def test_like_an_example(self, name):
        run("new", "a.toml", "--like", name)
        source = {**example_paths(), **typical_paths()}[name].read_text("utf-8")
        assert Path("a.toml").read_text() == source
        run("new", "b.toml", "--like", name, "--name", "North", "--length", "40 ft")
        design, text = read_design("b.toml"), Path("b.toml").read_text()
        assert design.project.name == "North"
        assert laid_out(design).grid.length_mm == pytest.approx(40 * 304.8)
        comments = [line for line in source.splitlines() if line.startswith("#")]
        assert comments and set(comments) <= set(text.splitlines())


class TestFields:
    @pytest.mark.parametrize("section", list(sections()))
    def test_every_table_and_field_is_explained(self, section):
        told = json.loads(run("fields", section, "--json").stdout)
        assert told["table"] == section
        shown = run("fields", section).stdout
        for facts in sections()[section].fields.values():
            assert facts.name in shown
        for row, facts in zip(told["fields"], sections()[section].fields.values(), strict=True):
            assert row["name"] == f"{section}.{facts.name}"
            assert row["meaning"] == facts.meaning
            assert row["default"] == {"imperial": facts.imperial, "metric": facts.metric}

    def test_one_field_is_told_in_full(self):
        told = run("fields", "hoop.overlap").stdout
        for part in (
            "Overlap of the tubes at each splice", "ft, in, mm, cm, m",
            "a length, between 1 3/16\" and 1'-11 9/16\" (imperial), between 30 mm and 600 mm",
            '"5 in" (imperial), "130 mm" (metric)',
            "about three outside diameters (common practice)",
            "tube: about three outside diameters",
        ):  # fmt: skip
            assert part in told

    def test_a_default_without_a_source_says_so(self):
        assert "no source is named" in run("fields", "cover.side_allowance").stdout

    def test_places_of_messages_and_bare_names_are_understood(self):
        assert run("fields", "rail[2].height").stdout == run("fields", "rail.height").stdout
        told = run("fields", "fraction").stdout
        assert "output.fraction" in told and "rail.fraction" in told
        assert run("fields", "[[rail]]").stdout == run("fields", "rail").stdout

    @pytest.mark.parametrize(
        ("asked", "near"),
        [
            ("hoop.tub", "hoop.tube"), ("hop", "hoop"), ("wdth", "width"),
            ("door.spacing", "bays.sp"), ("", None), ("rial.height", "rail.height"),
            ("a" * 500, "there are project, output"),
        ],
    )  # fmt: skip
    def test_near_names_are_offered(self, asked, near):
        if near is None:
            assert "[profile]" in run("fields", asked).stdout
        else:
            assert near in refused("fields", asked)

    def test_no_answer_without_a_question(self):
        assert "not both" in refused("fields", "--json", "--schema")
        assert "goes with" in refused("fields", "--out", "a.json")

    def test_a_place_where_no_file_can_be_is_refused(self):
        for place in (".", "", "no/such/a.json"):
            told = refused("fields", "--schema", "--out", place)
            assert "is a folder" in told or "is not a folder" in told


class TestSchema:
    """Read by the jsonschema library, which knows nothing of this program."""

    def schema(self):
        run("fields", "--schema", "--out", "frame3d.schema.json")
        return json.loads(Path("frame3d.schema.json").read_text())

    def test_it_is_one_and_takes_every_file_that_is_written(self):
        schema = self.schema()
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        for style, units in FOUR:
            run("new", "a.toml", "--style", style, "--units", units, "--force")
            run("new", "b.toml", "--style", style, "--units", units, "--full", "--force")
            shown = run("show", "a.toml").stdout
            for text in (Path("a.toml").read_text(), Path("b.toml").read_text(), shown):
                assert list(validator.iter_errors(tomllib.loads(text))) == []
        for path in (*example_paths().values(), *KEPT.glob("*/*.toml")):
            assert list(validator.iter_errors(tomllib.loads(path.read_text("utf-8")))) == []

    @pytest.mark.parametrize(
        "text",
        [
            "[profile]\nwidht = '20 ft'\n[bays]\n", "[profile]\nwidth = 20\n[bays]\n", "[bays]\n",
            "[profile]\nstyle = 'round'\n[bays]\n", "[profile]\n[bays]\n[rail]\n",
            "format = 99\n[profile]\n[bays]\n", "format = '1'\n[profile]\n[bays]\n",
            "[profile]\n[bays]\ncount = 0\n", "[profile]\n[bays]\n[novelty]\n",
        ],
    )  # fmt: skip
    def test_it_refuses_what_the_reader_refuses(self, text):
        assert list(jsonschema.Draft202012Validator(self.schema()).iter_errors(tomllib.loads(text)))

    def test_a_part_stands_by_itself(self):
        for name, good, bad in (
            ("door", {"kind": "sliding"}, {"kind": "swing"}), ("door.leaves", 2, 3),
            ("rail.fixing", "clamped", "glued"),
        ):  # fmt: skip
            schema = json.loads(run("fields", name, "--schema").stdout)
            jsonschema.Draft202012Validator.check_schema(schema)
            validator = jsonschema.Draft202012Validator(schema)
            assert validator.is_valid(good) and not validator.is_valid(bad)

    def test_files_name_it_without_a_host(self):
        run("new", "a.toml")
        first = Path("a.toml").read_text().splitlines()[0]
        assert first == "#:schema ./frame3d.schema.json"
        assert "http" not in Path("a.toml").read_text()


LOW = """
[profile]
style = "quonset"
width = "12 ft"
ridge_height = "7 ft"
[bays]
length = "24 ft"
[hoop]
tube = { outside = "42.4 mm", wall = "3.2 mm" }
[[end_wall]]
[[door]]
width = "6 ft"
[[tie]]
"""
CASES = {
    **{path.stem: path.read_text("utf-8") for path in example_paths().values()},
    **{
        f"{path.parent.name} {path.stem}": path.read_text("utf-8")
        for path in sorted(KEPT.glob("*/*.toml"))
        if path.stem.startswith("short")
    },
    # A door and a tie that give way, a tube by numbers, more pieces than usual.
    "low": LOW,
    "long pieces": "[profile]\nwidth = '40 ft'\nridge_height = '18 ft'\n[bays]\nlength = '20 ft'\n",
}


class TestShow:
    @pytest.mark.parametrize("name", CASES)
    def test_it_reads_back_as_the_same_frame_and_again(self, name):
        Path("a.toml").write_text(CASES[name])
        Path("b.toml").write_text(run("show", "a.toml").stdout)
        one, other = laid_out(read_design("a.toml")), laid_out(read_design("b.toml"))
        assert other.design == one.design
        assert other.members == one.members

    @pytest.mark.parametrize("name", CASES)
    def test_every_field_of_every_table_is_there_and_yours_are_marked(self, name):
        Path("a.toml").write_text(CASES[name])
        given = tomllib.loads(CASES[name])
        tables = json.loads(run("show", "a.toml", "--json").stdout)
        text = run("show", "a.toml").stdout
        yours = 0
        for section, facts in sections().items():
            found = tables.get(section, [])
            mine = given.get(section, {})
            pairs = zip(found, mine, strict=True) if facts.several and found else [(found, mine)]
            for table, own in pairs:
                if not table:
                    continue
                assert list(table) == list(facts.fields)
                for field, shown in table.items():
                    assert shown["given"] == (field in own)
                    yours += shown["given"]
                    if shown["given"]:
                        assert shown["value"] == own[field]
        assert sum(line.endswith("# yours") for line in text.splitlines()) == yours

    def test_what_gave_way_is_told_as_it_is_made(self):
        Path("a.toml").write_text(CASES["low"])
        frame = laid_out(read_design("a.toml"))
        door = json.loads(run("show", "a.toml", "--json").stdout)["door"][0]["height"]
        assert frame.doors[0].height_mm < 80 * 25.4  # the default
        assert door["note"] == "settled by the layout"
        assert float(door["value"].removesuffix(" in")) * 25.4 == pytest.approx(
            frame.doors[0].height_mm
        )

    def test_what_follows_and_what_is_worked_out_is_told(self):
        run("new", "a.toml")
        text = run("show", "a.toml").stdout
        assert 'overlap = "5 in"                      # follows tube: about three' in text
        assert "# count: worked out: 12" in text
        assert "# eave_radius: worked out: 4'-" in text
        assert '\nnumber = "T-01"\n' in text

    @pytest.mark.parametrize("name", ["a\nb = 1.toml", "\x1b[31m.toml", "x" * 200 + ".toml"])
    def test_odd_names_of_files_stay_comments(self, name):
        Path(name).write_text(CASES["long pieces"])
        text = run("show", name).stdout
        assert design_from_text(text) == design_from_text(run("show", name).stdout)
        assert all(letter.isprintable() or letter == "\n" for letter in text)

    def test_a_fault_is_told_as_ever(self):
        Path("a.toml").write_text("[profile]\nwidth = 20\n[bays]\n")
        assert "line 2: profile.width: got 20" in refused("show", "a.toml")


class TestFreeze:
    @pytest.fixture(autouse=True)
    def a_later_release(self, monkeypatch):
        monkeypatch.setattr(formats, "FORMAT", 2)
        change = ChangedDefault(
            section="socket", name="exposed", format=2, was=lambda *_: "10 in",
        )  # fmt: skip
        monkeypatch.setattr(formats, "CHANGED", (change,))

    @pytest.mark.parametrize("command", ["check", "show", "takeoff", "site"])
    def test_commands_tell_what_has_changed_and_how_to_keep_it(self, command):
        Path("a.toml").write_text(CASES["long pieces"])
        told = CliRunner().invoke(app, [command, "a.toml"]).stderr
        assert 'a.toml: note: socket.exposed: is not given, and its default is "12 in"' in told
        assert told.rstrip().endswith("or: frame3d freeze a.toml")

    def test_it_keeps_what_was(self):
        Path("a.toml").write_text(CASES["long pieces"])
        out = run("freeze", "a.toml").stdout
        assert (
            out == 'socket.exposed = "10 in"\na.toml is of format 2 now and means what it meant\n'
        )
        design = design_from_text(Path("a.toml").read_text())
        assert design.socket.exposed == 254
        assert run("show", "a.toml").stderr == ""
        assert run("freeze", "a.toml").stdout == "a.toml is of format 2 and has nothing to freeze\n"

    def test_a_fault_leaves_the_file_as_it_is(self):
        Path("a.toml").write_text("[profile]\n")
        refused("freeze", "a.toml")
        assert Path("a.toml").read_text() == "[profile]\n"
