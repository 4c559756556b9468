"""Fixtures of all tests: a kitchen book in a temporary folder."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

# Test modules share ``tests/kitchens.py``; the top folder is not otherwise on the path.
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
# No test reads or fills the cache of whoever runs it; those of the cache name a folder of their own.
os.environ["LABELLER_CACHE"] = "off"

from tests.kitchens import Kitchen

# The same examples each time, so that a change is judged by what it changed; EXPLORE=1 looks for new ones.
settings.register_profile("fixed", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("EXPLORE") else "fixed")


@pytest.fixture
def kitchen(tmp_path: Path) -> Kitchen:
    """Return an empty book."""
    return Kitchen(tmp_path / "book")
