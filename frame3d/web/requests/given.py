"""Lists that come with a request as text: prices, stock, and what was measured on the site.

They go through the program as text; no name that stands in a request or a design is opened.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial

from frame3d.design.reading.user_lists import GivenList, GivenLists
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.model.members import Frame
from frame3d.site.survey import SURVEYS, site_of, surveyed
from frame3d.takeoff.take_off import read_user_lists
from frame3d.units.data_tables import Json
from frame3d.web.requests.limits import LIST_BYTES, LIST_NAME, QUOTES

LISTS: dict[str, str] = {
    "prices": "Price list", "stock": "Stock list", "levels": "Levels of the ground",
    "measured": "Distances between corners", "built": "Sockets as driven",
}  # fmt: skip
"""What can be given, and what the page calls it."""
_FIELDS = {"prices": "price_file", "stock": "stock_file"}


class GivenError(ValueError):
    """What stands in a request is no list, or one that is too large."""


def packed_lists(value: Json) -> str:
    """The lists in the body of a request as one text, which a cache can go by; empty for none.

    Raises
    ------
    GivenError
        If they are not of the form ``{"prices": {"name": ..., "text": ...}}``, or too large.
    """
    if value in (None, {}):
        return ""
    if not isinstance(value, dict) or not set(value) <= set(LISTS):
        raise GivenError(f"lists must be an object with some of {', '.join(LISTS)}")
    kept = {}
    for what in LISTS:
        if what in value:
            kept[what] = _checked(f"{what} list", value[what])
    return json.dumps(kept)


def _checked(what: str, one: Json) -> dict[str, str]:
    if not isinstance(one, dict) or not all(
        isinstance(one.get(key), str) for key in ("name", "text")
    ):
        raise GivenError(f"the {what} must be an object with the texts name and text")
    if len(one["name"]) > LIST_NAME:
        raise GivenError(f"the name of the {what} is longer than {LIST_NAME} characters")
    if len(one["text"].encode("utf-8", "surrogatepass")) > LIST_BYTES:
        raise GivenError(f"the {what} is larger than {LIST_BYTES} bytes")
    return {"name": one["name"], "text": one["text"]}


def packed_design(value: Json) -> str:
    """Another design in the body of a request, with the name of its file; empty for none.

    Raises
    ------
    GivenError
        If it is not of the form ``{"name": ..., "text": ...}``, or too large.
    """
    return "" if value is None else json.dumps(_checked("other design", value))


def packed_quotes(value: Json) -> str:
    """The price lists of suppliers in the body of a request as one text; empty for none.

    Raises
    ------
    GivenError
        If they are not a list of ``{"name": ..., "text": ...}``, too many, or too large.
    """
    if value in (None, []):
        return ""
    if not isinstance(value, list) or len(value) > QUOTES:
        raise GivenError(f"quotes must be a list of at most {QUOTES} price lists")
    return json.dumps([_checked("price list", one) for one in value])


def design_from(packed: str) -> GivenList | None:
    """The design in the text that :func:`packed_design` made; None for none."""
    return GivenList(**json.loads(packed)) if packed else None


def given_from(packed: str) -> GivenLists:
    """The lists in the text that :func:`packed_lists` made."""
    lists = json.loads(packed) if packed else {}
    return {what: GivenList(name=one["name"], text=one["text"]) for what, one in lists.items()}


def list_faults(frame: Frame, given: GivenLists) -> dict[str, list[str]]:
    """What is wrong with each list that was given; only those with something wrong."""
    found = {}
    for what in given:
        alone = {what: given[what]}
        if what in SURVEYS:
            told = _faults(partial(_surveyed, frame, alone))
        elif getattr(frame.design.order, _FIELDS[what]) is None:
            told = [f"the design names no {what} list, so this one is not used; enter its name "
                    f"in {_FIELDS[what]}, section order"]  # fmt: skip
        else:
            told = _faults(partial(read_user_lists, frame, alone))
        if told:
            found[what] = told
    return found


def _surveyed(frame: Frame, given: GivenLists) -> None:
    site_of(surveyed(frame, given))


def _faults(read: Callable[[], object]) -> list[str]:
    try:
        read()
    except DesignFaults as error:
        return [str(fault) for fault in error.faults]
    except DesignError as error:
        return [error.message]
    return []
