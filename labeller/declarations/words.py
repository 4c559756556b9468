"""Words people read and hear: statuses, group names with examples, cautions. Whole sentences, no abbreviations."""

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.jurisdictions.terms import AllergenGroup

STATUS_ON_PAPER = {
    CONTAINS: "Contains",
    MAY_CONTAIN: "May contain",
    UNCONFIRMED: "Not known: ask the kitchen",
    NONE_DECLARED: "Not an ingredient",
}

GROUP_NAMES = {
    "gluten": "Cereals containing gluten",
    "wheat": "Wheat",
    "crustaceans": "Crustaceans (prawn, crab)",
    "egg": "Egg",
    "fish": "Fish",
    "peanut": "Peanut",
    "soya": "Soya",
    "milk": "Milk",
    "nuts": "Nuts",
    "celery": "Celery",
    "mustard": "Mustard",
    "sesame": "Sesame",
    "sulphites": "Sulphites (wine, dried fruit)",
    "lupin": "Lupin",
    "molluscs": "Molluscs (mussel, squid)",
}

ESTIMATE = "Worked out from recipes and suppliers' papers: an estimate, not an analysis."
CROSS_CONTACT = "Made in a kitchen where all these foods are handled; cross-contact cannot be ruled out."
WHO_DECIDES = "Local law and licensed professionals decide what must be declared and how."
ALCOHOL_CAUTION = (
    "Alcohol: in pregnancy the safest is none at all; not for children; take care in recovery and with medicines that forbid "
    "alcohol; some faiths avoid it. Cooking does not take all of it away."
)
NUTRIENT_WORDS = {
    "energy_kj": ("Energy", "kJ"), "energy_kcal": ("", "kcal"), "fat_g": ("Fat", "g"), "saturates_g": ("of which saturates", "g"),
    "carbohydrate_g": ("Carbohydrate", "g"), "sugars_g": ("of which sugars", "g"), "fibre_g": ("Fibre", "g"), "protein_g": ("Protein", "g"),
    "salt_g": ("Salt", "g"), "sodium_mg": ("Sodium", "mg"), "trans_fat_g": ("Trans fat", "g"), "cholesterol_mg": ("Cholesterol", "mg"),
    "added_sugars_g": ("of which added sugars", "g"), "vitamin_d_ug": ("Vitamin D", "micrograms"), "calcium_mg": ("Calcium", "mg"),
    "iron_mg": ("Iron", "mg"), "potassium_mg": ("Potassium", "mg"), "water_g": ("Water", "g"), "alcohol_g": ("Alcohol", "g"),
    "mono_unsaturates_g": ("of which mono-unsaturates", "g"), "polyunsaturates_g": ("of which polyunsaturates", "g"),
    "polyols_g": ("of which polyols", "g"), "starch_g": ("of which starch", "g"), "sugar_alcohol_g": ("of which sugar alcohol", "g"),
    "caffeine_mg": ("Caffeine", "mg"),
}  # fmt: skip


def group_in_words(group: AllergenGroup) -> str:
    """Return a group's name for people, with examples at the table where it needs them."""
    return GROUP_NAMES.get(group.name, group.name.capitalize())


def listed(words: list[str], last: str = "and") -> str:
    """Return words as a list in a sentence: a, b and c."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
