"""Licences of all that an install brings, as the packages tell them: none of the GPL without the L.

Read from the metadata of what is installed (core metadata 2.4: License-Expression, License and
the classifiers), from the dependencies of the package on, with their own, whatever is needed on
this machine; extras are left out.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from importlib.metadata import Distribution, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
DEPENDENCIES = PROJECT["dependencies"]

READ_ELSEWHERE: dict[str, tuple[str, str]] = {}
"""By name, the licence of a package that tells none, and where it was read."""

# GPL and AGPL, in letters or in words, and nothing in which an L or "Lesser" stands before them.
COPYLEFT = re.compile(r"(?<![a-z])A?GPL|GNU (Affero )?General Public", re.IGNORECASE)


def brought(requirements: Iterable[str]) -> dict[str, Distribution]:
    """What is installed for ``requirements``, with what that requires in turn."""
    found: dict[str, Distribution] = {}
    seen: set[tuple[str, str]] = set()
    waiting = [(Requirement(text), "") for text in requirements]
    while waiting:
        wanted, extra = waiting.pop()
        if wanted.marker and not wanted.marker.evaluate({"extra": extra}):
            continue
        name = canonicalize_name(wanted.name)
        found[name] = found.get(name) or distribution(name)
        for own in {"", *wanted.extras} - {e for n, e in seen if n == name}:
            seen.add((name, own))
            waiting += [(Requirement(text), own) for text in found[name].requires or ()]
    return found


def licences(package: Distribution) -> list[str]:
    """What a package says of its licence, in its own words; of a long text the first lines."""
    told = package.metadata
    texts = [told.get("License-Expression"), (told.get("License") or "").strip()[:200]]
    texts += [c for c in told.get_all("Classifier", []) if c.startswith("License ::")]
    return [text for text in texts if text and text != "UNKNOWN"]


def is_refused(text: str) -> bool:
    """Whether every licence of a choice, or the only one, is of the GPL family without the L."""
    return all(COPYLEFT.search(choice) for choice in text.split(" OR "))


def faults(packages: dict[str, Distribution]) -> list[str]:
    """Every package whose licence is refused or not known."""
    told = []
    for name, package in sorted(packages.items()):
        said = licences(package) or list(READ_ELSEWHERE.get(name, ())[:1])
        told += [f"{name}: {text}" for text in said if is_refused(text)]
        if not said:
            told.append(f"{name}: tells no licence; read it and name it in READ_ELSEWHERE")
    return told


def test_all_that_an_install_brings_may_be_used_by_anybody() -> None:
    packages = brought(DEPENDENCIES)
    assert {"cadquery-ocp", "vtk", "reportlab", "pandas"} <= set(packages)  # those of others too
    assert faults(packages) == []
    assert set(READ_ELSEWHERE) <= {name for name in packages if not licences(packages[name])}


def test_a_library_under_agpl_is_seen() -> None:
    told = faults(brought([*DEPENDENCIES, "pymupdf"]))
    assert any(fault.startswith("pymupdf: ") for fault in told)


@pytest.mark.parametrize(("text", "refused"), [
    ("GPL-3.0-only", True), ("AGPL-3.0-or-later", True), ("GNU General Public License v2", True),
    ("License :: OSI Approved :: GNU Affero General Public License v3", True),
    ("Dual Licensed - GNU AFFERO GPL 3.0 or Artifex Commercial License", True),
    ("GPL-2.0-only OR AGPL-3.0-only", True), ("MIT AND GPL-2.0-only", True),
    ("MIT OR GPL-2.0-only", False), ("LGPL-2.1-only", False), ("BSD", False),
    ("License :: OSI Approved :: GNU Lesser General Public License v3 (LGPLv3)", False),
])  # fmt: skip
def test_which_licences_are_refused(text: str, refused: bool) -> None:
    assert is_refused(text) is refused


def test_every_font_has_its_licence_beside_it() -> None:
    fonts = ROOT / "frame3d" / "fonts"
    told = (fonts / "README.txt").read_text("utf-8")
    for font in fonts.glob("*.ttf"):
        assert font.name in told
    texts = set(re.findall(r"LICENCE-\w+\.txt", told))
    assert len(texts) == 2
    assert "Bitstream Vera Fonts Copyright" in (fonts / "LICENCE-DejaVu.txt").read_text("utf-8")
    assert "Apache License" in (fonts / "LICENCE-DroidSansFallback.txt").read_text("utf-8")
