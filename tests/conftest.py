"""Fixtures of all tests: a kitchen book in a temporary folder."""

import sys
from pathlib import Path

import pytest

# Test modules share ``tests/kitchens.py``; the top folder is not otherwise on the path.
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.kitchens import Kitchen


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    """Return an empty book."""
    return Kitchen(tmp_path / "book")
