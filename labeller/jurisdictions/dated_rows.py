"""The dated rows of one jurisdiction, seen from one day."""

from datetime import date
from typing import Any

from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError
from labeller.jurisdictions.terms import Citation

Row = dict[str, Any]


class DatedRows:
    """Rows of law that apply on one day.

    Parameters
    ----------
    code, title : str
        The jurisdiction.
    day : date
        The day of the law.
    laws : dict
        Titles, addresses and days of reading, by the short names the rows use.
    subjects : dict
        Dated rows of each subject, as compiled.
    """

    def __init__(self, code: str, title: str, day: date, laws: dict[str, Row], subjects: dict[str, list[Row]]) -> None:
        self.code = code
        self.title = title
        self.day = day
        self._laws = laws
        self._subjects = subjects

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.code!r}, {self.day.isoformat()})"

    def covers(self, subject: str) -> bool:
        """Tell whether a subject has law on this day."""
        day = self.day.isoformat()
        return any(row["applies_from"] <= day for row in self._subjects.get(subject, ()))

    def _in_force(self, subject: str) -> list[Row]:
        """Return the rows of a subject that apply on the day, one per key, in the law's order."""
        rows = self._subjects.get(subject)
        if not rows:
            raise NoSuchSubjectError(self.code, subject)
        day = self.day.isoformat()
        latest: dict[str, Row] = {}
        for row in rows:
            if row["applies_from"] <= day:
                latest[row["key"]] = row
        if not latest:
            first = min(row["applies_from"] for row in rows)
            raise NotInForceError(self.code, subject, self.day, date.fromisoformat(first))
        return [row for row in latest.values() if not row.get("repealed")]

    def _cite(self, row: Row) -> Citation:
        law = self._laws[row["law"]]
        read_on = None if row.get("memory") else date.fromisoformat(law["read_on"])
        return Citation(
            law["title"],
            row["clause"],
            law["url"],
            date.fromisoformat(row["applies_from"]),
            read_on,
            row["confirmed"],
            row.get("ground", ""),
        )
