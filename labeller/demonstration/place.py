"""Where the demo book lies in the package."""

from pathlib import Path


def demonstration_book() -> Path:
    """Return the folder of the demo book."""
    return Path(__file__).parent / "book"
