"""What an entry of the book says of allergens that what would take its place does not: it is asked about, never lost."""

from collections.abc import Collection

from labeller.book.raw_entries import RawEntry
from labeller.book.yaml_tree import Mapping
from labeller.foundations.names import fold_text


def would_be_lost(old: RawEntry, given: Collection[str]) -> tuple[str, ...]:
    """Return the keys of an entry on which allergens or alcohol hang, and which its replacement does not give.

    Parameters
    ----------
    old : RawEntry
        The entry as it stands in the book.
    given : collection of str
        The keys of the replacement that say something, those of its specification among them.
    """
    held = _keys(old.node)
    specs = [value for key, value in old.node.pairs if _word(key.text) == "spec" and isinstance(value, Mapping)]
    inside = {key for spec in specs for key in _keys(spec)}
    keys: tuple[str, ...] = ("made_on", "strength", "sulphites")
    lost = [key for key in keys if key in held and key not in given]
    if "statement" not in given and "declares" not in given:
        lost += [key for key in ("statement", "declares", "covers") if key in inside]
    if "may_contain" in inside and "may_contain" not in given:
        lost += ["may_contain"]
    return tuple(lost)


def _word(text: str) -> str:
    return fold_text(text).replace(" ", "_")


def _keys(node: Mapping) -> set[str]:
    return {_word(key.text) for key, _ in node.pairs}
