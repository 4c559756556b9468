"""Words as scanners and tired hands leave them: look-alike letters, words run together, one letter wrong."""

# Letters a scanner takes for one another, brought to one common form. ``rn`` and ``vv`` come first: they are two letters each.
_PAIRS = (("rn", "m"), ("vv", "w"))
_LETTERS = str.maketrans({"0": "o", "1": "l", "i": "l", "|": "l", "5": "s", "8": "b", "4": "a", "q": "g", "3": "e"})
LONGEST_COMPOUND = 40
# Letters German and Dutch put between the parts of a compound, which say nothing.
_LINKS = frozenset({"s", "n", "en", "er", "e", "es"})


def skeleton(stem: str) -> str:
    """Return a form in which a stem and its misread spellings meet: *rnilk* and *milk*, *hazeinut* and *hazelnut*."""
    for pair, letter in _PAIRS:
        stem = stem.replace(pair, letter)
    return stem.translate(_LETTERS)


def one_letter_less(word: str) -> set[str]:
    """Return every form of ``word`` with one letter left out, and ``word`` itself."""
    return {word, *(word[:place] + word[place + 1 :] for place in range(len(word)))}


def split_compound(word: str, parts: dict[str, int]) -> tuple[list[int], bool]:
    """Split a word written together into known parts, the longest first at each place.

    Parameters
    ----------
    word : str
        A folded word.
    parts : dict of str to int
        Known parts and the number of their meaning; -1 for a part that says nothing of its own.

    Returns
    -------
    (list of int, bool)
        The meanings found, and whether the word may be taken at its word: the parts cover it, or a part of five letters or
        more begins or ends it. Short parts count only where everything is covered.
    """
    length = len(word)
    if not 5 <= length <= LONGEST_COMPOUND:
        return [], False
    taken: list[tuple[int, int, int]] = []
    place = 0
    gap = ""
    covered = True
    while place < length:
        for end in range(length, place + 1, -1):
            number = parts.get(word[place:end])
            if number is not None:
                taken.append((place, end, number))
                if gap and gap not in _LINKS:
                    covered = False
                gap = ""
                place = end
                break
        else:
            gap += word[place]
            place += 1
    if gap and gap not in _LINKS:
        covered = False
    if not taken:
        return [], False
    if covered and taken[0][0] == 0 and (len(taken) > 1 or gap):
        return [number for _, _, number in taken if number >= 0], True
    long = [(start, end, number) for start, end, number in taken if end - start >= 5 and number >= 0]
    at_an_end = any(start == 0 or end == length for start, end, _ in long)
    return [number for _, _, number in long], at_an_end
