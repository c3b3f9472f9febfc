"""What an order needs besides the take-off, read back: requests, quotations, costs in Decimal."""

from __future__ import annotations

import csv
import io
import json
import random
import re
import shutil
import subprocess
import tomllib
from collections import Counter
from decimal import Decimal
from pathlib import Path

import openpyxl
import pypdf
import pytest
from typer.testing import CliRunner

from frame3d.building import build, taken_off
from frame3d.cli import app
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.reading.user_lists import GivenList
from frame3d.errors import ListFaults
from frame3d.examples import example_paths
from frame3d.frame.describe.bought import bought
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.joints import Joint, JointKind
from frame3d.frame.model.parts import ClampHalf, Plate
from frame3d.geometry.placement import dot
from frame3d.single_builds import build_order
from frame3d.takeoff.quantities.accessories import accessories
from frame3d.takeoff.quantities.prices import COLUMNS, read_prices
from frame3d.takeoff.quotes.mix import mixes_of
from frame3d.takeoff.quotes.order_lines import order_lines
from frame3d.takeoff.quotes.price_lists import read_price_lists
from frame3d.takeoff.take_off import Takeoff, take_off
from frame3d.takeoff.write.quote_tables import quote_tables
from frame3d.takeoff.write.workbook import FIRST_ROW, HEAD_ROW

NUMBER = re.compile(r"-[0-9.]+")
SIGNS = "=+-@\t\r\n\0\uff1d\uff0b\uff0d\uff20"
GROUPS = 'groups = ["yard: steel + timber", "=shop: fasteners"]\nreply_by = "2026-12-10"\n'


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Takeoff, Path]:
    """The quonset example with groups of its own, one of which would be a formula."""
    folder = tmp_path_factory.mktemp("order")
    text = example_paths()["long_meadow_quonset"].read_text("utf-8")
    takeoff = taken_off(lay_out(design_from_text(f"{text}\n[order]\n{GROUPS}", folder=folder)))
    build_order(takeoff, folder / "out")
    return takeoff, folder / "out"


def table(path: Path) -> list[dict[str, str]]:
    lines = path.read_text("utf-8-sig").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def filled(source: Path, target: Path, *, prices: dict[str, str], currency: str = "EUR") -> Path:
    """A request with prices written into it, as a spreadsheet saves it: comments in quotes."""
    rows = list(csv.reader(io.StringIO(source.read_text("utf-8-sig"))))
    head = next(row for row in rows if row[0] == "line")
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL)
    for row in rows:
        if row[0] != "line" and len(row) == len(head):
            cells = dict(zip(head, row, strict=True))
            if (price := prices.get(cells["item"])) is not None:
                cells |= {"price": price, "currency": currency}
            row = list(cells.values())
        writer.writerow(row)
    target.write_text(out.getvalue(), encoding="utf-8")
    return target


def test_each_group_has_its_request_and_every_line_is_in_one(made) -> None:
    takeoff, folder = made
    names = sorted(path.name for path in folder.glob("request-*"))
    stems = ("doors", "shop", "yard")
    assert names == [f"request-{stem}.{end}" for stem in stems for end in ("csv", "pdf")]
    asked = [row for stem in stems for row in table(folder / f"request-{stem}.csv")
             if row["line"]]  # fmt: skip
    wanted = {str(line.number): line for line in order_lines(takeoff)}
    assert sorted(row["line"] for row in asked) == sorted(wanted)
    for row in asked:
        line = wanted[row["line"]]
        assert (row["item"], row["quantity"]) == (line.item, str(line.pieces))
        assert row["price"] == row["pack"] == row["currency"] == ""
    bought = sum(row.needed + row.spares for row in takeoff.hardware)
    bought += sum(one.count for one in accessories(takeoff.frame))
    bars = sum(count for one in takeoff.sections for _, count in one.plan.bought)
    assert sum(int(row["quantity"]) for row in asked) >= bought + bars


def test_requests_on_paper_say_the_same_and_name_nobody(made) -> None:
    takeoff, folder = made
    project = takeoff.frame.design.project
    for stem in ("shop", "yard"):
        reader = pypdf.PdfReader(folder / f"request-{stem}.pdf")
        told = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
        assert project.number in told and "2026-12-10" in told
        assert "nothing here says what the frame can carry" in told
        for row in table(folder / f"request-{stem}.csv"):
            assert " ".join(row["item"].split()[:3]).casefold() in told.casefold()
        for text in (told, (folder / f"request-{stem}.csv").read_text("utf-8")):
            assert project.owner not in text and project.drawn_by not in text
            assert project.name not in text


def test_no_cell_is_a_formula(made) -> None:
    for path in made[1].glob("*.csv"):
        for row in csv.reader(path.read_text("utf-8-sig").splitlines()):
            texts = [cell for cell in row if not NUMBER.fullmatch(cell)]
            assert not any(text and text[0] in SIGNS for text in texts), (path.name, row)


def test_an_earlier_request_goes_away(made, tmp_path: Path) -> None:
    for stem in ("request-steel", "request-cover"):
        (tmp_path / f"{stem}.pdf").write_text("of an earlier order")
    (tmp_path / "mine.pdf").write_text("mine")
    build_order(made[0], tmp_path)
    assert {path.name for path in tmp_path.glob("*.pdf")} == {
        "labels.pdf", "request-doors.pdf", "request-shop.pdf", "request-yard.pdf", "mine.pdf",
    }  # fmt: skip


def test_a_build_writes_them_into_a_folder_that_it_keeps_in_order(tmp_path: Path) -> None:
    """What the design asks for; made alone, all; of an earlier build nothing is left behind."""
    small = {
        "profile": {"style": "quonset", "width": "12 ft", "ridge_height": "8 ft",
                    "leg_height": "2 ft"},
        "bays": {"count": 1, "spacing": "4 ft"},
    }  # fmt: skip

    def built(wanted: list[str], only: list[str]) -> set[str]:
        design = design_from_mapping(small | {"output": {"order_files": wanted}})
        made = build(design, tmp_path, only=only)
        assert {path.parent.name for path in made.files} <= {"order", tmp_path.name}
        return {path.name for path in (tmp_path / "order").iterdir()}

    names = built([], ["order"])
    stems = ("request-fasteners", "request-steel", "labels")
    assert names == {f"{stem}.{end}" for stem in stems for end in ("csv", "pdf")}
    (tmp_path / "summary.json").write_text(json.dumps(
        {"program": "frame3d 0", "files": [f"order/{name}" for name in names]}
    ))  # fmt: skip
    (tmp_path / "order" / "mine.pdf").write_text("mine")
    assert built(["labels"], ["order"]) == {"labels.pdf", "labels.csv", "mine.pdf"}


def test_requests_that_were_filled_in_are_price_lists(made, tmp_path: Path) -> None:
    """Two suppliers by hand, in Decimal: goods, freight and tax of each, the cheaper of each line.

    Both have everything, one all at 2.00, the other bars and boards at 3.00 and the rest at 1.00,
    so that the mix is steel from the one and hardware from the other.
    """
    takeoff, folder = made
    lines = order_lines(takeoff)
    charges = {"freight": "12.50", "tax": "8.25"}
    for name, bar, piece in (("one", "2.00", "2.00"), ("two", "3.00", "1.00")):
        prices = {line.item: piece if line.length_mm is None else bar for line in lines}
        parts = [
            filled(folder / f"request-{stem}.csv", tmp_path / f"{stem}.csv",
                   prices=prices | charges)
            for stem in ("doors", "shop", "yard")
        ]  # fmt: skip
        rows = [row for part in parts for row in table_of_all_quoted(part) if row["line"]]
        rows += [row for row in table_of_all_quoted(parts[0]) if row["item"] in charges]
        with (tmp_path / f"{name}.csv").open("w", newline="") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            writer.writerows(rows)
    (tmp_path / "design.toml").write_text(
        example_paths()["long_meadow_quonset"].read_text("utf-8") + "\n[order]\n" + GROUPS,
        encoding="utf-8",
    )
    found = CliRunner().invoke(app, [
        "takeoff", str(tmp_path / "design.toml"), "--json", "--out", str(tmp_path / "out"),
        "--quote", str(tmp_path / "one.csv"), "--quote", str(tmp_path / "two.csv"),
    ])  # fmt: skip
    assert found.exit_code == 0, found.output
    tables = json.loads(found.stdout)["tables"]
    bars = sum(line.pieces for line in lines if line.length_mm is not None)
    pieces = sum(line.pieces for line in lines if line.length_mm is None)
    freight, tax = Decimal("12.50"), Decimal("1.0825")
    alone = [(2 * bars + 2 * pieces + freight) * tax, (3 * bars + pieces + freight) * tax]
    assert [row["total"] for row in tables["quotes"]] == pytest.approx([float(a) for a in alone])
    assert [row["without"] for row in tables["quotes"]] == [0, 0]
    mix = (2 * bars + freight) * tax + (pieces + freight) * tax
    assert sum(row["total"] for row in tables["bills"]) == pytest.approx(float(min(mix, *alone)))
    assert (tmp_path / "out" / "takeoff-mix.csv").exists()


def table_of_all_quoted(path: Path) -> list[dict[str, str]]:
    lines = path.read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith('"#')))


def test_a_list_of_five_hundred_rows_with_faults_is_told_row_by_row(tmp_path: Path) -> None:
    """One row in ten has a fault of a known kind; each is told with its row, up to fifty."""
    chance, wrong = random.Random(5), {}
    bad = [
        ("price", "12,50"), ("price", "-1"), ("price", "free"), ("per", "dozen"), ("pack", "2.5"),
        ("pack", "0"), ("length", "6"), ("length", "three"), ("currency", "USD"),
        ("per", "percent"),
    ]  # fmt: skip
    rows = []
    for number in range(500):
        row = dict.fromkeys(COLUMNS, "") | {
            "item": f"hex bolt M10 x {number}", "length": "6 m" if number % 2 else "",
            "price": f"{chance.randint(1, 900) / 100:.2f}", "currency": "EUR",
        }  # fmt: skip
        if number % 10 == 9:
            column, text = bad[(number // 10) % len(bad)]
            row[column] = text
            wrong[number + 2] = column
        rows.append(row)
    path = tmp_path / "prices.csv"
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    with pytest.raises(ListFaults) as told:
        read_prices(path)
    places = {fault.where for fault in told.value.faults}
    expected = {f"row {row}, column {column}" for row, column in wrong.items()}
    # Of several currencies the first that differs is told.
    others = {f"row {row}, column currency" for row, col in wrong.items() if col == "currency"}
    assert expected - others <= places <= expected and len(places & others) == 1
    for row, column in wrong.items():
        rows[row - 2] |= {column: {"price": "1", "currency": "EUR"}.get(column, "")}
    with path.open("w", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS)
        writer.writeheader()
        writer.writerows(rows)
    assert sum(map(len, read_prices(path).by_item.values())) == 500


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("item,price,per\ntax,8.25,\n", 'row 2, column per: is empty; write "percent" for tax'),
        ("item,price,per\ntax,825,percent\n", "row 2, column price: got 825; tax is in percent"),
        ("item,price,length\nfreight,80,6 m\n", "row 2, column length: must be empty for freight"),
        ("item,price\nfreight,80\nFreight,90\n", "row 3, column item: has a price in row 2"),
        ("item,price\nminimum order,x\n", "row 2, column price"),
    ],
)
def test_bad_charges_are_told(text: str, told: str, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(text)
    with pytest.raises(ListFaults) as found:
        read_prices(tmp_path / "list.csv")
    assert any(str(fault).startswith(told) for fault in found.value.faults), found.value.faults


def test_two_lists_of_one_name_are_refused(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    for folder in (tmp_path, tmp_path / "other"):
        (folder / "yard.csv").write_text("item,price\nhex nut M10,1\n")
    path = str(example_paths()["long_meadow_quonset"])
    quotes = ["--quote", str(tmp_path / "yard.csv"), "--quote", str(tmp_path / "other/yard.csv")]
    found = CliRunner().invoke(app, ["takeoff", path, *quotes])
    assert found.exit_code == 2 and "two price lists are called yard" in found.output
    found = CliRunner().invoke(app, ["takeoff", path, "--quote", str(tmp_path / "none.csv")])
    assert found.exit_code == 2 and "none.csv cannot be read" in found.output


def test_packs_in_choices_split_into_rows_that_add_up(tmp_path: Path) -> None:
    """15 nuts and 2 spares: packs of 10 at 4.00 and of 5 at 2.20; 10 + 10 is 8.00, 10 + 5 + 5 8.40.

    At 1.80 for 5 the four fives would be 7.20, and 10 + 5 + 5 7.60.
    """
    for five, packs, paid in (("2.20", {10: 2}, "8.00"), ("1.80", {5: 4}, "7.20")):
        (tmp_path / "list.csv").write_text(
            f"item,price,per,pack\nhex nut M10,4,pack,10\nhex nut M10,{five},pack,5\n"
        )
        design = {
            "output": {"units": "metric"},
            "profile": {"style": "quonset", "width": "4 m", "ridge_height": "2.6 m",
                        "leg_height": "0.6 m"},
            "bays": {"count": 2, "spacing": "1.2 m"},
            "order": {"price_file": "list.csv"},
        }  # fmt: skip
        takeoff = taken_off(lay_out(design_from_mapping(design, folder=tmp_path)))
        rows = [row for row in takeoff.hardware if row.item == "hex nut M10"]
        assert {row.pack: row.packs for row in rows} == packs
        assert (sum(row.needed for row in rows), sum(row.spares for row in rows)) == (15, 2)
        assert sum(line.amount for line in takeoff.cost if line.item == "hex nut M10") == (
            pytest.approx(float(paid))
        )


def test_alternatives_stand_beside_each_other(tmp_path: Path) -> None:
    """Two pack sizes, bars of 3 m against 6 m, sleeves against swages, another design."""
    path = example_paths()["long_meadow_quonset"]
    tries = ["order.bolt_pack=25", "order.bar_lengths=3 m; rail[1].stock_length=3 m",
             "hoop.splice=swage; hoop.splice_tube="]  # fmt: skip
    options = [word for text in tries for word in ("--try", text)]
    other = example_paths()["long_meadow_gothic"]
    (tmp_path / "few.csv").write_text("item,price\nhex nut M10,0.25\n")
    found = CliRunner().invoke(app, [
        "takeoff", str(path), "--json", *options, "--against", str(other),
        "--quote", str(tmp_path / "few.csv"),
    ])  # fmt: skip
    assert found.exit_code == 0, found.output
    tables = json.loads(found.stdout)["tables"]
    rows = {row["name"]: row for row in tables["alternatives"]}
    assert list(rows) == [path.name, other.name, *tries]
    base, packs, short, swage = (rows[name] for name in (path.name, *tries))
    assert base["surplus"] == 0 and packs["hardware"] - packs["surplus"] == base["hardware"]
    bolts = [row for row in tables["hardware"] if re.match("hex bolt|carriage", row["item"])]
    assert packs["surplus"] == sum(-row["buy"] % 25 for row in bolts)
    assert short["uncut"] > 0 == base["uncut"] and swage["mass_kg"] < base["mass_kg"]
    nuts = sum(row["buy"] for row in tables["hardware"] if row["item"] == "hex nut M10")
    assert base["mix"] == pytest.approx(float(nuts * Decimal("0.25")))
    assert base["mix_without"] == len(tables["order"]) - 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("x", "it must be FIELD=VALUE"),
        (";", "it is empty"),
        ("rail[9].height=3 m", "rail[9].height is not there"),
        ("hoop.colour=red", "hoop.colour: is not a field of [hoop]"),
        ("hoop.pieces=x", "hoop.pieces: got"),
    ],
)
def test_what_cannot_be_tried_is_told(text: str, told: str) -> None:
    path = str(example_paths()["long_meadow_quonset"])
    found = CliRunner().invoke(app, ["takeoff", path, "--try", text])
    assert found.exit_code == 2 and told in found.output


def test_clamps_are_sold_complete_by_the_two_tubes(tmp_path: Path) -> None:
    """The quonset example by hand: 17 hoops, 3 rails, each on a cross clamp of both diameters.

    Braces are at an angle: swivel clamps. A hinge on a tube jamb hangs on one half, which comes
    with its rivet.
    """
    text = example_paths()["long_meadow_quonset"].read_text("utf-8")
    frame = lay_out(design_from_text(text))
    things = {thing.item: thing for thing in bought(frame)}
    rails = things["cross clamp for 33.7 mm and 42.4 mm tube, with bolts"]
    assert rails.count == 17 * 3 and len(rails.members) == 6 * rails.count
    angled = sum(things[item].count for item in things if item.startswith("swivel clamp"))
    assert angled == sum(
        joint.kind is JointKind.CLAMPED and any("brace" in m.role.value for m in joint.members)
        for joint in frame.joints
    ) + sum(_is_skew(joint) for joint in frame.joints)
    assert things["hinge clamp for 42.4 mm tube, with rivet and bolt"].count == 6
    pieces = Counter(m.mark for thing in things.values() for m in thing.members)
    assert pieces == Counter(m.mark for m in frame.members if m.part.is_bought)
    apart = lay_out(design_from_text(text.replace(
        "[hardware]\n", '[hardware]\nclamp_bolts = "bought separately"\n'
    )))  # fmt: skip
    others = {thing.item: thing for thing in bought(apart)}
    assert others["cross clamp for 33.7 mm and 42.4 mm tube, without bolts"].count == 51
    bolts = sum(t.count for i, t in others.items() if i.startswith("hex bolt M8 x 30 mm"))
    clamped = [m for j in frame.joints if j.kind is JointKind.CLAMPED for m in j.fasteners]
    more = sum(m.part.words(lambda mm: f"{mm:g} mm") == "hex bolt M8 x 30 mm" for m in clamped)
    assert bolts == more + things["hex bolt M8 x 30 mm"].count


def test_door_hardware_can_be_bought_complete() -> None:
    """A hinge for each band of the drawings, its pin with it; plates are asked for no more."""
    found = {}
    for bought_so in ("made", "bought"):
        design = tomllib.loads(example_paths()["long_meadow_gothic"].read_text("utf-8"))
        design.setdefault("hardware", {})["door_fittings"] = bought_so
        found[bought_so] = taken_off(lay_out(design_from_mapping(design)))
    made, sets = (found[name] for name in ("made", "bought"))
    lines = {line.item: line.pieces for line in order_lines(sets)}
    plates = Counter(m.part.name for m in made.frame.members if isinstance(m.part, Plate))

    def asked(beginning: str) -> int:
        return sum(count for item, count in lines.items() if item.startswith(beginning))

    assert asked("hinge with hook and pin") == plates["hinge band"] == 3
    assert asked("door hanger with roller") == plates["hanger strap"] == 4
    assert asked("bracket for a track") == plates["track bracket, shelf"] > 0
    assert asked("floor guide for a sliding door") == plates["floor guide, back"] > 0
    assert not any("hinge band" in item or "plate" in item.split(",")[0] for item in lines
                   if "gusset" not in item)  # fmt: skip
    bolts = [sum(row.needed for row in one.hardware if " bolt " in row.item) for one in
             (made, sets)]  # fmt: skip
    assert bolts[0] - bolts[1] == plates["hinge band"]  # the pins


def _is_skew(joint: Joint) -> bool:
    """A clamp off square that holds no brace: on a stud or a jamb under a sloping hoop."""
    halves = [m for m in joint.fasteners if isinstance(m.part, ClampHalf)]
    if len(halves) < 2 or any("brace" in m.role.value for m in joint.members):
        return False
    return abs(dot(halves[0].placement.x, halves[1].placement.x)) >= 0.01


def test_doors_have_what_is_bought_and_not_drawn() -> None:
    """By hand: a sliding door of two leaves in front and a hinged one behind; two hinged leaves.

    Two handles for each sliding leaf, two caps for the track, a hasp; a latch for a hinged leaf,
    and two barrel bolts for a second one (common practice, no source).
    """
    found = {}
    for name in ("long_meadow_gothic", "long_meadow_quonset"):
        frame = lay_out(design_from_text(example_paths()[name].read_text("utf-8")))
        found[name] = {one.item: one.count for one in accessories(frame)}
    assert found["long_meadow_gothic"] == {
        'pull handle for a door leaf 1 1/2" thick': 4, "end cap for 1.660 in tube": 2,
        "hasp and staple for a sliding door": 1,
        'latch with a handle on each side, for a door leaf 1 1/2" thick': 1,
    }  # fmt: skip
    assert found["long_meadow_quonset"] == {
        "latch with a handle on each side, for a door leaf 38 mm thick": 1,
        "barrel bolt for a door leaf 38 mm thick": 2,
    }


def test_a_spreadsheet_works_out_bills_and_hours_anew(made, tmp_path: Path) -> None:
    """LibreOffice, from the workbook without values, with one rate doubled.

    Hours of a step are those to set up and the rate times the count; a bill is goods, what is
    missing from the minimum, freight, and tax on all of them.
    """
    takeoff, _ = made
    lines = order_lines(takeoff)
    lists = []
    for name, price, freight in (("one", "1.10", "20"), ("two", "1.00", "35")):
        rows = "".join(f'"{line.item}",{price},each,EUR\n' for line in unique(lines))
        text = f"item,price,per,currency\n{rows}freight,{freight},,\ntax,19,percent,\n"
        lists.append(GivenList(name=f"{name}.csv", text=text))
    quotes = mixes_of(lines, read_price_lists(lists))
    build_order(takeoff, tmp_path / "out", quote_tables(takeoff, quotes))
    book = openpyxl.load_workbook(tmp_path / "out" / "takeoff.xlsx")
    rates = book["Rates"]
    row = next(r for r in range(FIRST_ROW + 1, rates.max_row + 1) if rates.cell(r, 1).value
               == "sockets")  # fmt: skip
    rates.cell(row, 5).value = 2 * rates.cell(row, 5).value
    book.save(tmp_path / "bare.xlsx")
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    subprocess.run(
        [shutil.which("soffice") or "soffice", profile, "--headless", "--convert-to", "xlsx",
         "--outdir", str(tmp_path / "anew"), str(tmp_path / "bare.xlsx")],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    anew = openpyxl.load_workbook(tmp_path / "anew" / "bare.xlsx", data_only=True)

    def read(sheet: str) -> list[dict]:
        rows = [[cell.value for cell in row] for row in anew[sheet].iter_rows()]
        heads = rows[HEAD_ROW]
        return [dict(zip(heads, row, strict=True)) for row in rows[FIRST_ROW:]]

    low = "Person-hours, low"
    hours = {one["Phase"]: one for one in read("Hours")}
    # 34 sockets, 0.5 h to set up and 0.2 h each, doubled.
    assert hours["sockets"]["Count"] == 34
    assert hours["sockets"][low] == pytest.approx(0.5 + 34 * 0.4)
    phases = {one["Phase"]: one[low] for one in read("Phases")}
    assert phases["sockets"] == pytest.approx(0.5 + 34 * 0.4)
    pieces = sum(line.pieces for line in lines)
    goods = Decimal(pieces) * min(Decimal("1.00"), Decimal("1.10"))
    bill = (goods + 35) * Decimal("1.19")
    other = (Decimal(pieces) * Decimal("1.10") + 20) * Decimal("1.19")
    (paid,) = read("Bills")
    assert paid["To pay"] == pytest.approx(float(min(bill, other)))
    assert paid["Supplier"] == "two" and paid["Goods"] == pytest.approx(float(goods))
    alone = [one["To pay"] for one in read("Quotes")]
    assert alone == pytest.approx([float(other), float(bill)])


def unique(lines) -> list:
    return list({line.item: line for line in lines}.values())


def test_a_line_of_plates_of_several_shapes_says_how_many_of_each(tmp_path: Path) -> None:
    """A truss on plates has four shapes of gusset plate that go by one name."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "gothic", "width": "8 m"},
        "bays": {"count": 3, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "tie": [{"height": "2.6 m", "joint": "plates", "post": "king post", "webs": 2}],
    }))  # fmt: skip
    build_order(take_off(frame), tmp_path)
    plates = {group.mark: group.count for group in frame.parts() if isinstance(group.part, Plate)}
    assert len(plates) >= 4
    reader = pypdf.PdfReader(tmp_path / "request-steel.pdf")
    paper = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for told in (paper, (tmp_path / "request-steel.csv").read_text("utf-8")):
        said = dict((mark, int(count)) for count, mark in re.findall(r"(\d+) × ([A-Z]+\d+)", told))
        assert said == plates
