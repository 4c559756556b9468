"""Which rows the reference table has, without the table: who only reads a book needs no figures, and no numpy."""

from array import array
from functools import cache

from labeller.foundations.places import reference_data_folder

PREFIX = "sr28:"
# The head of a .npy file: https://numpy.org/doc/stable/reference/generated/numpy.lib.format.html
_HEAD_BYTES, _LENGTH_AT = 10, 8


def parse_food(food: str) -> str | None:
    """Return the five-digit food code of a row named as books name it, ``sr28:01053``; None where it names none."""
    code = food.strip().lower().removeprefix(PREFIX).strip()
    return code if len(code) == 5 and code.isascii() and code.isdigit() else None


def row_exists(food_code: str) -> bool:
    """Tell whether the table has a row of that code, with or without ``sr28:``."""
    code = parse_food(food_code)
    return code is not None and int(code) in _codes()


@cache
def _codes() -> frozenset[int]:
    """Return the codes of all rows: the first of each pair of four-byte integers in the compiled file."""
    raw = (reference_data_folder() / "composition" / "sr28_codes.npy").read_bytes()
    begins = _HEAD_BYTES + int.from_bytes(raw[_LENGTH_AT:_HEAD_BYTES], "little")
    pairs = array("i")
    pairs.frombytes(raw[begins:])
    return frozenset(pairs[::2])
