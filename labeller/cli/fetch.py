"""``labeller fetch ID --into BOOK``: one food of FoodData Central into a book, with where its figures come from."""

import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from labeller.book.fields import LONGEST_NAME
from labeller.book.files import BookFiles
from labeller.book.names_index import load_shelf
from labeller.book.raw_entries import RawEntry
from labeller.book.reading import read_book, read_files
from labeller.bringing_in.entry_files import entry_lines
from labeller.bringing_in.food_data_central import fetch_food, parse_id
from labeller.bringing_in.food_data_central_entries import (
    FETCHED_FILE,
    Fetched,
    entry_pairs,
    new_text,
    recipe_of,
    same_row,
)
from labeller.bringing_in.food_data_central_figures import work_out_figures
from labeller.bringing_in.food_data_central_measures import read_measures
from labeller.bringing_in.food_data_central_settings import Trouble, read_settings
from labeller.bringing_in.packs import faults_of_entry, standing_entry
from labeller.cli.answer_cache import cache_folder
from labeller.cli.foods import tell_trouble
from labeller.cli.opening import law_of, read_and_work_out, refuse_usage, say, today
from labeller.cli.writing import write_whole
from labeller.foundations.names import exact_key, name_key
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import known_jurisdictions

_DONE: Final = 0


@dataclass(frozen=True, slots=True)
class _Place:
    """The file the entry goes into, and the entry whose place it takes, if any."""

    path: str
    standing: RawEntry | None


def fetch(wanted: str, into: Path, name: str, *, replace: bool, refresh: bool, json_out: bool) -> int:
    """Write a fetched food as an ingredient and return the exit code.

    Parameters
    ----------
    wanted : str
        The number of the food: ``171265`` or ``fdc:171265``.
    into : Path
        The folder of the book.
    name : str
        What the recipes call it; the name in the tables where empty.
    replace : bool
        Put the figures into the entry of that name; what else it says stays.
    refresh : bool
        Ask even where the cache is fresh.
    json_out : bool
        Print one JSON document instead of text.

    Returns
    -------
    int
        0 written; 1 the answer or the food cannot be taken, the line failed, or the name is taken; 2 the call or the key is wrong.
    """
    fdc_id = parse_id(wanted)
    if fdc_id is None:
        raise refuse_usage(f"'{wanted}' is not the number of a food. 'labeller foods WORDS --online' finds numbers.")
    if not into.is_dir():
        raise refuse_usage(f"--into: '{into}' is not a folder. Write the folder of a kitchen book.")
    name = " ".join(name.split())
    if len(name) > LONGEST_NAME:
        raise refuse_usage(f"--as: the name is longer than {LONGEST_NAME} letters. Write what the recipes call it.")
    law = _book_law(into)
    if name:
        early = _place(into, name, replace=replace)
        if isinstance(early, Trouble):
            return tell_trouble("fetch", early, json_out=json_out)
    settings = read_settings(os.environ)
    if isinstance(settings, Trouble):
        return tell_trouble("fetch", settings, json_out=json_out)
    answered = fetch_food(settings, fdc_id, cache=cache_folder(), today=today(), refresh=refresh)
    if isinstance(answered, Trouble):
        return tell_trouble("fetch", answered, json_out=json_out)
    food, heard = answered
    worked = work_out_figures(food, law.definitions)
    if isinstance(worked, Trouble):
        return tell_trouble("fetch", worked, json_out=json_out)
    measures = read_measures(food.portions, law.code)
    if isinstance(measures, Trouble):
        return tell_trouble("fetch", measures, json_out=json_out)
    fetched = Fetched(name or food.description, food, worked, measures, heard.url, heard.fetched_on)
    written = _write(into, fetched, law, replace=replace)
    if isinstance(written, Trouble):
        return tell_trouble("fetch", written, json_out=json_out)
    path, kept = written
    age = heard.age_in_words(today())
    if json_out:
        _print_json(fetched, path, kept, from_cache=heard.from_cache)
        return _DONE
    print(entry_lines(entry_pairs(fetched)), end="")
    for words in (age, heard.left_in_words()):
        if words:
            say(words)
    if not name and "," in fetched.name:
        say("Recipes have to say the whole name; --as gives a shorter one.")
    _tell(fetched, kept)
    say(f"Written to {path}.")
    return _DONE


def _book_law(into: Path) -> LawInForce:
    book, _ = read_book(read_files(into), jurisdictions=known_jurisdictions(), row_exists=lambda _: True)
    if book is None or not book.kitchen.jurisdiction:
        raise refuse_usage(
            f"--into: '{into}' names no jurisdiction. Begin it with '- kitchen: ...' and 'jurisdiction: gb'."
        )
    return law_of(book.kitchen.jurisdiction, today(), flag="jurisdiction")


def _place(into: Path, name: str, *, replace: bool) -> _Place | Trouble:
    """Return where the entry goes, or why it cannot go there."""
    files = read_files(into)
    standing = standing_entry(files, name)
    if standing is not None:
        where = f"{standing.path}:{standing.line}"
        if standing.kind != "ingredient":
            return Trouble(f"'{name}' is a {standing.kind} of this book ({where}).", "Give another name with --as.")
        if not replace:
            return Trouble(
                f"'{name}' stands already in {where}.",
                "Add --replace to put these figures into it, or give another name with --as.",
            )
        return _Place(standing.path, standing)
    book, _ = read_book(files, jurisdictions=known_jurisdictions(), row_exists=lambda _: True)
    for one in book.ingredients.values() if book is not None else ():
        if not one.from_shelf and any(name_key(also) == name_key(name) for also in one.also):
            return Trouble(f"'{name}' is another name of '{one.name}' in this book.", "Give another name with --as.")
    return _Place(FETCHED_FILE, None)


def _write(into: Path, fetched: Fetched, law: LawInForce, *, replace: bool) -> tuple[str, tuple[str, ...]] | Trouble:
    """Write the entry, unless it or the book with it would have a fault it has not now; return the file and the keys kept."""
    place = _place(into, fetched.name, replace=replace)
    if isinstance(place, Trouble):
        return place
    faults = faults_of_entry(entry_lines(entry_pairs(fetched)), fetched.name, law)
    if faults:
        return Trouble(
            f"This cannot be an entry: {faults[0].problem}", "Give another name with --as, or take another food."
        )
    target = into / place.path
    try:
        before = target.read_text(encoding="utf-8-sig") if target.exists() else ""
    except (OSError, UnicodeDecodeError):
        return Trouble(f"'{place.path}' cannot be read as UTF-8 text.", "Mend it, or move it away.")
    changed = new_text(before, place.path, fetched, place.standing)
    if isinstance(changed, Trouble):
        return changed
    text, kept = changed
    files = read_files(into)
    after = BookFiles(files.folder, {**files.raw, place.path: text.encode("utf-8")})
    known = {(one.field, one.problem) for one in read_and_work_out(into, files)[2].faults}
    new = [one for one in read_and_work_out(into, after)[2].faults if (one.field, one.problem) not in known]
    if new:
        return Trouble(
            f"With it the book would have a new fault: {new[0].as_text()}",
            "Give another name with --as, or take another food.",
        )
    write_whole(target, text)
    return place.path, kept


def _tell(fetched: Fetched, kept: tuple[str, ...]) -> None:
    """Say what is missing, and that nothing fetched says anything about allergens."""
    if fetched.worked.missing:
        say(f"The table does not give {', '.join(fetched.worked.missing)}: missing in the book too, not 0.")
    if kept:
        say(f"Kept as it was: {', '.join(kept)}.")
    inputs = recipe_of(fetched.food)
    if fetched.food.is_recipe:
        held = f" It takes: {'; '.join(inputs)}." if inputs else ""
        say(f"This is a recipe of the survey, as people eat it, not what you buy.{held}")
    if "spec" in kept or "composition" in kept or "shelf" in kept:
        return
    say(f"Figures say nothing of allergens: every group of '{fetched.name}' is not known until a person says so.")
    say("    Add the supplier's 'spec', or 'composition' where it is a plain commodity of the reference table.")
    row = same_row(fetched.food)
    if row is not None:
        say(f"    The same number in that table is {row[0]}, '{row[1]}': look whether it is the same food.")
    good = load_shelf().get(exact_key(fetched.name)) or load_shelf().get(name_key(fetched.name))
    if good is not None:
        say(
            f"    '{good.name}' of the shelf knows its allergens and now gives way to this entry: 'shelf: {good.name}' takes them over."
        )


def _print_json(fetched: Fetched, path: str, kept: tuple[str, ...], *, from_cache: bool) -> None:
    food, measures = fetched.food, fetched.measures
    row = same_row(food)
    print(
        json.dumps(
            {
                "name": fetched.name,
                "food": f"fdc:{food.fdc_id}",
                "description": food.description,
                "data_type": food.data_type,
                "published": food.published.isoformat() if food.published is not None else None,
                "fetched_on": fetched.fetched_on.isoformat(),
                "from_cache": from_cache,
                "per_100_g": dict(fetched.worked.figures),
                "missing": list(fetched.worked.missing),
                "notes": list(fetched.worked.notes),
                "piece_g": measures.piece_g,
                "density_g_per_ml": measures.density_g_per_ml,
                "measures_g": dict(measures.measures_g),
                "provenance": fetched.provenance,
                "recipe_takes": list(recipe_of(food)),
                "same_row": {"food": row[0], "name": row[1]} if row is not None else None,
                "allergens": "kept" if {"spec", "composition", "shelf"} & set(kept) else "unconfirmed",
                "kept": list(kept),
                "written": path,
                "entry": entry_lines(entry_pairs(fetched)),
            },
            ensure_ascii=False,
            indent=1,
        )
    )
