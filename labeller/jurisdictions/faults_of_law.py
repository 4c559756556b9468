"""What can go wrong when law is asked for: no such jurisdiction, no such subject, no law yet on that day."""

from datetime import date


class NotInForceError(LookupError):
    """Law is asked for on a day before its first dated value.

    Attributes
    ----------
    jurisdiction, subject : str
        Whose law, and which part of it.
    day, first : date
        The day asked for, and the first day the data cover.
    """

    def __init__(self, jurisdiction: str, subject: str, day: date, first: date) -> None:
        self.jurisdiction = jurisdiction
        self.subject = subject
        self.day = day
        self.first = first
        super().__init__(
            f"{jurisdiction}: {subject}: no law is on file for {day.isoformat()}; the first day on file is "
            f"{first.isoformat()}. Ask for that day or a later one."
        )


class NoSuchSubjectError(LookupError):
    """A jurisdiction's data do not hold a subject at all."""

    def __init__(self, jurisdiction: str, subject: str) -> None:
        self.jurisdiction = jurisdiction
        self.subject = subject
        super().__init__(
            f"{jurisdiction}: there is no '{subject}' among its data. Write {jurisdiction}/{subject}.yaml and compile it."
        )


class UnknownJurisdictionError(LookupError):
    """No jurisdiction of that name is on file.

    Attributes
    ----------
    code : str
        As the user wrote it.
    known, nearest : tuple of str
        All that are on file, and those most like it.
    """

    def __init__(self, code: str, known: tuple[str, ...], nearest: tuple[str, ...]) -> None:
        self.code = code
        self.known = known
        self.nearest = nearest
        meant = f"Write '{nearest[0]}'" if nearest else "Write one of them"
        super().__init__(f"'{code}' is not a jurisdiction on file ({', '.join(known)}). {meant}.")
