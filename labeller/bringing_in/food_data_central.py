"""FoodData Central, the open food tables of the US Department of Agriculture: search, and fetch one food into a book.

Foundation foods, SR Legacy and the foods of the survey (FNDDS) are taken; branded foods are not: they carry makers' names, and a maker's
old statement proves nothing about what is in the store. The data are in the public domain (CC0 1.0).
"""

import re
from datetime import date
from pathlib import Path
from typing import Final

from labeller.bringing_in.food_data_central_asking import Heard, ask
from labeller.bringing_in.food_data_central_replies import (
    DATA_TYPES,
    Food,
    FoundFoods,
    parse_food,
    parse_found,
    refusal_of,
)
from labeller.bringing_in.food_data_central_settings import Settings, Trouble

MOST_FOUND: Final = 25
_LONGEST_QUESTION: Final = 200
_ID: Final = re.compile(r"(?:fdc:)?\s*0*([1-9]\d{0,9})", re.IGNORECASE)
# Signs that the search of the tables takes for orders of its own, and that no name of a food needs.
_ORDERS: Final = re.compile(r"[^\w\s%',.&-]|(?<!\w)-")


def search_online(
    settings: Settings, words: str, *, cache: Path | None, today: date, refresh: bool = False
) -> tuple[FoundFoods, Heard] | Trouble:
    """Return the foods of the tables that fit some words, best first, and where the reply came from.

    Parameters
    ----------
    settings : Settings
        The address and the key.
    words : str
        What to look for; nothing else is sent.
    cache : Path, optional
        The folder of the user's cache, None for none.
    today : date
        The day of the run.
    refresh : bool
        Ask even where the cache is fresh.
    """
    question = " ".join(_ORDERS.sub(" ", words).split())
    if not any(letter.isalnum() for letter in question) or len(question) > _LONGEST_QUESTION:
        return Trouble(
            "There are no words to look for.", "Write what the food is called, in English.", wrong_call=True
        )
    asked = {"query": question, "dataType": ",".join(DATA_TYPES), "pageSize": str(MOST_FOUND), "pageNumber": "1"}

    def check(body: bytes) -> Trouble | None:
        found = parse_found(body)
        return found if isinstance(found, Trouble) else None

    heard = ask(settings, "/foods/search", asked, check, cache=cache, today=today, refresh=refresh)
    if isinstance(heard, Trouble):
        return heard
    found = parse_found(heard.body)
    return found if isinstance(found, Trouble) else (found, heard)


def parse_id(text: str) -> int | None:
    """Return the number of a food written as ``171265`` or ``fdc:171265``, None where it is none."""
    found = _ID.fullmatch(text.strip())
    return int(found[1]) if found else None


def fetch_food(
    settings: Settings, fdc_id: int, *, cache: Path | None, today: date, refresh: bool = False
) -> tuple[Food, Heard] | Trouble:
    """Return one food with its nutrients and measures, and where the reply came from; branded foods are refused.

    Parameters
    ----------
    settings : Settings
        The address and the key.
    fdc_id : int
        Its number in the tables; nothing else is sent.
    cache : Path, optional
        The folder of the user's cache, None for none.
    today : date
        The day of the run.
    refresh : bool
        Ask even where the cache is fresh.
    """

    def check(body: bytes) -> Trouble | None:
        food = parse_food(body, fdc_id)
        return food if isinstance(food, Trouble) else refusal_of(food)

    heard = ask(settings, f"/food/{fdc_id}", {}, check, cache=cache, today=today, refresh=refresh)
    if isinstance(heard, Trouble):
        return heard
    food = parse_food(heard.body, fdc_id)
    return food if isinstance(food, Trouble) else (food, heard)
