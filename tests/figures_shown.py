"""Every figure that outputs of one design show, with what it means: to hold them together.

Only the outputs are read: nothing is asked of the frame. What is not known by its name is left
out, so a name that is dropped from an output makes a figure stand alone; :func:`alone` tells that.
"""

from __future__ import annotations

import csv
import html
import io
import json
import math
import re
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

_BOUGHT = {
    "bolt", "nut", "washer", "screw", "clamp", "channel screw", "curtain screw", "curtain clip",
    "cord eye", "curtain winder",
}  # fmt: skip
FINE_MM = 6e-4
"""Half of the last digit of a length in a JSON file."""


@dataclass(frozen=True)
class Shown:
    """A figure: what it means, its value in mm, kg or pieces, who shows it, and how finely."""

    meaning: str
    value: float
    output: str
    within: float = FINE_MM


def mm_of(text: str) -> float | None:
    """A length as it is written for people; None for what is none."""
    plain = text.replace("\xa0", " ").strip().strip("()").lstrip("R")
    plain = plain.replace("\N{MINUS SIGN}", "-")
    if match := re.fullmatch(r"(-?\d+(?:\.\d+)?) ?(?:mm)?", plain):
        return float(match[1])
    inches = r"(\d+)?(?: ?(\d+)/(\d+))?\""
    if match := re.fullmatch(rf"(-)?(?:(\d+)'-?)?(?:{inches})?", plain):
        sign, feet, whole, top, under = match.groups()
        if not any((feet, whole, top)):
            return None
        if whole and top and " " not in plain.split("-")[-1]:
            whole, top = None, whole + top  # 13/16 is no 1 and 3/16
        value = 12 * int(feet or 0) + int(whole or 0) + Fraction(int(top or 0), int(under or 1))
        return float(value) * 25.4 * (-1 if sign else 1)
    return None


def lengths_in(text: str) -> list[float]:
    """Every length of a text, in order."""
    one = r"-?\d+(?:\.\d+)? mm|(?:\d+'(?:-\d+)?(?: \d+/\d+)?\"|\d+ \d+/\d+\"|\d+/\d+\"|\d+\"|\d+')"
    found = (mm_of(piece) for piece in re.findall(one, text.replace("\xa0", " ")))
    return [value for value in found if value is not None]


# --- who shows what ---------------------------------------------------------------------


class Collector:
    """Figures of one set of outputs.

    Parameters
    ----------
    step_mm : float
        The finest step of lengths that are written for people.
    """

    def __init__(self, step_mm: float) -> None:
        self.step_mm = step_mm
        self.found: list[Shown] = []

    def add(self, meaning: str, value: float | None, output: str, within: float = FINE_MM) -> None:
        """Take a figure; None is nothing."""
        if value is not None:
            self.found.append(Shown(meaning, float(value), output, within))

    def told(self, meaning: str, text: str, output: str) -> None:
        """Take a length that is written for people."""
        self.add(meaning, mm_of(text), output, self.step_mm / 2)

    def all_told(self, meanings: str, text: str, output: str) -> None:
        """Take the lengths of a text in their order; meanings are parted by semicolons."""
        values = lengths_in(text)
        for meaning, value in zip(meanings.split("; "), values, strict=False):
            self.add(meaning, value, output, self.step_mm / 2)


def from_summary(take: Collector, text: str) -> None:
    """``summary.json``: lengths as numbers, and the words beside each hold the same."""
    summary, out = json.loads(text), "summary.json"

    def size(meaning: str, field: dict | None) -> None:
        if field is not None:
            take.add(meaning, field["mm"], out)
            take.told(meaning, field["text"], f"{out}, in words")

    profile, layout = summary["profile"], summary["layout"]
    size("width", profile["width"]["centres"])
    size("width, outside", profile["width"]["outside"])
    size("width, clear inside", profile["width"]["clear_inside"])
    size("ridge", profile["ridge_height"]["centres"])
    size("ridge, overall", profile["ridge_height"]["over_all"])
    size("ridge, clear", profile["ridge_height"]["clear"])
    for meaning, key in (("leg", "leg_height"), ("eave radius", "eave_radius"),
                         ("top radius", "top_radius")):  # fmt: skip
        size(meaning, profile[key])
    for meaning, key in (
        ("length", "length_between_centres"),
        ("bay", "spacing"),
        ("socket, length", "socket_length"),
        ("socket, exposed", "socket_exposed"),
        ("socket, in the ground", "embedment"),
    ):
        size(meaning, layout[key])
    # What stands out is measured along a socket, which leans as the leg does.
    lean = math.radians(profile["leg_lean"]["deg"])
    take.add("socket, top", layout["socket_exposed"]["mm"] * math.cos(lean), out)
    for key in ("bays", "hoops", "sockets"):
        take.add(key, layout[key], out)
    for number, door in enumerate(summary["doors"], start=1):
        size(f"door {number}, opening", door["opening_width"])
        size(f"door {number}, clear width", door["clear_width"])
        size(f"door {number}, height", door["clear_height"])
    if vents := summary["side_openings"]:
        size("side opening, along the hoop", vents["height_along_the_hoop"])
        take.add("side opening, share", vents["share_of_floor"], out)
    for number, tie in enumerate(summary["ties"] or (), start=1):
        size(f"tie {number}", tie["height_of_centreline"])
        size(f"tie {number}, under its tube", tie["clear_height_under"])
    cover = summary["cover"]
    for meaning, key in (
        ("film, girth", "girth"),
        ("film, width", "film_width"),
        ("film, length", "film_length"),
        ("channel", "channel_in_all"),
    ):
        size(meaning, cover[key])
    for part in summary["parts"]:
        mark = part["mark"]
        take.add(f"{mark}, count", part["count"], out)
        take.add(f"{mark}, length", part["length_mm"], out)
        take.add(f"{mark}, mass", part["mass_each_kg"], out)
    for row in summary["hardware"]:
        take.add(f"{row['description']}, count", row["count"], out)
    kinds = summary["hardware_pieces"]
    for kind in ("bolt", "nut", "screw"):
        take.add(f"{kind}s in all", kinds.get(kind), out)
    take.add("hardware in all", sum(kinds.values()), out)
    made = [part for part in summary["parts"] if part["role"] not in _BOUGHT]
    take.add("parts in all", sum(part["count"] for part in made), out)
    take.add("mass in all", summary["total_mass_kg"], out)


def from_findings(take: Collector, text: str) -> None:
    """``findings.json``: the last height is that on the centreline."""
    room, out = json.loads(text)["room"], "findings.json"
    last = room["height_at_distance_from_wall"][-1]
    take.add("ridge, clear", last["under_hoops_mm"], out)
    take.add("width, clear inside", 2 * last["from_wall_mm"], out, 2 * FINE_MM)
    take.add("side opening, share", room["side_vents_share_of_floor"] or None, out)


def from_takeoff(take: Collector, text: str) -> None:
    """``takeoff.json``: parts, hardware, masses."""
    takeoff, out = json.loads(text), "takeoff.json"
    for row in takeoff["tables"]["parts"]:
        mark = row["mark"]
        take.add(f"{mark}, count", row["count"], out)
        take.add(f"{mark}, length", row["length_mm"], out)
        take.add(f"{mark}, mass", row["mass_each_kg"], out)
    for row in takeoff["tables"]["hardware"]:
        take.add(f"{row['item']}, count", row["needed"], out)
    take.add("mass in all", takeoff["total_mass_kg"], out)
    sawn: dict[str, int] = defaultdict(int)
    for row in takeoff["tables"]["cuts"]:
        sawn[row["mark"]] += row["alike"]  # a row is one cut of each of so many bars
        take.add(f"{row['mark']}, length", row["length_mm"], f"{out}, cuts")
    for mark, count in sawn.items():
        take.add(f"{mark}, count", count, f"{out}, cuts")


def from_stakes(take: Collector, text: str) -> None:
    """``stakes.csv``: sockets by their names, in the unit that stands beside the column."""
    rows = list(csv.DictReader(io.StringIO(text)))
    unit = 304.8 if any("ft" in name for name in rows[0]) else 1.0
    unit = 25.4 if any(", in" in name for name in rows[0]) else unit
    across, along, top = (next(n for n in rows[0] if n.startswith(k))
                          for k in ("x,", "y,", "top z"))  # fmt: skip
    places = {row["point"]: row for row in rows if row["what"] == "socket"}

    def value(name: str, column: str) -> float:
        return float(places[name][column]) * unit

    last = len(places) // 2
    out, within = "stakes.csv", 0.006 * unit
    take.add("sockets", len(places), out)
    take.add("width", abs(value("1R", across) - value("1L", across)), out, within)
    take.add("length", abs(value(f"{last}L", along) - value("1L", along)), out, within)
    take.add("bay", abs(value("2L", along) - value("1L", along)), out, within)
    take.add("socket, top", value("1L", top), out, within)


_FIGURES = {
    "Width at ground": "width; width, outside; width, clear inside",
    "Ridge height": "ridge; ridge, overall; ridge, clear",
    "Leg height": "leg",
    "Length between centres of end hoops": "length",
    "Sockets in the ground": "socket, in the ground",
    "Film over the hoops": "film, width; film, length",
    "Side openings": "side opening, along the hoop",
    # as the guide calls them
    "Width between centres of the sockets": "width",
    "Length between centres of the end hoops": "length",
    "Ridge height, to the hoop's centreline": "ridge",
    "Ridge height, where the centrelines of the two halves meet": "ridge",
    "Ridge height, where the centrelines of the two halves meet (the bent ridge sleeve itself is "
    "lower)": "ridge",
}


def _figure(take: Collector, name: str, text: str, out: str) -> None:
    """A row of key figures."""
    if name in _FIGURES:
        take.all_told(_FIGURES[name], text, out)
    elif name == "Bays":
        count, _, bay = text.partition(" of ")
        take.add("bays", int(count), out)
        take.told("bay", bay, out)
    elif name == "Hoops, sockets":
        hoops, sockets = map(int, text.split(", "))
        take.add("hoops", hoops, out)
        take.add("sockets", sockets, out)
    elif match := re.fullmatch(r"(?:Mass|Weight) of all parts", name):
        assert match
        number, unit = text.replace(",", "").split()
        grams = {"kg": 1.0, "lb": 0.45359237}[unit]
        take.add("mass in all", float(number) * grams, out, 0.0501 * grams)


def from_page(take: Collector, text: str, out: str) -> None:
    """Lists of figures in a page: ``view.html``, and the first lines of the guide."""
    doors, text = 0, text.replace("\xa0", " ")
    for name, value in re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", text):
        name, value = html.unescape(name), html.unescape(value)
        if name.startswith("Door in the "):
            doors += 1
            _door(take, doors, value, out)
        _figure(take, name, value, out)


def _door(take: Collector, number: int, text: str, out: str) -> None:
    opening, _, clear = text.partition(" clear when open")[0].rpartition(", ")
    if "when open" not in text:
        opening, clear = text, ""
    take.all_told(f"door {number}, opening; door {number}, height", opening, out)
    if clear:
        take.told(f"door {number}, clear width", clear, out)


_CHECKS = {
    "Both long sides, between corner socket centres": "length",
    "Both ends, between socket centres": "width",
    "Both diagonals": "diagonal",
    "Neighbouring socket marks": "bay",
    "Between neighbours along a side, centre to centre": "bay",
    "Both diagonals again, at the tops of the corner sockets": "diagonal at the tops",
    "Side opening, from its lower to its upper edge along the hoops": (
        "side opening, along the hoop"
    ),
    "Channel fixed, in all": "channel",
    "Film over the hoops, width by length": "film, width; film, length",
    "Edge to edge over the hoops, without the fixing allowance": "film, girth",
}
_COUNTS = {
    "Bolts in the whole frame": "bolts in all", "Nuts in the whole frame": "nuts in all",
    "Screws in the whole frame": "screws in all", "Hoops raised": "hoops",
    "Hoops assembled": "hoops",
    "Parts delivered, without hardware": "parts in all",
    "Hardware delivered, without spares": "hardware in all",
}  # fmt: skip


def from_guide(take: Collector, text: str) -> None:
    """``guide.html``: what is to be checked, and the parts that the first step counts."""
    out, text = "guide.html", text.replace("\xa0", " ")
    from_page(take, text, out)
    checks = re.findall(r'id="hold-(\d+)-\d+"> <span>(.*?): <b>(.*?)</b></span>', text)
    for _, what, figure in checks:
        what, figure = html.unescape(what), html.unescape(figure)
        if what in _CHECKS:
            take.all_told(_CHECKS[what], figure, out)
        elif what in _COUNTS:
            take.add(_COUNTS[what], int(figure.split()[0]), out)
        elif what.startswith("Centre of a tie above level ground"):
            _ties(take, "tie {}", figure, out)
        elif what == "Height under a tie tube":
            _ties(take, "tie {}, under its tube", figure, out)
    for match in re.finditer(
        r'id="part-1-\d+"> <span><b>(\d+) × ([A-Z]+\d+)</b> (.*?)</span>', text
    ):
        count, mark, words = int(match[1]), match[2], html.unescape(match[3])
        take.add(f"{mark}, count", count, out)
        if long := re.search(r", ([^,]+?) long", words):
            take.told(f"{mark}, length", long[1], out)


def _ties(take: Collector, meaning: str, figure: str, out: str) -> None:
    """Of several ties the guide says the heights in order; one height may serve two."""
    values = lengths_in(figure)
    if len(values) == 1:
        take.add(meaning.format(1), values[0], out, take.step_mm / 2)


# --- drawings ---------------------------------------------------------------------------

_DIMENSIONS = [
    ("End elevation", "clear inside", "width, clear inside"),
    ("End elevation|end wall|Socket plan", "between centres", "width"),
    ("End elevation|end wall", "outside of the hoop", "width, outside"),
    ("End elevation", "leg", "leg"),
    ("End elevation", "clear", "ridge, clear"),
    ("End elevation", "ridge|crown", "ridge"),
    ("End elevation|end walls?(?! lumber)|Cross section|Elevation of", "overall", "ridge, overall"),
    ("End elevation", "embedded", "socket, in the ground"),
    ("End elevation", "exposed", "socket, exposed"),
    ("End elevation", "R eave", "eave radius"),
    ("End elevation", "R (rafter|crown)", "top radius"),
    ("Socket plan", "between centres of the end sockets", "length"),
    ("Elevation of", "between the end hoops", "length"),
    ("Socket plan", "diagonal", "diagonal"),
    ("Clearance, cross section", "clear", "ridge, clear"),
    ("Clearance", "clear inside", "width, clear inside"),
]


def from_sheets(take: Collector, doc) -> None:
    """The drawing: named sizes by their sheet, key figures, and rows of the schedules."""
    unit = {1: 25.4, 4: 1.0}[doc.header["$INSUNITS"]]
    sizes = [(tuple(e.dxf.text_midpoint)[:2], drawn_text(doc, e))
             for e in doc.modelspace().query("DIMENSION")]  # fmt: skip
    for name in doc.layout_names_in_taborder()[1:]:
        layout = doc.layout(name)
        windows = [_window(view) for view in layout.query("VIEWPORT") if view.dxf.id != 1]
        for (x, y), text in sizes:
            if any(
                left <= x <= right and low <= y <= high
                for left, low, right, high in windows[1:] or windows
            ):
                _dimension(take, name, text)
        _rows(take, name, layout, unit)


def drawn_text(doc, dimension) -> str:
    """What stands on a dimension: the texts of its own block."""
    texts = [
        e.dxf.text if e.dxftype() == "TEXT" else e.plain_text()
        for e in doc.blocks[dimension.dxf.geometry]
        if e.dxftype() in ("TEXT", "MTEXT")
    ]
    return " ".join(texts).replace("\n", " ")


def _window(view) -> tuple[float, float, float, float]:
    x, y, _ = view.dxf.view_center_point
    high = view.dxf.view_height
    wide = high * view.dxf.width / view.dxf.height
    return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2


def _dimension(take: Collector, sheet: str, text: str) -> None:
    match = re.fullmatch(r"\(?(R?[\d'\"/. -]+?)\)? ([a-z].*)", text)
    if not match:
        return
    said = f"R {match[2]}" if match[1].startswith("R") else match[2]
    for where, name, meaning in _DIMENSIONS:
        if re.search(where, sheet) and re.fullmatch(name, said):
            take.told(meaning, match[1], f"sheet {sheet}")


def _rows(take: Collector, sheet: str, layout, unit: float) -> None:
    lines: dict[float, list[tuple[float, str]]] = defaultdict(list)
    for entity in layout.query("TEXT"):
        place = entity.dxf.align_point if entity.dxf.hasattr("align_point") else entity.dxf.insert
        lines[round(place[1] * unit, 1)].append((place[0], entity.dxf.text))
    doors, columns = 0, []
    for level in sorted(lines, reverse=True):
        cells = [text for _, text in sorted(lines[level])]
        if cells[0] in ("Mark", "Description") and len(cells) > 2:
            columns = cells
        elif "Schedule of" in sheet and len(cells) == len(columns):
            _scheduled(take, dict(zip(columns, cells, strict=True)), f"sheet {sheet}")
        elif "Cover" in sheet and len(cells) == 2:
            if cells[0].startswith("Door in the "):
                doors += 1
                _door(take, doors, cells[1], f"sheet {sheet}")
            _figure(take, *cells, f"sheet {sheet}")


def _scheduled(take: Collector, row: dict[str, str], out: str) -> None:
    """A row of the schedules of parts and of hardware."""
    name = row.get("Mark", row.get("Description", ""))
    if not row.get("Qty", "").isdigit():
        return
    take.add(f"{name}, count", int(row["Qty"]), out)
    if "Mark" in row and (length := row.get("Length")):
        take.told(f"{name}, length", length, out)


# --- held together ----------------------------------------------------------------------


def disagreements(shown: list[Shown]) -> list[str]:
    """Where two outputs show different figures for one thing; one line each."""
    told = []
    for meaning, group in sorted(_by_meaning(shown).items()):
        first = min(group, key=lambda one: one.within)
        for one in group:
            if abs(one.value - first.value) > one.within + first.within + 1e-9:
                told.append(
                    f"{meaning}: {first.value:.4f} in {first.output}, {one.value:.4f} in "
                    f"{one.output}"
                )
    return told


def alone(shown: list[Shown]) -> set[str]:
    """What only one output shows: nothing holds it."""
    return {m for m, group in _by_meaning(shown).items() if len({s.output for s in group}) == 1}


def _by_meaning(shown: list[Shown]) -> dict[str, list[Shown]]:
    found: dict[str, list[Shown]] = defaultdict(list)
    for one in shown:
        found[one.meaning].append(one)
    return found


__all__ = ["Collector", "Shown", "alone", "disagreements", "drawn_text", "from_findings",
           "from_guide", "from_page", "from_sheets", "from_stakes", "from_summary",
           "from_takeoff", "lengths_in", "mm_of"]  # fmt: skip
