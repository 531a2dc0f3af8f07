"""The folders that hold the helpers of these tests."""

import sys
from pathlib import Path

for folder in (Path(__file__).resolve().parents[1], Path(__file__).resolve().parent):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))
