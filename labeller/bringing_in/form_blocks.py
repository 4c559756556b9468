"""Entries, items and keys as blocks of lines, and the empty lines between entries."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Block:
    """The lines of an item or a key: the empty lines above it in the cook's file, its comments, itself."""

    blanks: int
    above: list[str]
    body: list[str]

    def lines(self, most_blanks: int) -> list[str]:
        """Return all its lines, with so many of the empty lines above it at most."""
        return [*[""] * min(self.blanks, most_blanks), *self.above, *self.body]


def set_apart(blocks: list[Block]) -> list[str]:
    """Return entries with one empty line between them.

    Entries of one line that stand tight stay tight, and two empty lines stay two. Where most entries stood tight, the empty lines
    that were there set groups apart, and become two.
    """
    short = [len(one.body) == 1 and not one.above for one in blocks]
    tight = [number for number in range(1, len(blocks)) if blocks[number].blanks == 0]
    kept = {number for number in tight if short[number] and short[number - 1]}
    opened = len(tight) - len(kept)
    grouped = opened > len(blocks) - 1 - len(tight)
    lines: list[str] = [*[""] * min(blocks[0].blanks, 1), *blocks[0].above, *blocks[0].body]
    for number, block in enumerate(blocks[1:], start=1):
        if number in kept:
            blanks = 0
        elif block.blanks == 0:
            blanks = 1
        else:
            blanks = 2 if grouped else min(block.blanks, 2)
        lines += [*[""] * blanks, *block.above, *block.body]
    return lines
