"""Price and stock files: what is read, and what a bad one is told, with row and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.errors import DesignError, DesignFaults, ListFaults
from frame3d.frame.lay_out import lay_out
from frame3d.takeoff.quantities.prices import Per, half_clamps, read_prices
from frame3d.takeoff.quantities.stock import read_stock
from frame3d.takeoff.take_off import read_user_lists, take_off

KNOWN = frozenset({"my own tube"})


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "list.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def design(folder: Path, **order: object) -> dict:
    mapping = {
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "5 m", "ridge_height": "3 m"},
        "bays": {"count": 2, "spacing": "1.5 m"},
        "order": order,
    }
    return design_from_mapping(mapping, folder=folder)


def test_prices_are_found_by_item_and_length(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "\ufeffitem,length,price,per,pack,currency,note\n"
        "NPS 1 STD,21 ft,40,,,EUR,\n"
        "nps 1  std,,2.5,m,,,any length\n\n"
        'hex nut 3/8-16,,9.50,pack,50,EUR,"zinc, hot dip"\n'
        "flat washer 3/8,,,each,,,not asked yet\n",
    )
    prices = read_prices(path)
    assert prices.currency == "EUR"
    assert prices.of_bar("NPS 1 STD", 21 * 304.8, 2.5) == 40
    assert prices.of_bar("NPS 1 STD", 6000, 2.5) == 15.0
    nut = prices.find("Hex nut 3/8-16")
    assert (nut.price, nut.per, nut.pack) == (9.5, Per.PACK, 50)
    assert prices.find("flat washer 3/8").price is None
    assert prices.find("something else") is None


def test_a_list_filled_in_under_former_names_goes_on(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "item,price\nhexagon bolt M10 x 100 mm,1\nHexagon nut M10,2\nplain washer M10,3\n",
    )
    prices = read_prices(path)
    today = ["hex bolt M10 x 100 mm", "hex nut M10", "flat washer M10"]
    assert [prices.find(item).price for item in today] == [1, 2, 3]


@pytest.mark.parametrize(
    ("per", "price"),
    [
        ("kg", 2.5 * 6 * 2), ("lb", 2 * 15 / 0.45359237), ("ft", 2 * 6000 / 304.8), ("m", 12),
        ("each", 2),
    ],
)  # fmt: skip
def test_bars_are_priced_by_length_or_mass(per: str, price: float, tmp_path: Path) -> None:
    """A bar of 6 m at 2.5 kg/m weighs 15 kg; a pound is 0.453 592 37 kg, a foot 304.8 mm."""
    prices = read_prices(written(tmp_path, f"item,price,per\ntube,2,{per}\n"))
    assert prices.of_bar("tube", 6000, 2.5) == pytest.approx(price, abs=5e-5)


def test_semicolons_part_cells_as_well(tmp_path: Path) -> None:
    path = written(tmp_path, "item;price;per\nNPS 1 STD;40.25;each\n")
    assert read_prices(path).find("NPS 1 STD").price == 40.25


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("item,price\nnut,1e3\n", r'row 2, column price: got "1e3"; it must be a number of at'),
        ("item,price\nnut,-1\n", r"row 2, column price: got .* at least 0 such as 12.50"),
        ("item,price\nnut,$5\n", r"row 2, column price: .* no currency"),
        ('item,price\nnut,"5,20"\n', r"row 2, column price: .* with a decimal point"),
        ("item,price\nnut,nan\n", r"row 2, column price: got"),
        ("item,price\nnut," + "9" * 400 + "\n", r"row 2, column price: got"),
        ("item,price\n,5\n", r"row 2, column item: is empty; name the item as in the take-off"),
        ("item,price\nnut,5\n\nNUT,6\n", r"row 4, column item: has a price in row 2 already"),
        ("item,price,per\nnut,5,dozen\n", r"row 2, column per: got .dozen.; it must be one of"),
        ("item,price,pack\nnut,5,0\n", r"row 2, column pack: got .0.; .* number of at least 1"),
        ("item,price,length\nnut,5,24\n", r"row 2, column length: got '24' for a length, with"),
        ("item,price,length\nnut,5,0 mm\n", r"row 2, column length: .* between 1 mm and 100 m"),
        ("item,price,currency\na,5,EUR\nb,6,USD\n", r'row 3, column currency: got "USD" aft'),
        ("item,cost\nnut,5\n", r"row 1, column price: is missing; the first row must name"),
        ("item,price,colour\nnut,5,red\n", r'row 1, column "colour": is not a column of this list'),
        ("item,price,item\nnut,5,x\n", r"row 1, column item: appears twice"),
        ("item,price\nnut, zinc,5\n", r"row 2: has 3 cells for 2 columns; put text that holds a c"),
        ('item,price\n"nut,5\n', r"row \d: unexpected end of data; check the quotation marks"),
        ("", r"row 1: is empty; the first row must name the columns: item, "),
    ],
)  # fmt: skip
def test_bad_price_lists_are_told(text: str, told: str, tmp_path: Path) -> None:
    with pytest.raises(ListFaults, match=f"^(.*\n)*list.csv: {told}"):
        read_prices(written(tmp_path, text))


def test_all_faults_are_told_together_up_to_fifty(tmp_path: Path) -> None:
    rows = "".join(f"item {n},bad\n" for n in range(80))
    with pytest.raises(ListFaults) as caught:
        read_prices(written(tmp_path, "item,price\n" + rows))
    assert len(caught.value.faults) == 51
    assert "30 more faults are not listed" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("section,length\nNPS 1 STD,\n", r"row 2, column length: is empty; give a length such as"),
        ("section,length\n,6 m\n", r"row 2, column section: is empty; name a tube or a board"),
        ("section,length\nNPS 1 STDD,6 m\n", r"row 2, column section: as a tube, got 'NPS 1 STDD'"),
        ("section,length,owned\nNPS 1 STD,6 m,maybe\n", r"row 2, column owned: .* one of yes, no"),
        ("section,length,owned\nNPS 1 STD,6 m,yes\n", r"row 2, column count: is empty; say how"),
        ("section,length,count\nNPS 1 STD,6 m,2.5\n", r"row 2, column count: got .2.5.; it must"),
        ("section,length,price\nNPS 1 STD,6 m,much\n", r"row 2, column price: got .much."),
    ],
)  # fmt: skip
def test_bad_stock_lists_are_told(text: str, told: str, tmp_path: Path) -> None:
    with pytest.raises(ListFaults, match=f"list.csv: {told}"):
        read_stock(written(tmp_path, text), KNOWN)


def test_stock_goes_by_any_name_of_a_section(tmp_path: Path) -> None:
    rows = "NPS 1 Sch 40,6 m,,\nMy own tube,2 m,3,yes\n"
    path = written(tmp_path, "section,length,count,owned\n" + rows)
    first, second = read_stock(path, KNOWN)
    assert "nps 1 std" in first.sections and not first.owned and first.count is None
    assert second.sections == ("my own tube",) and second.owned and second.count == 3


@pytest.mark.parametrize("name", ["price_file", "stock_file"])
@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "cannot be read: No such file or directory; name a CSV file in the design's"),
        (b"item,price\n\xff,1\n", r"is not text in UTF-8 \(byte 12\); save it as CSV UTF-8"),
        (b"x" * 1_000_001, "is larger than 1 MB, too large for a list; name the right file"),
    ],
)  # fmt: skip
def test_files_that_cannot_be_read_name_the_field(name, content, told, tmp_path: Path) -> None:
    if content is not None:
        written(tmp_path, content)
    frame = lay_out(design(tmp_path, **{name: "list.csv"}))
    with pytest.raises(DesignError, match=told) as caught:
        read_user_lists(frame)
    assert caught.value.where == f"order.{name}"
    assert not isinstance(caught.value, DesignFaults)


def test_the_users_stock_is_used_first_and_alone(tmp_path: Path) -> None:
    """Six sockets of 1 m: two from the offcut of 2.1 m, and so one bar of 5 m and not two."""
    written(
        tmp_path,
        "section,length,count,owned,price\n50 x 3 mm,5 m,,no,30\n50 x 3 mm,2100 mm,1,yes,\n",
    )
    taken = take_off(lay_out(design(tmp_path, stock_file="list.csv")))
    plan = next(s for s in taken.sections if s.section.name == "50 x 3 mm").plan
    assert [(bar.stock.length_mm, bar.stock.owned, len(bar.cuts)) for bar in plan.bars] == [
        (2100.0, True, 2), (5000.0, False, 4),
    ]  # fmt: skip
    assert plan.cost == 30


def test_least_cost_needs_every_price_and_says_so(tmp_path: Path) -> None:
    written(tmp_path, "item,price,per\n50 x 3 mm,5,m\n")
    taken = take_off(lay_out(design(tmp_path, price_file="list.csv", goal="least cost")))
    told = [finding for finding in taken.findings if "least cost needs" in finding]
    assert any(finding.startswith("EN 10255 DN32 medium: cut for least waste") for finding in told)
    assert not any(finding.startswith("50 x 3 mm") for finding in told)
    assert any("items have no price in list.csv" in finding for finding in taken.findings)


def test_missing_prices_are_listed_and_left_out_of_the_sum(tmp_path: Path) -> None:
    """One bar of 6 m holds five sockets and one more is needed: two bars of 6 m at 5 a metre."""
    written(tmp_path, "item,price,per\n50 x 3 mm,5,m\n")
    taken = take_off(lay_out(design(tmp_path, price_file="list.csv")))
    priced = [line for line in taken.cost if line.price is not None]
    assert [(line.item, line.quantity, line.amount) for line in priced] == [("50 x 3 mm", 2, 60.0)]
    assert len(taken.cost) - 1 == sum(line.price is None for line in taken.cost) > 3


def test_packs_are_rounded_up_and_priced_by_the_pack(tmp_path: Path) -> None:
    """12 bolts in sockets and 3 in splices; 5 % of 15 rounds up to 1, but at least 2: 17, so 2
    packs of 10 at 4.
    """
    written(tmp_path, "item,price,per,pack\nhex nut M10,4,pack,10\n")
    taken = take_off(lay_out(design(tmp_path, price_file="list.csv")))
    row = next(row for row in taken.hardware if row.item == "hex nut M10")
    assert (row.needed, row.spares, row.packs, row.buy) == (15, 2, 2, 20)
    line = next(line for line in taken.cost if line.item == "hex nut M10")
    assert (line.quantity, line.per, line.amount) == (2, Per.PACK, 8.0)


def test_a_currency_is_shown_and_so_has_letters_that_can_be(tmp_path: Path) -> None:
    """Notes are shown nowhere, and may have anything."""
    good = written(tmp_path, "item,price,currency,note\nNPS 1 STD,40,元,عربي 😀\n")
    assert read_prices(good).currency == "元"
    bad = written(tmp_path, "item,price,currency\nNPS 1 STD,40,€\nflat washer 3/8,1,💶\n")
    with pytest.raises(ListFaults, match=r"row 3, column currency: .*U\+1F4B6 banknote"):
        read_prices(bad)


def test_half_clamps_in_a_list_are_told_with_the_clamps_to_price(tmp_path: Path) -> None:
    path = written(
        tmp_path, "item,price\nclamp half for 42.4 mm tube,1\nCoupler half for 33 mm tube,2\n"
    )
    text = """
output.units = "metric"
profile = { style = "quonset", width = "4 m", ridge_height = "2.6 m", leg_height = "0.6 m" }
bays = { count = 1, spacing = "1.2 m" }
"""
    clamped = text + 'rail = [{ at = "ridge", fixing = "clamped" }]\n'
    for design, told in ((clamped, '"cross clamp for 33.7 mm and 42.4 mm tube, with bolts"'),
                         (text, "This design has no clamps; remove the row")):  # fmt: skip
        frame = lay_out(design_from_text(f"{design}order.price_file = '{path.name}'",
                                         folder=tmp_path))  # fmt: skip
        finding = take_off(frame).findings[-1]
        assert finding.startswith('list.csv has a price for "clamp half for 42.4 mm tube" and 1')
        assert told in finding
    assert half_clamps(read_prices(written(tmp_path, "item,price\nswivel clamp,1\n"))) == ()
