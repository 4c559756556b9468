"""Read recipes in schema.org JSON-LD, from .json, .jsonld or the scripts of a saved page.

References
----------
.. [1] schema.org, Recipe: https://schema.org/Recipe (name, recipeIngredient, recipeYield, recipeInstructions); HowToStep, HowToSection and
   ItemList with itemListElement: https://schema.org/HowToStep, https://schema.org/HowToSection. ``ingredients`` is superseded by recipeIngredient.
.. [2] JSON-LD 1.1, W3C Recommendation 16 July 2020: @graph, @type, and the script element of type application/ld+json (section 7).
"""

import html
import json
import re
from html.parser import HTMLParser
from typing import Any

from labeller.bringing_in.cells import Cell, Place, one_line, tidy_text
from labeller.bringing_in.drafts import Draft, RawLine
from labeller.bringing_in.finishing import finish_draft
from labeller.bringing_in.header_rows import Pair, is_section_text, section_name, take_pair
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.written_amounts import Commas, commas_of

DEEPEST = 60
MOST_RECIPES = 5000
_TAGS = re.compile(r"<[^<>]{0,400}>")


class _Scripts(HTMLParser):
    """Collects the JSON-LD scripts of a page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.inside = False
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        kinds = [(value or "").split(";")[0].strip().casefold() for key, value in attrs if key == "type"]
        if tag == "script" and kinds == ["application/ld+json"]:
            self.inside = True
            self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "script":
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.found[-1] += data


def scripts_of_page(text: str) -> list[str]:
    """Return the JSON-LD scripts of a saved page."""
    reader = _Scripts()
    reader.feed(text)
    reader.close()
    return reader.found


def read_recipe_json(
    text: str, name: str, words: KitchenWords, kind: Kind, taken: Taken, *, page: bool = False
) -> None:
    """Read every schema.org Recipe of a file, wherever in it it stands."""
    documents = scripts_of_page(text) if page else [text]
    place = Place(name)
    found: list[dict[str, Any]] = []
    for document in documents:
        try:
            loaded = json.loads(
                document.strip().removeprefix("<!--").removesuffix("-->").removeprefix("<![CDATA[").removesuffix("]]>")
            )
        except (ValueError, RecursionError) as reason:
            line = getattr(reason, "lineno", 0)
            taken.faults.append(
                Place(name, "", 0 if page else line).fault(
                    "this is not JSON as JSON-LD is written.", "Save the page or the file again, whole."
                )
            )
            continue
        _collect(loaded, found, 0)
    if not found:
        if not taken.faults or page:
            taken.faults.append(
                place.fault(
                    "no schema.org Recipe is in this file.",
                    'Give a file with \'"@type": "Recipe"\', or write the recipe as text.',
                )
            )
        return
    for number, recipe in enumerate(found[:MOST_RECIPES], start=1):
        _read_recipe(recipe, Place(name, f"recipe {number}" if len(found) > 1 else ""), words, kind, taken)


def _collect(node: Any, found: list[dict[str, Any]], depth: int) -> None:
    if depth > DEEPEST:
        return
    if isinstance(node, list):
        for item in node:
            _collect(item, found, depth + 1)
    elif isinstance(node, dict):
        kinds = node.get("@type", node.get("type", ""))
        names = [
            re.sub(r"^(?:https?://(?:www\.)?schema\.org/|schema:)", "", one)
            for one in (kinds if isinstance(kinds, list) else [kinds])
            if isinstance(one, str)
        ]
        if "Recipe" in names:
            found.append(
                {
                    re.sub(r"^(?:https?://(?:www\.)?schema\.org/|schema:)", "", key): value
                    for key, value in node.items()
                    if isinstance(key, str)
                }
            )
            return
        for value in node.values():
            _collect(value, found, depth + 1)


def _text(value: Any) -> str:
    """Return plain text of a value: tags and character references of HTML taken out."""
    if isinstance(value, dict):
        value = value.get("@value", value.get("text", value.get("name", "")))
    if isinstance(value, list):
        value = value[0] if value else ""
        return _text(value) if not isinstance(value, list) else ""
    if isinstance(value, bool) or value is None:
        return ""
    if isinstance(value, (int, float)):
        return f"{value:g}"
    return tidy_text(
        html.unescape(_TAGS.sub("\n", re.sub(r"</?(?:b|i|em|strong|span|a)\b[^<>]{0,400}>", "", str(value)[:20_000])))
    )


def _texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [line for line in _text(value).split("\n") if line.strip()]
    if isinstance(value, list):
        return [
            text
            for item in value
            for text in ([_text(item)] if not isinstance(item, list) else _texts(item))
            if text.strip()
        ]
    return [text] if (text := _text(value)) else []


def _read_recipe(recipe: dict[str, Any], place: Place, words: KitchenWords, kind: Kind, taken: Taken) -> None:
    draft = Draft(one_line(_text(recipe.get("name"))), place, kind, name_given=True)
    if not draft.name:
        draft.faults.append(place.fault("a recipe of this file has no 'name'.", "Give it one."))
    lines = _texts(recipe.get("recipeIngredient", recipe.get("ingredients")))
    commas: Commas = commas_of(lines)
    for number, text in enumerate(lines, start=1):
        own = Place(place.file, f"{place.sheet + ', ' if place.sheet else ''}recipeIngredient {number}")
        if is_section_text(text):
            draft.start_section(section_name(text), own, plain=True)
        else:
            draft.add(RawLine(own, own, Cell(one_line(text))))
    others = _texts(recipe.get("ingredients")) if "recipeIngredient" in recipe else []
    more = [one for one in others if one_line(one) not in {one_line(text) for text in lines}]
    if lines and more:
        problem = f"'{one_line(more[0])[:80]}' stands in 'ingredients' and not in 'recipeIngredient'."
        draft.faults.append(place.fault(problem, "Give one list, whole."))
    elif not lines:
        draft.faults.append(
            place.fault(f"'{draft.name}' has no 'recipeIngredient'.", "Give its ingredients, one text each.")
        )
    _take_yield(recipe.get("recipeYield", recipe.get("yield")), draft, place, taken)
    _take_instructions(recipe.get("recipeInstructions"), draft, 0)
    for key in ("nutrition", "suitableForDiet"):
        if recipe.get(key):
            taken.leave(place, key, "is not taken: figures and claims are worked out from the ingredients.")
    finish_draft(draft, words, commas, taken)


def _take_yield(value: Any, draft: Draft, place: Place, taken: Taken) -> None:
    if isinstance(value, dict):  # QuantitativeValue
        unit = _text(value.get("unitText", value.get("unitCode", "")))
        amount = _text(value.get("value"))
        texts = [f"{amount} {unit}".strip()] if amount else []
    else:
        texts = _texts(value) if isinstance(value, list) else [_text(value)] if value not in (None, "") else []
    if not texts:
        return
    text = one_line(max(texts, key=len))
    bare = re.sub(r"^(?:serves|makes|yields?|about|for)[:\s]+", "", text, flags=re.IGNORECASE)
    served = re.fullmatch(
        r"(?P<count>\d+(?:\s*(?:-|–|to)\s*\d+)?)\s*(?:servings?|portions?|people|persons?|portionen|personen|personnes|raciones|porzioni)?\.?",
        bare,
        re.IGNORECASE,
    )
    if served:
        take_pair(draft, Pair("serves", Cell(served["count"]), place, 0, "", "recipeYield"), taken)
    else:
        take_pair(draft, Pair("yield", Cell(bare), place, 0, "", "recipeYield"), taken)


def _take_instructions(value: Any, draft: Draft, depth: int) -> None:
    if depth > 8 or value is None:
        return
    if isinstance(value, list):
        for item in value:
            _take_instructions(item, draft, depth + 1)
    elif isinstance(value, dict):
        inner = value.get("itemListElement", value.get("steps", value.get("item")))
        text = _text({"text": value.get("text", "")}) if value.get("text") else ""
        if inner is not None and not text:
            _take_instructions(inner, draft, depth + 1)
        elif text or value.get("name"):
            draft.add_method(text or _text(value.get("name")))
    else:
        draft.add_method(_text(value))
