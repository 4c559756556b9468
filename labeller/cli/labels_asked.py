"""What ``labeller labels`` is asked for, read from the command line; whatever cannot be taken ends with the mend."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from labeller.cli.opening import refuse_usage
from labeller.cli.saying import known_language
from labeller.declarations.paper_sale import SALE_OFFERS
from labeller.foundations.quantities import parse_number
from labeller.foundations.units import MASS_G
from labeller.printing.label_stock import LabelStock
from labeller.printing.sheet_words import SheetWordsError, check_copies

_WEIGHT = re.compile(r"\s*(\d[\d.,/ ]*?)\s*([A-Za-z]+)\s*")


@dataclass(frozen=True, slots=True)
class LabelsAsked:
    """What was asked for on the command line, read."""

    purpose: str
    of: list[str]
    opened_goods: list[str]
    menu: str | None
    everything: bool
    made: date
    part_made: dict[str, date]
    batch: str
    copies: int
    offer: str
    net_g: float | None
    face_cm2: float | None
    incomplete: bool
    nutrition: bool
    language: str | None


def read_asked(
    *,
    purpose: str,
    of: list[str],
    opened_goods: list[str],
    menu: str | None,
    everything: bool,
    made: str | None,
    part_made: list[str],
    batch: str,
    copies: int,
    offer: str,
    net: str | None,
    face: str | None,
    incomplete: bool,
    exempt: bool,
    language: str | None,
    on: date,
) -> LabelsAsked:
    """Read what was asked for.

    Raises
    ------
    SystemExit
        With code 2 where something cannot be taken, with the mend.
    """
    if purpose not in ("container", "sale"):
        raise refuse_usage(f"--for: '{purpose}' is no kind of label. Write container or sale.")
    if of and (everything or menu is not None):
        raise refuse_usage("--of: names alone, --all or --menu choose what is labelled. Write only one of them.")
    for flag, given in (
        ("--opened", bool(opened_goods)),
        ("--batch", bool(batch)),
        ("--language", language is not None),
    ):
        if given and purpose == "sale":
            raise refuse_usage(f"{flag}: that stands on container labels. Leave it away, or write --for container.")
    for flag, given in (
        ("--net", net is not None),
        ("--face", face is not None),
        ("--incomplete", incomplete),
        ("--no-nutrition", exempt),
    ):
        if given and purpose == "container":
            raise refuse_usage(f"{flag}: that is for labels of food sold packed. Add --for sale.")
    if purpose == "sale" and offer not in SALE_OFFERS:
        raise refuse_usage(f"--offer: '{offer}' is no way of selling. Write {', '.join(SALE_OFFERS)}.")
    try:
        check_copies(copies)
    except SheetWordsError as reason:
        raise refuse_usage(str(reason)) from None
    return LabelsAsked(
        purpose,
        of,
        opened_goods,
        menu,
        everything,
        _day(made, "--made", "2026-11-25") if made is not None else on,
        dict(_part_day(one) for one in part_made),
        " ".join(batch.split()),
        copies,
        offer,
        _grams(net) if net is not None else None,
        _area(face) if face is not None else None,
        incomplete,
        not exempt,
        known_language(language),
    )


def read_stock(read: Callable[[], LabelStock]) -> LabelStock:
    """Return the labels to print on, or end with wrong usage."""
    try:
        return read()
    except SheetWordsError as reason:
        raise refuse_usage(str(reason)) from None


def _day(text: str, flag: str, example: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise refuse_usage(f"{flag}: '{text}' is not a day. Write it as {example}.") from None


def _part_day(text: str) -> tuple[str, date]:
    name, sign, day = text.rpartition("=")
    if not sign or not name.strip():
        raise refuse_usage(
            f"--part-made: '{text}' is not a part and its day. Write it as \"vanilla custard=2026-11-24\"."
        )
    return name.strip(), _day(day, "--part-made", "vanilla custard=2026-11-24")


def _grams(text: str) -> float:
    found = _WEIGHT.fullmatch(text)
    number = parse_number(found[1]) if found is not None else None
    unit = MASS_G.get(found[2].lower()) if found is not None else None
    if number is None or unit is None or not number > 0.0:
        raise refuse_usage(
            f"--net: '{text}' is not a weight. Write what is in one pack by weight, such as \"180 g\"; where it pours the label gives the volume."
        )
    return number * unit


def _area(text: str) -> float:
    number = parse_number(text.lower().removesuffix("cm2").strip())
    if number is None or not number > 0.0:
        raise refuse_usage(
            f"--face: '{text}' is not an area. Write the largest face of the pack in square centimetres, such as 60."
        )
    return number
