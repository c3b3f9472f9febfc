"""Reads a finished guide page back, knowing nothing of how it was made: for tests."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from html.parser import HTMLParser

_COUNT = re.compile(r"(\d+)\s×\s([A-Z]+\d+)$")
_VOID = {"meta", "input", "br", "link", "circle", "rect", "path"}


@dataclass(slots=True)
class Section:
    """What one step of the page says."""

    heading: str = ""
    lines: list[str] = field(default_factory=list)
    strong: list[str] = field(default_factory=list)
    boxes: list[str] = field(default_factory=list)
    text: str = ""

    @property
    def counts(self) -> Counter[str]:
        """How many of each mark the step takes."""
        found: Counter[str] = Counter()
        for text in self.strong:
            if match := _COUNT.fullmatch(text.strip()):
                found[match[2]] += int(match[1])
        return found


class GuideReader(HTMLParser):
    """Sections of a page, by the ids of their elements."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.sections: dict[str, Section] = {}
        self.ids: list[str] = []
        self._stack: list[str] = []
        self._here: Section | None = None
        self._hidden = 0
        self.feed(html)
        self.close()
        assert self._stack == [], f"not closed: {self._stack}"

    def handle_starttag(self, tag: str, attrs: list) -> None:
        known = dict(attrs)
        if "id" in known:
            self.ids.append(known["id"])
        if tag == "section" and str(known.get("id", "")).startswith("step-"):
            self._here = self.sections[known["id"]] = Section()
        if tag == "input" and self._here is not None:
            self._here.boxes.append(known["id"])
        if tag not in _VOID:
            self._stack.append(tag)

    def handle_startendtag(self, tag: str, attrs: list) -> None:
        """Elements of a drawing that are closed at once."""

    def handle_endtag(self, tag: str) -> None:
        assert self._stack, f"{tag} closes nothing"
        assert self._stack[-1] == tag, f"{tag} closes {self._stack[-1]}"
        self._stack.pop()
        if tag == "section":
            self._here = None

    def handle_data(self, data: str) -> None:
        if self._here is None or "svg" in self._stack:
            return
        self._here.text += data + " "
        if "b" in self._stack:
            self._here.strong.append(data)
        if "h2" in self._stack:
            self._here.heading += data


__all__ = ["GuideReader", "Section"]
