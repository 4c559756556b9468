"""What declared: the version of the tool and the hashes of the data it read, so that another result of the same files can be told."""

from labeller import __version__
from labeller.foundations.places import reference_data_folder
from labeller.record.record_file import sha256_of

_DATA = {
    "the vocabulary of allergens": "allergens/vocabulary.json",
    "the profiles of rows": "allergens/profiles.json",
    "the reference doses": "allergens/reference_doses.json",
    "the composition table": "composition/sr28.npy",
    "the columns of the composition table": "composition/sr28.json",
    "the kitchen measures": "measures/measures.json",
    "the shelf": "shelf/shelf.json",
    "the classes of additives": "additives/classes.csv",
}
VERSION = "labeller"


def tool_in_use(jurisdiction: str) -> dict[str, str]:
    """Return the version of the tool, and the sha256 of the law and of every table it reads, by their names for people."""
    root = reference_data_folder()
    data = {**_DATA, f"the law of {jurisdiction}": f"jurisdictions/{jurisdiction}/compiled.json"}
    found = {VERSION: __version__}
    for name, path in data.items():
        place = root / path
        if place.is_file():
            found[name] = sha256_of(place.read_bytes())
    return found


def tools_differ(before: dict[str, str], after: dict[str, str]) -> tuple[str, ...]:
    """Return in words what differs between two tools; nothing where they are the same."""
    said: list[str] = []
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        if old == new:
            continue
        if name == VERSION:
            said.append(f"labeller {old or 'of no known version'}, now {new}")
        elif old is None or new is None:
            said.append(f"{name} ({'new' if old is None else 'no longer read'})")
        else:
            said.append(f"{name} ({old[:8]}, now {new[:8]})")
    return tuple(said)
