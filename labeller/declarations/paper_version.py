"""A short mark of what a paper says: another mark, another text."""

import hashlib

from labeller import __version__

_MARK_LETTERS = 6
_PARTED = "\x1f"


def version_of(said: tuple[str, ...]) -> str:
    """Return a mark that is another where the words are others; the same words on another day keep theirs.

    Parameters
    ----------
    said : tuple of str
        Everything on the paper but the day.
    """
    digest = hashlib.sha256(_PARTED.join(said).encode("utf-8")).hexdigest()
    return f"{__version__}-{digest[:_MARK_LETTERS]}"
