"""Time and size of what a screen is sent, and time of a picture in the browser.

    python tests/benchmarks/bench_view.py

The frame is the gothic example, 30 ft wide in bays of 4 ft, 96 and 960 ft long. Printed are
members, milliseconds of laying out and of the scene, the first time and the best of several
later ones in one process, the scene's bytes true to scale and packed (gzip), its list of members
packed, view.html with its time; then milliseconds in Chromium, without a graphics card unless
the machine has one: from data to the first picture, and of a picture while it is turned.

Requires: playwright and the command chromium for the last two.
"""

from __future__ import annotations

import gzip
import json
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from browser_page import DESK, browser_page  # noqa: E402 - the path is set above

from frame3d.checks.all_checks import check_frame  # noqa: E402 - the path is set above
from frame3d.design.reading.reader import design_from_mapping  # noqa: E402 - the path is set above
from frame3d.examples import example_paths  # noqa: E402 - the path is set above
from frame3d.frame.lay_out import lay_out  # noqa: E402 - the path is set above
from frame3d.summary import main_figures  # noqa: E402 - the path is set above
from frame3d.view.scene_file import scene_of  # noqa: E402 - the path is set above
from frame3d.view.view_page import view_page  # noqa: E402 - the path is set above

BAYS = (24, 240)
RUNS = 7
# readPixels waits until the picture is there; asking for the next one does not.
TURN = """async () => {
  const viewer = window.frameViewer, gl = viewer.gl, times = [];
  const spot = new Uint8Array(4);
  for (let k = 0; k < 8; k++) {
    const eye = viewer.camera(), begun = performance.now();
    viewer.setCamera({...eye, azimuth: eye.azimuth + 6});
    viewer._paint();
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, spot);
    times.push(performance.now() - begun);
  }
  return times.sort((a, b) => a - b)[4];
}"""
FIRST = """async () => {
  const [glb, data] = await Promise.all([unpackedAgain('scene'), unpackedAgain('data')]);
  const members = JSON.parse(new TextDecoder().decode(data)).members;
  const viewer = window.frameViewer, gl = viewer.gl, begun = performance.now();
  viewer.setScene(glb, members);
  viewer._paint();
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  return performance.now() - begun;
  async function unpackedAgain(id) {
    const text = document.getElementById(id).textContent.trim();
    const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    return new Response(new Blob([bytes]).stream().pipeThrough(
      new DecompressionStream('deflate'))).arrayBuffer();
  }
}"""


def spent(task: Callable[[], object]) -> float:
    """Milliseconds of one run."""
    begun = time.perf_counter()
    task()
    return 1000 * (time.perf_counter() - begun)


def design_of(bays: int) -> dict:
    """The gothic example with so many bays."""
    text = example_paths()["long_meadow_gothic"].read_text(encoding="utf-8")
    return {**tomllib.loads(text), "bays": {"count": bays, "spacing": "4 ft"}}


def in_browser(page_text: str) -> tuple[float, float]:
    """Milliseconds to the first picture, and of a picture while the frame is turned."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "view.html"
        path.write_text(page_text, encoding="utf-8")
        with browser_page(path, DESK, offline=True) as page:
            while not page.evaluate("Boolean(window.frameViewer)"):
                page.wait_for_timeout(100)
            return page.evaluate(FIRST), page.evaluate(TURN)


def main() -> None:
    """Measure and print."""
    for bays in BAYS:
        design = design_from_mapping(design_of(bays))
        frame = lay_out(design)
        laid = min(spent(partial(lay_out, design)) for _ in range(RUNS))
        first = spent(partial(scene_of, frame))
        again = min(spent(partial(scene_of, frame)) for _ in range(RUNS))
        scene = scene_of(frame)
        told = json.dumps(scene.members, separators=(",", ":")).encode()
        findings, figures = check_frame(frame), main_figures(frame)
        page_ms = spent(partial(view_page, frame, findings, figures))
        page = view_page(frame, findings, figures)
        begun, turned = in_browser(page)
        print(
            f"{4 * bays} ft: {len(frame.members)} members; laid out {laid:.0f} ms; scene "
            f"{first:.0f} ms, again {again:.0f} ms; {len(scene.glb) / 1e3:.0f} kB, packed "
            f"{len(gzip.compress(scene.glb)) / 1e3:.0f} kB and its list "
            f"{len(gzip.compress(told)) / 1e3:.0f} kB; view.html {len(page) / 1e3:.0f} kB in "
            f"{page_ms:.0f} ms; in the browser {begun:.0f} ms to the first picture, "
            f"{turned:.0f} ms a picture"
        )


if __name__ == "__main__":
    main()
