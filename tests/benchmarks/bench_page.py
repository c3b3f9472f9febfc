"""Time from a figure that is typed to the picture that shows it, and memory after 100 changes.

    python tests/benchmarks/bench_page.py

The gothic example, 96 and 960 ft long. For each length ten changes of the width, none of them
seen before, so that nothing comes from the cache. Printed are medians and the slowest, ms:

- server, one worker process: reading and laying out, the scene, and both as the page asks
  for them over HTTP (a connection each); and the findings, which come after the picture;
- browser (Debian's Chromium, headless, drawing without a graphics card): from the input event
  of one change, and of the last of four letters 120 ms apart, for which the page pauses, to the
  first frame after the new scene was handed to the viewer. Its stages follow: until the question
  leaves, until the answer begins and ends, until the scene is handed over, until it is drawn.

Memory is that of the server, of its workers, and of the page's JavaScript after a collection,
before and after 100 changes of the 96 ft frame.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
import tomllib
from collections.abc import Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from page_server import Server, page_server  # noqa: E402 - the path is set above
from playwright.sync_api import Page, sync_playwright  # noqa: E402 - the path is set above

from frame3d.design.writing.editing import plain_text  # noqa: E402 - the path is set above
from frame3d.examples import example_paths  # noqa: E402 - the path is set above
from frame3d.view.scene_file import scene_of  # noqa: E402 - the path is set above
from frame3d.web.requests.design_links import packed  # noqa: E402 - the path is set above
from frame3d.web.work.read_designs import frame_of  # noqa: E402 - the path is set above

CHANGES, MANY = 10, 100
ARGUMENTS = (
    "--no-sandbox", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--no-first-run", "--js-flags=--expose-gc",
)  # fmt: skip
AIMS = {24: "aim 30 in the server, 200 in the browser", 240: "no aim"}


def text_of(bays: int, width_in: float = 360.0) -> str:
    design = tomllib.loads(example_paths()["long_meadow_gothic"].read_text("utf-8"))
    design["bays"] = {"count": bays, "spacing": "4 ft"}
    design["profile"]["width"] = f"{width_in:g} in"
    return plain_text(design)


def told(name: str, times_s: Sequence[float]) -> None:
    middle, worst = 1e3 * statistics.median(times_s), 1e3 * max(times_s)
    print(f"  {name:<34}{middle:8.0f}{worst:8.0f}")


def in_one_process(bays: int) -> None:
    laying, drawing = [], []
    for number in range(CHANGES):
        text = text_of(bays, 361 + number / 4)
        begun = time.perf_counter()
        frame = frame_of(text)
        laid = time.perf_counter()
        scene_of(frame)
        laying.append(laid - begun)
        drawing.append(time.perf_counter() - laid)
    told("reading and laying out", laying)
    told("scene", drawing)


def over_http(server: Server, bays: int) -> None:
    frames, findings = [], []
    for number in range(CHANGES):
        letters = packed(text_of(bays, 365 + number / 4))
        begun = time.perf_counter()
        assert "figures" in server.frame(letters)
        shown = time.perf_counter()
        assert "findings" in server.ask(f"/api/findings?d={letters}").json
        frames.append(shown - begun)
        findings.append(time.perf_counter() - shown)
    told("frame over HTTP", frames)
    told("findings over HTTP", findings)


CHANGE = """([width, letters]) => new Promise((done) => {
  const box = document.getElementById('f-profile-width');
  performance.clearResourceTimings();
  let begun = 0, handed = 0;
  const type = (text) => {
    begun = performance.now();
    box.value = text;
    box.dispatchEvent(new Event('input', { bubbles: true }));
  };
  const told = () => {
    const now = performance.now(), [asked] = performance.getEntriesByType('resource')
      .filter((one) => one.name.includes('/api/frame')).slice(-1);
    done([now, asked.requestStart, asked.responseStart, asked.responseEnd, handed, now]
      .map((at, stage, all) => at - (stage < 2 ? begun : all[stage - 1]))
      .map((ms) => ms / 1000));
  };
  const last = () => {
    new MutationObserver((_, watch) => {
      watch.disconnect();
      handed = performance.now();
      requestAnimationFrame(() => setTimeout(told));
    }).observe(document.body, { attributeFilter: ['data-shown'] });
    type(width);
  };
  for (let k = 1; k < letters; k++) {
    setTimeout(() => type(width + ' '.repeat(letters - k)), 120 * (k - 1));
  }
  setTimeout(last, 120 * (letters - 1));
})"""
STAGES = ("until asked", "until the answer begins", "until it ends", "until handed to the viewer",
          "until drawn")  # fmt: skip


def settled(page: Page) -> None:
    page.wait_for_timeout(100)
    page.wait_for_selector('#results[aria-busy="false"]', state="attached", timeout=60_000)


def in_the_browser(page: Page, server: Server, bays: int) -> None:
    rows = []
    for number in range(CHANGES):
        rows.append(page.evaluate(CHANGE, [f"{370 + number / 4:g} in", 1]))
        settled(page)
    times, *stages = zip(*rows, strict=True)
    told("input to picture", times)
    for name, stage in zip(STAGES, stages, strict=True):
        told(f"  {name}", stage)
    typed = []
    for number in range(CHANGES):
        typed.append(page.evaluate(CHANGE, [f"{374 + number / 4:g} in", 4])[0])
        settled(page)
    told("last of four letters to picture", typed)


def memory_mb(process: int) -> float:
    status = Path(f"/proc/{process}/status").read_text()
    return int(status.split("VmRSS:")[1].split()[0]) / 1024


def children(process: int) -> list[int]:
    return [int(p) for p in Path(f"/proc/{process}/task/{process}/children").read_text().split()]


def memory_row(page: Page, server: Server) -> str:
    page.evaluate("gc()")
    heap = page.evaluate("performance.memory.usedJSHeapSize") / 2**20
    workers = [memory_mb(child) for child in children(server.process.pid)]
    named = ", ".join(f"{size:.0f}" for size in workers)
    return f"server {memory_mb(server.process.pid):.0f}, workers {named}, page {heap:.0f} MB"


def main() -> None:
    print(f"{'':36}{'median':>8}{'slowest':>8}   load {os.getloadavg()[0]:.1f}")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=shutil.which("chromium"), args=list(ARGUMENTS)
        )
        for bays in (24, 240):
            print(f"{4 * bays} ft; {AIMS[bays]}")
            in_one_process(bays)
            path = Path(folder) / f"{bays}.toml"
            path.write_text(text_of(bays), encoding="utf-8")
            with page_server(str(path)) as server:
                over_http(server, bays)
                page = browser.new_page(viewport={"width": 1440, "height": 900})
                page.set_default_timeout(120_000)
                page.goto(server.address)
                page.wait_for_selector("body[data-shown]", state="attached")
                settled(page)
                in_the_browser(page, server, bays)
                if bays == 24:
                    print("memory before:", memory_row(page, server))
                    for number in range(MANY):
                        page.evaluate(CHANGE, [f"{380 + number / 8:g} in", 1])
                        settled(page)
                    print(f"after {MANY}:   ", memory_row(page, server))
                page.close()
        browser.close()


if __name__ == "__main__":
    main()
