"""What FoodData Central answers, held against its published schema: a list of foods, or one food with its nutrients.

Nutrients come in three shapes and all are read: nested (``nutrient: {id, number, unitName}, amount``), as a search gives them
(``nutrientId, nutrientNumber, unitName, value``) and abridged (``number, unitName, amount``).

References
----------
.. [1] FoodData Central API, OpenAPI 3.0 specification, version 1.0.0, https://api.nal.usda.gov/fdc/v1/json-spec: ``SearchResult``,
   ``AbridgedFoodItem``, ``FoundationFoodItem``, ``SRLegacyFoodItem``, ``SurveyFoodItem`` (which spells ``datatype``), ``FoodNutrient``,
   ``AbridgedFoodNutrient``, ``FoodPortion``, ``NutrientConversionFactors``, ``InputFoodSurvey``.
.. [2] Replies differ from it in places: ``foodPortions`` of SR Legacy foods, ``publishedDate`` and nutrient ids in a search, and
   headings among the nutrients that have no amount.
"""

import json
import re
import unicodedata
from datetime import date
from typing import Annotated, Any, Final, NoReturn

from pydantic import AfterValidator, AliasChoices, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from labeller.bringing_in.food_data_central_settings import Trouble

DATA_TYPES: Final = ("Foundation", "SR Legacy", "Survey (FNDDS)")
_BAD_REPLY: Final = "Nothing was taken of it. Try again later, or take another food."
_LONGEST_TEXT: Final = 300


def one_line(text: str) -> str:
    """Return a stranger's text fit for a screen and a file: one line, no control or direction marks."""
    plain = "".join(
        " " if letter.isspace() else letter
        for letter in text
        if letter.isspace() or unicodedata.category(letter)[0] != "C"
    )
    return " ".join(plain.split())


def _number_as_text(value: object) -> object:
    """Return a nutrient number as text: the schema has ``303`` in one place and ``"303"`` in others."""
    return f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else value


def _day(value: object) -> object:
    """Return a day written ``2019-04-01`` or, as the API does, ``4/1/2019`` (month first)."""
    if not isinstance(value, str) or not value.strip():
        return None if value == "" else value
    found = re.fullmatch(r"(\d{1,2})/(\d{1,2})/(\d{4})", value.strip())
    try:
        return date(int(found[3]), int(found[1]), int(found[2])) if found else date.fromisoformat(value.strip()[:10])
    except ValueError:
        return value


def _empty(value: object) -> object:
    return [] if value is None else value


def _description_of(value: object) -> object:
    """Return a category's words, whether it is a text or an entry with a description."""
    if isinstance(value, dict):
        return value.get("description") or value.get("wweiaFoodCategoryDescription") or ""
    return value


_Text = Annotated[str, AfterValidator(one_line)]
_Amount = Annotated[float, Field(strict=True, allow_inf_nan=False)]
_NumberText = Annotated[str | None, BeforeValidator(_number_as_text)]
_Day = Annotated[date | None, BeforeValidator(_day)]
_Category = Annotated[_Text | None, BeforeValidator(_description_of)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="ignore")


class Nutrient(_Part):
    """What is measured: its id and number, its name, its unit."""

    id: Annotated[int | None, Field(strict=True)] = None
    number: _NumberText = None
    name: _Text | None = None
    unit: Annotated[_Text | None, Field(alias="unitName")] = None


class FoodNutrient(_Part):
    """One nutrient of 100 g of a food, in any of the three shapes."""

    nested: Annotated[Nutrient | None, Field(alias="nutrient")] = None
    amount: _Amount | None = None
    value: _Amount | None = None
    nutrient_id: Annotated[int | None, Field(alias="nutrientId", strict=True)] = None
    flat_number: Annotated[_NumberText, Field(validation_alias=AliasChoices("nutrientNumber", "number"))] = None
    flat_name: Annotated[_Text | None, Field(validation_alias=AliasChoices("nutrientName", "name"))] = None
    flat_unit: Annotated[_Text | None, Field(alias="unitName")] = None

    @property
    def id(self) -> int | None:
        """The id, None where only the number is given."""
        return self.nested.id if self.nested is not None else self.nutrient_id

    @property
    def number(self) -> str | None:
        """The number of the nutrient, as ``203``."""
        return self.nested.number if self.nested is not None else self.flat_number

    @property
    def name(self) -> str:
        """Its name, '' where none is given."""
        return (self.nested.name if self.nested is not None else self.flat_name) or ""

    @property
    def unit(self) -> str:
        """Its unit as the reply writes it, '' where none is given."""
        return (self.nested.unit if self.nested is not None else self.flat_unit) or ""

    @property
    def figure(self) -> float | None:
        """How much there is in 100 g, in `unit`; None where it is not given, which is not 0."""
        return self.amount if self.amount is not None else self.value


class MeasureUnit(_Part):
    """The unit of a portion; ``undetermined`` where the words stand elsewhere."""

    name: _Text | None = None


class FoodPortion(_Part):
    """A household measure of a food and what it weighs. [g]"""

    amount: _Amount | None = None
    gram_weight: Annotated[_Amount | None, Field(alias="gramWeight")] = None
    modifier: _Text | None = None
    description: Annotated[_Text | None, Field(alias="portionDescription")] = None
    unit: Annotated[MeasureUnit | None, Field(alias="measureUnit")] = None


class ConversionFactor(_Part):
    """A factor of the food: ``.ProteinConversionFactor`` has ``value``, protein over nitrogen."""

    type: _Text | None = None
    value: _Amount | None = None


class InputFood(_Part):
    """What the survey's recipe of a food takes."""

    ingredient: Annotated[_Text | None, Field(alias="ingredientDescription")] = None
    food: Annotated[_Text | None, Field(alias="foodDescription")] = None


class _Named(_Part):
    fdc_id: Annotated[int, Field(alias="fdcId", strict=True, gt=0)]
    data_type: Annotated[_Text | None, Field(validation_alias=AliasChoices("dataType", "datatype"))] = None
    description: Annotated[_Text, Field(max_length=5000)]
    published: Annotated[_Day, Field(validation_alias=AliasChoices("publicationDate", "publishedDate"))] = None
    ndb_number: Annotated[_NumberText, Field(alias="ndbNumber")] = None
    category: Annotated[_Category, Field(validation_alias=AliasChoices("foodCategory", "wweiaFoodCategory"))] = None


class FoundFood(_Named):
    """One food of a search."""


class Food(_Named):
    """One food with all that the tables have of it, per 100 g of its edible part."""

    nutrients: Annotated[tuple[FoodNutrient, ...], BeforeValidator(_empty), Field(alias="foodNutrients")] = ()
    portions: Annotated[tuple[FoodPortion, ...], BeforeValidator(_empty), Field(alias="foodPortions")] = ()
    factors: Annotated[
        tuple[ConversionFactor, ...], BeforeValidator(_empty), Field(alias="nutrientConversionFactors")
    ] = ()
    inputs: Annotated[tuple[InputFood, ...], BeforeValidator(_empty), Field(alias="inputFoods")] = ()

    @property
    def is_recipe(self) -> bool:
        """Tell whether it is a food of the survey: a recipe as people eat it, not what a kitchen buys in."""
        return self.data_type == "Survey (FNDDS)"


class FoundFoods(_Part):
    """The reply to a search."""

    total: Annotated[int, Field(alias="totalHits", strict=True, ge=0)]
    foods: tuple[FoundFood, ...]


def parse_found(body: bytes) -> FoundFoods | Trouble:
    """Return the foods of a search; branded foods and what has no name are left out."""
    data = _parse_json(body)
    if isinstance(data, Trouble):
        return data
    try:
        found = FoundFoods.model_validate(data)
    except ValidationError as reason:
        return _in_words(reason)
    kept = tuple(one for one in found.foods if one.data_type in DATA_TYPES and one.description)
    return found.model_copy(update={"foods": kept})


def parse_food(body: bytes, fdc_id: int) -> Food | Trouble:
    """Return the food asked for, or why it is not taken."""
    data = _parse_json(body)
    if isinstance(data, Trouble):
        return data
    try:
        food = Food.model_validate(data)
    except ValidationError as reason:
        return _in_words(reason)
    if food.fdc_id != fdc_id:
        return Trouble(f"We asked for food {fdc_id} and were given {food.fdc_id}.", _BAD_REPLY)
    if not food.description or len(food.description) > _LONGEST_TEXT:
        return Trouble(f"Food {fdc_id} has no name that can be used.", _BAD_REPLY)
    return food


def refusal_of(food: Food) -> Trouble | None:
    """Return why a food is not brought in: branded foods are read from their pack, other kinds are no foods of a table."""
    if food.data_type in DATA_TYPES:
        return None
    if food.data_type == "Branded":
        return Trouble(
            f"Food {food.fdc_id} is a branded product: makers change what is in it, and an old statement of theirs proves nothing.",
            "Take it from the pack in your store: labeller ingredient --from-pack --into BOOK",
        )
    return Trouble(
        f"Food {food.fdc_id} is of the kind '{(food.data_type or 'not given')[:60]}', which is not taken.",
        f"Take one of the kinds {', '.join(DATA_TYPES)}: 'labeller foods WORDS --online' lists only those.",
    )


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(name)


def _parse_json(body: bytes) -> Any:
    try:
        data = json.loads(body.decode("utf-8"), parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        return Trouble("The answer is not JSON as it should be, or broke off.", _BAD_REPLY)
    if not isinstance(data, dict):
        return Trouble("The answer is JSON, but holds no foods.", _BAD_REPLY)
    return data


_EXPECTED: Final[tuple[tuple[str, str], ...]] = (
    ("float", "a number"),
    ("finite", "a number"),
    ("int", "a whole number"),
    ("greater", "a number above 0"),
    ("string", "a text"),
    ("date", "a day"),
    ("tuple", "a list"),
    ("model", "a group of fields"),
    ("dict", "a group of fields"),
)


def _in_words(reason: ValidationError) -> Trouble:
    """Say in plain words which field of the answer is not as published."""
    first: Any = reason.errors(include_url=False, include_context=False)[0]
    where = ".".join(str(one) for one in first["loc"])
    kind: str = first["type"]
    if kind == "missing":
        return Trouble(f"The answer lacks '{where}'.", _BAD_REPLY)
    shown = one_line(json.dumps(first["input"], ensure_ascii=False, default=str))[:60]
    expected = next((words for begin, words in _EXPECTED if kind.startswith(begin)), "what the schema says")
    return Trouble(f"In the answer '{where}' is {shown}, which is not {expected}.", _BAD_REPLY)
