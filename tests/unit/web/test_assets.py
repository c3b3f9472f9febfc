"""The page gets every module that it asks for, by a name that only one file has."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

import frame3d
from frame3d.web.assets import assets

_FOLDERS = ("web/page", "view/assets/viewer")


def test_no_file_takes_the_name_of_another() -> None:
    package = Path(frame3d.__file__).parent
    files = [path for folder in _FOLDERS for path in (package / folder).iterdir()]
    assert len(files) > 30
    assert {name: asset.content for name, asset in assets().items()} == {
        path.name: path.read_bytes() for path in files
    }
    assert len(assets()) == len(files)


def test_what_is_imported_is_there() -> None:
    found = assets()
    scripts = [one.content.decode() for one in found.values() if one.media == "text/javascript"]
    targets = re.findall(r"^import .* from [\"'](.+)[\"'];$", "\n".join(scripts), re.MULTILINE)
    assert len(targets) == "\n".join(scripts).count("\nimport ")
    wanted = {posixpath.normpath(posixpath.join("/assets", target)) for target in targets}
    assert {"/assets/viewer.js", "/assets/dom.js"} <= wanted
    assert wanted <= {f"/assets/{name}" for name in found}
