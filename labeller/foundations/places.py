"""Where the reference data lie, in a checkout and in an installed package alike."""

from functools import cache
from pathlib import Path


@cache
def reference_data_folder() -> Path:
    """Return the folder of reference data.

    An installed package carries it inside itself; in a checkout it is the top-level folder ``reference_data``.

    Raises
    ------
    FileNotFoundError
        If neither is there, which means a broken installation.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "reference_data", package.parent / "reference_data"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError("The reference data of labeller are missing: install the package again.")
