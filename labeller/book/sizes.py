"""How large a file of a book may be."""

from labeller.foundations.faults import Fault, Origin

LARGEST_FILE_BYTES = 2_000_000


def too_large(size_bytes: int, path: str) -> Fault:
    """Return the fault of a file that is larger than a file of a book may be."""
    problem = f"this file is {size_bytes / 1e6:.1f} MB; a file of a book holds at most 2 MB."
    return Fault(Origin(path), "file", problem, "Split it over several files.")
