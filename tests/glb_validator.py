"""What the validator of the format's own makers, Khronos, finds in a GLB file."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

TOOLS = Path(__file__).parent / "tools"


def validated(path: Path) -> dict:
    """Its counts of errors and warnings, and its messages."""
    assert shutil.which("node"), "node is needed; see tests/run.sh"
    places = [str(TOOLS / "node_modules"), os.environ.get("NODE_PATH", "")]
    run = subprocess.run(
        ["node", str(TOOLS / "judge_glb.js"), str(path)],
        capture_output=True, text=True, timeout=120, check=False,
        env={**os.environ, "NODE_PATH": os.pathsep.join(filter(None, places))},
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)
