"""Fixtures of all tests: a kitchen book in a temporary folder."""

import os
import sys
from pathlib import Path

import pytest

# Test modules share ``tests/kitchens.py``; the top folder is not otherwise on the path.
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
# No test reads or fills the cache of whoever runs it; those of the cache name a folder of their own.
os.environ["LABELLER_CACHE"] = "off"

from tests.kitchens import Kitchen


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    """Return an empty book."""
    return Kitchen(tmp_path / "book")
