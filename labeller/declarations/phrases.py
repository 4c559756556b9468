"""Whether words stand in a text, as people compare words; and the words of a statement that say too little."""

from functools import cache

from labeller.allergens.vocabulary import phrase_key
from labeller.foundations.names import fold_text

# A statement that names only one of these, without a list of its own, does not say what is in it (common practice, no source).
VAGUE = (
    "spice", "spices", "seasoning", "seasonings", "herb", "herbs", "flavouring", "flavourings", "flavoring", "flavorings", "flavour",
    "flavours", "flavor", "flavors", "marinade", "curry powder", "arome", "aromes", "epice", "epices", "aroma", "aromen", "gewurz",
    "gewurze", "gewurzextrakt", "gewurzextrakte", "aromi", "spezie", "spezia", "especia", "especias", "aromas", "specerij", "specerijen",
    "aroma's", "kruiden", "krauter", "herbes", "erbe", "hierbas", "mixed spice", "five spice", "garam masala", "ras el hanout",
    "harissa", "bouquet garni", "curry paste", "chilli paste", "bouillon", "stock cube", "gravy", "dressing", "mayonnaise", "ketchup",
    "pickle", "chutney", "relish", "pesto", "salsa", "stuffing", "worcester sauce", "worcestershire sauce", "tomato sauce",
    "brown sauce", "barbecue sauce", "chilli sauce", "sausage", "chorizo", "salami", "stock", "broth", "sauce mix", "seasoned",
    "hummus", "houmous", "guacamole", "tapenade", "tzatziki", "baba ganoush", "falafel", "aioli",
)  # fmt: skip
# These say too little only where they stand alone: a passion fruit is named.
VAGUE_ALONE = frozenset(
    (
        "fruit", "fruits", "mixed fruit", "mixed peel", "fruit juice", "fruit concentrate", "vegetable", "vegetables", "mixed vegetables",
        "stock", "sauce", "concentrate", "extract", "extracts", "plant extracts", "natural colours",
    )
)  # fmt: skip


def phrase_in(words: str, text: str) -> bool:
    """Tell whether words stand in a text, without regard to case, accents, singular or plural.

    Notes
    -----
    What is compared are the stems of words, and a stem keeps the first three letters of its word: a plain text that does not hold the
    first three letters of the first word cannot hold the words, and need not be taken apart.
    """
    wanted, plural, begins = _wanted(words)
    if not wanted or (begins and text.isascii() and begins not in text.lower()):
        return False
    if wanted in _keyed(text):
        return True
    # Plurals in -is, such as kiwis, keep their s where names are compared.
    return plural in _plain(text)


@cache
def _wanted(words: str) -> tuple[str, str, str]:
    """Return the stems looked for, the plural looked for, and the letters a plain text with them must hold."""
    wanted, folded = phrase_key(words), fold_text(words)
    begins = wanted[:3]
    # Only where both forms begin with the same three letters or digits of one word does a text without them hold neither.
    if not (begins.isalnum() and len(begins) == 3 and folded.startswith(begins)):
        begins = ""
    return f" {wanted} " if wanted else "", f" {folded}s ", begins


@cache
def _keyed(text: str) -> str:
    return f" {phrase_key(_plain(text).strip())} "


@cache
def _plain(text: str) -> str:
    kept = "".join(letter if letter.isalnum() or letter in "'-" else " " for letter in fold_text(text))
    return f" {' '.join(kept.split())} "
