"""The page in Debian's Firefox ESR, over WebDriver BiDi: the other engine, once through.

Requires: firefox-esr, Xvfb (without a screen Firefox has no WebGL here) and puppeteer-core where
NODE_PATH or tests/tools/node_modules has it.
"""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pymupdf
import pytest
from page_server import page_server

import frame3d
from frame3d.design.reading.reader import design_from_text

SCRIPT = Path(__file__).parents[1] / "tools" / "firefox_page.mjs"
DESIGN = """[profile]
style = "quonset"
width = "20 ft"
ridge_height = "11 ft 6 in"
leg_height = "1 ft 6 in"

[bays]
count = 3
spacing = "4 ft"
"""


def test_firefox_lays_out_tells_faults_and_draws(tmp_path: Path) -> None:
    design, picture = tmp_path / "small.toml", tmp_path / "seen.png"
    design.write_text(DESIGN, encoding="utf-8")
    with page_server(str(design)) as server:
        seen = driven(server.address, picture, tmp_path)
    assert seen["errors"] == [] and seen["works"]
    assert "20'-0\" centres" in seen["figures"] and "24'-0\" centres" in seen["wider"]
    roles = {m.role.value for m in frame3d.lay_out(design_from_text(DESIGN)).members}
    assert "hoop" in roles and "hoops" in seen["legend"]
    assert seen["stale"] == "This is the last good design." and seen["badge"] == "(1 to fix)"
    assert seen["sheets"] >= 4
    shown = pymupdf.Pixmap(str(picture))
    # Indigo of hoops is in the picture: the frame was drawn, and not only the ground.
    pixels = {shown.pixel(x, y) for x in range(400, 900, 2) for y in range(200, 800, 2)}
    assert any(b > 1.5 * max(r, g) and b > 60 for r, g, b in (p[:3] for p in pixels))


def driven(address: str, picture: Path, home: Path) -> dict:
    """What the script saw in a Firefox with a screen and a folder of its own."""
    read, write = os.pipe()
    screen = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x1000x24", "-nolisten", "tcp"],
        pass_fds=(write,), stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        os.close(write)
        with os.fdopen(read) as told:
            number = told.readline().strip()
        done = subprocess.run(
            ["node", str(SCRIPT), address, str(picture)], capture_output=True, text=True,
            timeout=180, env={**os.environ, "DISPLAY": f":{number}", "HOME": str(home)},
        )  # fmt: skip
    finally:
        screen.kill()
        screen.wait()
    if done.returncode:
        pytest.fail(done.stderr[-2000:])
    return json.loads(done.stdout)
