"""Find and load the compiled law of a jurisdiction. No law is written here: a jurisdiction is a folder of data."""

import json
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

from labeller.foundations.names import nearest_names
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.faults_of_law import UnknownJurisdictionError
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.label_terms import Coverage

COMPILED_NAME = "compiled.json"

SUBJECTS = (
    "groups",
    "names",
    "exemptions",
    "sulphites",
    "definitions",
    "nutrients",
    "energy_factors",
    "rounding",
    "intakes",
    "tolerances",
    "alcohol",
    "letters",
    "offers",
    "lists",
    "emphasis",
    "statements",
)
MORE_SUBJECTS = ("panel", "front_of_pack")
"""Subjects a law may be without."""


@dataclass(frozen=True, slots=True, eq=False)
class Jurisdiction:
    """The law of one jurisdiction through time.

    Attributes
    ----------
    code, title : str
        ``gb``, and its name for people.
    first : date
        The first day on which its allergen groups are on file.
    coverage : tuple of Coverage
        How complete each subject is.
    """

    code: str
    title: str
    first: date
    coverage: tuple[Coverage, ...]
    _laws: dict[str, dict[str, Any]]
    _subjects: dict[str, list[dict[str, Any]]]

    def in_force_on(self, day: date) -> LawInForce:
        """Return the law that applies on a day.

        Raises
        ------
        NotInForceError
            If the day lies before the first law on file.
        """
        return LawInForce(self.code, self.title, day, self._laws, self._subjects)

    def changes(self) -> tuple[date, ...]:
        """Return every day on which something in this law begins or ends, in order."""
        days = {row["applies_from"] for rows in self._subjects.values() for row in rows}
        return tuple(date.fromisoformat(day) for day in sorted(days))


def jurisdictions_folder() -> Path:
    """Return the folder of the jurisdictions shipped with the tool."""
    return reference_data_folder() / "jurisdictions"


def known_jurisdictions(folder: Path | None = None) -> tuple[str, ...]:
    """Return the codes of the jurisdictions on file, in alphabetical order."""
    place = folder or jurisdictions_folder()
    return tuple(sorted(path.parent.name for path in place.glob(f"*/{COMPILED_NAME}")))


def load_jurisdiction(code: str, folder: Path | None = None) -> Jurisdiction:
    """Load the law of a jurisdiction.

    Parameters
    ----------
    code : str
        ``eu``, ``gb``, ``us``, ``ca``, ``au-nz``, ``codex`` or another folder of data.
    folder : Path, optional
        Where the folders of data lie; the shipped ones unless said.

    Raises
    ------
    UnknownJurisdictionError
        If no compiled data of that code are there; names those that are, and the nearest.
    """
    place = folder or jurisdictions_folder()
    wanted = code.strip().lower()
    path = place / wanted / COMPILED_NAME
    # The code is a folder's name, nothing more: a path in it would lead out of the reference data.
    if not wanted or "/" in wanted or "\\" in wanted or wanted.startswith(".") or not path.is_file():
        known = known_jurisdictions(place)
        raise UnknownJurisdictionError(code, known, tuple(nearest_names(code, list(known), at_least=0.3)))
    return _read(path, path.stat().st_mtime_ns)


@lru_cache(maxsize=32)
def _read(path: Path, _written_at: int) -> Jurisdiction:
    pack = json.loads(path.read_bytes())
    return Jurisdiction(
        pack["code"],
        pack["title"],
        date.fromisoformat(pack["first"]),
        tuple(Coverage(**entry) for entry in pack["coverage"]),
        pack["laws"],
        pack["subjects"],
    )
