"""Which keys a part of a book has, in the order and the spelling of the house form: that of the models."""

from functools import cache
from typing import Final, Literal

from labeller.bringing_in.book_methods import Amount, Written
from labeller.bringing_in.book_models import (
    Dish,
    Equipment,
    Given,
    Ingredient,
    Kitchen,
    Menu,
    Per100g,
    Preparation,
    Spec,
)

Role = Literal[
    "entries", "kitchen", "ingredient", "preparation", "dish", "menu", "spec", "per_100_g", "equipment", "given", "amount", "amounts",
    "parts", "method", "",
]  # fmt: skip

_MODELS: Final[dict[Role, type[Written]]] = {
    "kitchen": Kitchen, "ingredient": Ingredient, "preparation": Preparation, "dish": Dish, "menu": Menu, "spec": Spec,
    "per_100_g": Per100g, "equipment": Equipment, "given": Given, "amount": Amount,
}  # fmt: skip
_KINDS: Final[dict[str, Role]] = {
    "kitchen": "kitchen", "ingredient": "ingredient", "preparation": "preparation", "dish": "dish", "menu": "menu",
}  # fmt: skip
_INSIDE: Final[dict[tuple[Role, str], Role]] = {
    ("kitchen", "shared_equipment"): "equipment",
    ("ingredient", "spec"): "spec",
    ("ingredient", "per_100_g"): "per_100_g",
    ("preparation", "takes"): "amounts",
    ("preparation", "gives"): "parts",
    ("preparation", "method"): "method",
    ("dish", "plate"): "amounts",
    ("amount", "swap"): "amounts",
}


@cache
def keys_of(role: Role) -> tuple[str, ...]:
    """Return the keys of a part of a book in the order of the house form; none where a cook chooses the keys."""
    model = _MODELS.get(role)
    return tuple(part.alias or name for name, part in model.model_fields.items()) if model else ()


def house_spelling(role: Role, key: str) -> str:
    """Return a key as the house spells it; a key nobody knows stays as it is written."""
    plain = " ".join(key.replace("_", " ").split()).lower().replace(" ", "_")
    return plain if plain in keys_of(role) else key


def role_inside(role: Role, key: str) -> Role:
    """Return what stands behind a key of a part of a book."""
    return "given" if role == "parts" else _INSIDE.get((role, key), "")


def role_of_item(role: Role, first_key: str, keys: tuple[str, ...]) -> Role:
    """Return what a map with these keys is, in a list or alone: an entry by its first key, an amount where it says 'take'."""
    if role == "entries":
        return _KINDS.get(first_key.strip().lower(), "")
    if role == "amounts":
        return "amount" if any(key.strip().lower() == "take" for key in keys) else ""
    return role
