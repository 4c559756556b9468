"""Read what a pack says from a small YAML file: the same fields the command asks for."""

from typing import Final

from labeller.book.yaml_tree import Mapping, Scalar, Sequence, decode_text, parse_tree
from labeller.bringing_in.packs_figures import FIGURES
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import nearest_names

WORDS: Final = (
    "name",
    "statement",
    "may_contain",
    "supplier",
    "reference",
    "dated",
    "per",
    "serving",
    "density",
    "strength",
)
FIELDS: Final = (*WORDS, *FIGURES)
# As packs say it -> the figure it is.
_OTHER_NAMES: Final = {
    "ingredient": "name", "fat": "fat_g", "saturates": "saturates_g", "saturated_fat": "saturates_g", "carbohydrate": "carbohydrate_g",
    "carbohydrates": "carbohydrate_g", "sugars": "sugars_g", "polyols": "polyols_g", "fibre": "fibre_g", "fiber": "fibre_g",
    "protein": "protein_g", "salt": "salt_g", "sodium": "sodium_mg", "calories": "energy_kcal", "ingredients": "statement",
}  # fmt: skip


def read_pack_file(raw: bytes, path: str) -> tuple[dict[str, str], list[Fault]]:
    """Return the fields of a pack's file by name, all text, and every fault in it with its line.

    Parameters
    ----------
    raw : bytes
        The file.
    path : str
        Its name, for faults.
    """
    text, faults = decode_text(raw, path)
    documents, more = parse_tree(text or "", path) if text is not None else ([], [])
    faults = [*faults, *more]
    if faults:
        return {}, faults
    document = documents[0] if documents else Scalar("", 1)
    if isinstance(document, Sequence) and len(document.items) == 1:
        document = document.items[0]
    if not isinstance(document, Mapping):
        mend = "Write 'name: ...', 'statement: ...', 'fat: ...', each on a line of its own."
        return {}, [Fault(Origin(path, document.line), "file", "this is not one pack with its fields.", mend)]
    found: dict[str, str] = {}
    _take(document, path, found, faults)
    return found, faults


def _take(fields: Mapping, path: str, found: dict[str, str], faults: list[Fault]) -> None:
    for key, value in fields.pairs:
        plain = "_".join(key.text.strip().lower().replace("-", "_").split())
        if plain in ("per_100_g", "spec") and isinstance(value, Mapping):
            _take(value, path, found, faults)
            continue
        name = _OTHER_NAMES.get(plain, plain)
        if name not in FIELDS:
            near = nearest_names(plain, [*FIELDS, *_OTHER_NAMES])
            mend = f"Write '{near[0]}'." if near else f"Leave it out; the fields are {', '.join(FIELDS)}."
            faults.append(Fault(Origin(path, key.line), key.text, f"'{key.text}' is not a field of a pack.", mend))
        elif name in found:
            faults.append(
                Fault(Origin(path, key.line), key.text, f"'{key.text}' is given twice.", "Keep one of them.")
            )
        elif isinstance(value, Sequence) and name in ("statement", "may_contain"):
            found[name] = ", ".join(one.text for one in value.items if isinstance(one, Scalar))
        elif isinstance(value, Scalar):
            found[name] = value.text
        else:
            problem = f"'{key.text}' holds a list, and one value is wanted."
            faults.append(Fault(Origin(path, key.line), key.text, problem, "Write one value behind the colon."))
