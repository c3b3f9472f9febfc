"""Words that people must not be shown, with the reason and what to say in their place.

The words are of this project's own history: each has stood in an output, and a reader of the trade
stumbled over it. What is listed is common practice in North America and Britain, no source.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "frame3d"

_TRANSLATED = "reads as if translated"
_TRADE = "the trade has a word of its own"
_SAFETY = "says more of a frame than anybody here knows"

MUST_NOT: tuple[tuple[str, str, str], ...] = (
    # a pattern, why it must go, what is said in its place
    (r"\baslant\b", _TRANSLATED, "3D view; at an angle"),
    (r"\b(?:lies?|stands?) in each other\b", _TRANSLATED, "overlap"),
    (r"\btubes? in each other\b", _TRANSLATED, "one tube inside another"),
    (r"\bis no (?:field|section|column|list|place|map|design|statement|advice|text)\b", _TRANSLATED,
     "is not a …"),
    (r"\bare no (?:parts?|measure)\b", _TRANSLATED, "are not …"),
    (r"\bHold point: go on\b", _TRANSLATED, "Stop: check before you go on"),
    (r"\bTaken so\b", _TRANSLATED, "Assumed"),
    (r"\bzero of the levels\b", _TRADE, "benchmark"),
    (r"\b[Cc]lock(?: angles?|,)", _TRADE, "rotation"),
    (r"(?<![\"'])\bpersuasion\b(?! *[=\"'])", _TRADE, "pull-in allowance"),
    (r"\bfor the rolls\b", _TRADE, "grip length for the bender"),
    (r"\bChange places\b|\bForget it\b|\bLet go\b|\bTake out\b", _TRANSLATED,
     "Swap; Clear; Remove"),
    (r"(?<!swivel )\bcouplers?\b", "one name for one thing", "clamp"),
    (r"\bhexagon (?:bolt|nut)\b|\bplain washer\b", _TRADE, "hex bolt, hex nut, flat washer"),
    (r"\bnotched over\b|\blapped\b", "one word for one cut on every sheet", "notched"),
    (r"(?<!\")\bleft out\b(?! of (?:the (?:model|pictures?|plan|view|list)|this view))(?=[:;,)])",
     "a form shows the default itself", "default …"),
    (r"\bNo\.(?=$|\s*[|,])", _TRADE, "Qty"),
    (r"\bwhat (?:it|a tube) is bought in\b", _TRANSLATED, "stock length"),
    (r"\bgoes together\b|\bgo together\b", _TRANSLATED, "fit; agree"),
    (r"\bstands? in the way\b", _TRANSLATED, "is in the way"),
    (r"\blies? at (?:the|a) rail\b", _TRANSLATED, "is at a rail"),
    (r"\bso (?:low|steep) is\b", _TRANSLATED, "because … is too low"),
    (r"\bhardly\b", _TRANSLATED, "too tight"),
    (r"\bthe yard\b(?! )", "a lumber yard sells; what the user owns is on hand", "on hand"),
    (r"\bmerchant\b", _TRADE, "supplier"),
    (r"\blorry\b", "not read in North America", "truck"),
    (r"\bwoods? screws?\b", _TRADE, "lag screw"),
    (r"\bsend\b.*\bwhoever looks after\b", _TRANSLATED, "report it"),
    (r"\bnearest to hand\b|\bto a hair\b", _TRANSLATED, "exactly"),
    (r"\bPicked\b|\bpicked out\b", _TRANSLATED, "Selected"),
    (r"\bHands and keys\b", _TRANSLATED, "Mouse, touch and keyboard"),
    (r"\bto mend\b", _TRANSLATED, "to fix"),
    (r"\bsettings? out drawing\b", _TRADE, "layout drawing"),
    (r"\bin lack of\b|\blacks\b", _TRANSLATED, "is missing"),
    (r"\bnothing yet\b", _TRANSLATED, "-"),
    (r"\bgrown ground\b", _TRADE, "undisturbed ground"),
    (r"\bfill up by\b", _TRADE, "fill"),
    (r"\bon a slant\b", _TRADE, "at an angle"),
    (r"\bput it up by\b|\bto (?:put|set) .{0,20} by\b", _TRANSLATED, "to put it up from"),
    (r"\bwork by them\b|\bdrills by it\b", _TRANSLATED, "from"),
    (r"\bas its?\b (?:solid|studs)\b", _TRANSLATED, "because"),
    # safety
    (r"\bstands? against (?:the )?wind\b", _SAFETY, "resists only as far as your engineer says"),
    (r"\bdo most\b|\bdoes much\b|\bdo little\b", _SAFETY, "is usual"),
    (r"\bgood for (?:wind|snow)\b|\bstrong enough for\b", _SAFETY, "nothing"),
    (r"\bsafe(?:ly)?\b(?! side)", _SAFETY, "nothing: no frame is called safe"),
    (r"\bweak place\b", _SAFETY, "nothing about strength"),
    (r"\bhoop that is not braced\b", "never against a hoop, braced or not", "never on a hoop"),
)  # fmt: skip

TWO_SYSTEMS = (
    # what an output in feet and inches must not show, and one in millimetres
    re.compile(r"(?<![\w.])\d[\d.,]* ?(?:mm²?|cm|m|m²|m³|m2|kg)(?![\w/'])"),
    re.compile(r"(?<![\w.])\d[\d.,]*(?:'-\d| ?(?:ft|ft²|in|lb|oz|yd³))(?![\w'])"),
)
STANDARD_SIZES = re.compile(
    r"(?:NPS |DN ?)\d[\d/ -]*(?: (?:STD|XS|Sch \d+|medium|light|heavy))?"
    r"|EN \d+(?:-\d+)*(?: DN\d+ \w+)?"
    r"|\bM\d+(?:x\d+)?\b"
    r"|[\d.]+ in x [\d.]+ (?:in|ga \w+)|[\d.]+ x [\d.]+ mm|\b\d+x\d+\b"
    r"|ADA [^;]+;|OSHA [^;]+;|\(2010 ADA[^)]*\)"
    r"|\"[^\"]{1,30}\"(?!\w)"  # an example of what can be typed
)
"""Designations by which things are sold, in either system, and clauses of standards."""

_ID = re.compile(r"[\w.:/\\-]+")


def forbidden(text: str) -> list[str]:
    """What is wrong with the words of a text: each with its reason and what to say."""
    return [
        f"{found[0]!r} ({why}; say: {instead})"
        for pattern, why, instead in MUST_NOT
        for found in re.finditer(pattern, text, 0 if re.search("[A-Z]", pattern) else re.IGNORECASE)
    ]


def foreign(text: str, *, metric: bool) -> list[str]:
    """Sizes of the other system of units that a text shows."""
    plain = STANDARD_SIZES.sub("…", text)
    return [found[0] for found in TWO_SYSTEMS[metric].finditer(plain)]


def literals() -> Iterator[tuple[str, str]]:
    """Every text of the package's modules that is no name: where it stands, and the text."""
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        bare = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
        inner = {
            id(part) for n in ast.walk(tree) if isinstance(n, ast.JoinedStr) for part in n.values
        }
        for node in ast.walk(tree):
            if id(node) in bare or id(node) in inner:
                continue
            if isinstance(node, ast.JoinedStr):
                text = "".join(
                    part.value if isinstance(part, ast.Constant) else "{}" for part in node.values
                )
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                text = node.value
            else:
                continue
            if not _ID.fullmatch(text):
                yield f"{path.relative_to(ROOT)}:{node.lineno}", text


_SCRIPT = re.compile(r"^\s*(?://|\*|/\*).*$", re.MULTILINE)
_QUOTED = re.compile(r"\"((?:[^\"\\\n]|\\.)+)\"|'((?:[^'\\\n]|\\.)+)'|`([^`]+)`")


def script_texts() -> Iterator[tuple[str, str]]:
    """Every quoted text of the scripts that browsers load."""
    for path in sorted(PACKAGE.rglob("*.js")):
        for found in _QUOTED.finditer(_SCRIPT.sub("", path.read_text("utf-8"))):
            text = next(filter(None, found.groups()))
            yield str(path.relative_to(ROOT)), text


class HtmlTexts(HTMLParser):
    """The texts of a page that a person sees or hears, without scripts and styles."""

    _HEARD = ("aria-label", "title", "placeholder", "alt")

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self._hidden = 0
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list) -> None:
        self._hidden += tag in ("script", "style")
        self.texts += [value for name, value in attrs if name in self._HEARD and value]

    def handle_endtag(self, tag: str) -> None:
        self._hidden -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self._hidden and data.strip():
            self.texts.append(" ".join(data.split()))


def documents() -> Iterator[tuple[str, str]]:
    """What is written for users beside the program: the READMEs, notebooks and pages."""
    for path in (ROOT / "README.md", ROOT / "outputs/README.md", ROOT / "notebooks/README.md"):
        for number, line in enumerate(path.read_text("utf-8").split("\n\n"), start=1):
            yield f"{path.relative_to(ROOT)}, paragraph {number}", " ".join(line.split())
    for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
        for cell in json.loads(path.read_text("utf-8"))["cells"]:
            yield str(path.relative_to(ROOT)), " ".join("".join(cell["source"]).split())
    for path in sorted(PACKAGE.rglob("*.html")):
        for text in HtmlTexts(path.read_text("utf-8")).texts:
            yield str(path.relative_to(ROOT)), text
    for path in sorted(PACKAGE.rglob("*.toml")):
        yield str(path.relative_to(ROOT)), path.read_text("utf-8")


__all__ = [
    "ROOT",
    "HtmlTexts",
    "MUST_NOT",
    "documents",
    "forbidden",
    "foreign",
    "literals",
    "script_texts",
]
