"""Makes the hand-made frames, which lie in the folder of all tests, importable."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
