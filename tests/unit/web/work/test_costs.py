"""The shopping list of the page: lines by supplier, sums by hand, and what is missing."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest

from frame3d.web.requests.given import GivenError, packed_quotes
from frame3d.web.requests.limits import QUOTES
from frame3d.web.work.costs import shopping_list

SMALL = '[profile]\nstyle = "quonset"\nwidth = "16 ft"\n[bays]\ncount = 2\nspacing = "4 ft"\n'


def found(*lists: tuple[str, str]) -> dict:
    quotes = packed_quotes([{"name": name, "text": text} for name, text in lists])
    return json.loads(json.dumps(shopping_list(SMALL, "", quotes)))


@pytest.fixture(scope="module")
def bare() -> dict:
    return found()


def test_without_prices_everything_is_missing(bare: dict) -> None:
    lines = [line for group in bare["groups"] for line in group["lines"]]
    assert [line["number"] for line in lines] == list(range(1, len(lines) + 1))
    assert len(bare["missing"]) == len(lines) > 3
    assert bare["mixes"] == []
    assert all(line["bought"] == [] for line in lines)


def test_a_typed_price_is_multiplied_and_summed(bare: dict) -> None:
    """In the units and by the length as the page writes it into its list."""
    group = bare["groups"][0]
    rows = [f'"{line["item"]}","{line["exact"].replace(chr(34), chr(34) * 2)}",12.50,each,EUR'
            for line in group["lines"]]  # fmt: skip
    priced = found(("Typed here.csv", "\n".join(["item,length,price,per,currency", *rows])))
    assert priced["faults"] == {}
    total = Decimal(0)
    for line in priced["groups"][0]["lines"]:
        (bought,) = line["bought"]
        pieces = int(line["quantity"].split()[0])
        assert Decimal(bought["amount"]) == pieces * Decimal("12.50")
        assert (bought["supplier"], bought["currency"]) == ("Typed here", "EUR")
        total += Decimal(bought["amount"])
    (mix,) = priced["mixes"]
    assert Decimal(mix["total"]) == total
    assert len(priced["missing"]) == len(bare["missing"]) - len(group["lines"])


def test_the_cheaper_of_two_suppliers_is_taken_and_currencies_stand_apart(bare: dict) -> None:
    item = bare["groups"][0]["lines"][0]["item"]
    head = "item,price,currency"
    both = found(("dear.csv", f'{head}\n"{item}",9,EUR'), ("near.csv", f'{head}\n"{item}",8,EUR'),
                 ("far.csv", f'{head}\n"{item}",7,USD'))  # fmt: skip
    bought = both["groups"][0]["lines"][0]["bought"]
    assert [one["supplier"] for one in bought] == ["near", "far"]
    assert [mix["currency"] for mix in both["mixes"]] == ["EUR", "USD"]


def test_a_list_with_a_fault_is_told_and_the_others_count(bare: dict) -> None:
    item = bare["groups"][0]["lines"][0]["item"]
    got = found(("bad.csv", "item,price\nBolt,a lot\n"), ("good.csv", f'item,price\n"{item}",8\n'))
    assert list(got["faults"]) == ["bad.csv"]
    assert "row 2, column price" in got["faults"]["bad.csv"][0]
    assert [bill["supplier"] for bill in got["mixes"][0]["bills"]] == ["good"]


@pytest.mark.parametrize(
    "quotes", ["x", [1], [{"name": "a"}], [{"name": "a", "text": "b"}] * (QUOTES + 1)]
)
def test_what_is_no_list_of_price_lists_is_refused(quotes: object) -> None:
    with pytest.raises(GivenError):
        packed_quotes(quotes)
