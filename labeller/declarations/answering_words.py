"""What a guest asks about: alcohol, a group of the law, a source, a nutrient, a way of eating, or any ingredient word."""

import re
from functools import cache
from typing import Literal

from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import GENERAL_OF_KIND, Meaning, Vocabulary, load_vocabulary, phrase_key
from labeller.declarations.declaring import Declarer
from labeller.declarations.explaining import UnknownFigureError, asked_figure
from labeller.foundations.names import fold_text, name_key, nearest_names
from labeller.foundations.plain import dataclass
from labeller.kitchen import constituents as c

AskedKind = Literal["alcohol", "group", "source", "word", "nutrient"]

ALCOHOL_WORDS = ("alcohol", "ethanol", "spirits", "liquor", "wine", "beer", "booze", "alcoholic drinks")
# Words guests use for a group of the law, beside those the vocabulary of allergens knows (common practice, no source).
_GUEST_WORDS = {
    "coeliac": "gluten",
    "celiac": "gluten",
    "lactose": "milk",
    "milk protein": "milk",
    "sulphur dioxide": "sulphites",
}
# Plants that hold caffeine: coffee, cocoa, tea, guarana, kola (European Food Safety Authority, Scientific Opinion on the safety of
# caffeine, EFSA Journal 2015;13(5):4102, section 1); mate and the trade's names beside them are common practice, no source. Cocoa
# butter and white chocolate hold none of the dry cocoa that does.
_CAFFEINE_WORDS = (
    "caffeine", "coffee", "espresso", "tea", "matcha", "mate", "guarana", "kola", "cola", "cocoa", "cacao", "chocolate", "mocha",
    "energy drink", "tiramisu", "kakao", "kakaomasse", "kakaopulver", "schokolade", "kaffee", "koffein", "chocolat", "cafe", "cafeine", "cioccolato",
    "caffe", "caffeina", "cafeina", "cacaomassa", "koffie", "chocolade",
)  # fmt: skip
_NO_CAFFEINE_WORDS = (
    "cocoa butter", "cacao butter", "white chocolate", "beurre de cacao", "chocolat blanc", "burro di cacao", "cioccolato bianco",
    "manteca de cacao", "chocolate blanco", "weisse schokolade", "witte chocolade",
)  # fmt: skip
# How people say that something is not in it, where the reader of statements does not already know it.
_FREE = re.compile(
    r"(?:free from|no|non|without|zero|sans|ohne|senza|sin|zonder)[ -](?P<after>.+)|(?P<before>.+?)[ -](?:free|less)|(?P<joined>\w{4,})frei"
)
_FREE_OF = {
    "lacto": "lactose",
    "laktose": "lactose",
    "alcoholic": "alcohol",
    "alkohol": "alcohol",
    "zucker": "sugars",
    "dairy": "milk",
}
_MEANT = {name_key(said): name for said, name in _GUEST_WORDS.items()}
_MEAT_SOURCES = ("pork", "beef", "lamb", "goat meat", "game", "poultry")
_ANIMAL_SOURCES = (*_MEAT_SOURCES, "gelatine", "pork gelatine", "beef gelatine", "rennet", "cochineal", "insect")
_SEA_KINDS = ("fish", "crustacean", "mollusc")
_MEAT_WORDS = (
    "meat", "bacon", "ham", "sausage", "lard", "suet", "dripping", "tallow", "bone marrow", "chicken", "turkey", "duck", "goose",
    "veal", "mutton", "venison", "rabbit", "liver", "kidney", "oxtail", "blood", "pancetta", "chorizo", "salami",
)  # fmt: skip
_NOT_VEGETARIAN_WORDS = (*_MEAT_WORDS, "isinglass", "carmine", "animal rennet", "shellac", "caviar", "roe")
_NOT_VEGAN_WORDS = (*_NOT_VEGETARIAN_WORDS, "honey", "beeswax", "royal jelly", "lanolin", "casein", "whey")
# Narrower words that the vocabulary puts under one source: who asks for lemon does not ask for orange.
NARROW = frozenset(
    (
        "lemon", "orange", "lime", "grapefruit", "mandarin", "yuzu", "bergamot", "chicken", "turkey", "duck", "goose", "venison",
        "rabbit", "coffee", "tea", "nectarine", "shallot", "spring onion", "ham", "bacon", "lard", "veal", "mutton", "paprika",
        "chilli", "chili", "bell pepper", "sweet pepper", "kidney bean",
    )
)  # fmt: skip
# Figures a guest may dose on that not every law's panel carries: key, column of a batch, name in the larder.
MORE_FIGURES = {
    "potassium": ("potassium_mg", c.POTASSIUM_MG, "potassium_mg"),
    "calcium": ("calcium_mg", c.CALCIUM_MG, "calcium_mg"),
    "iron": ("iron_mg", c.IRON_MG, "iron_mg"),
    "vitamin d": ("vitamin_d_ug", c.VITAMIN_D_UG, "vitamin_d_ug"),
    "cholesterol": ("cholesterol_mg", c.CHOLESTEROL_MG, "cholesterol_mg"),
    "trans fat": ("trans_fat_g", c.TRANS, "trans_fat_g"),
    "polyols": ("polyols_g", c.POLYOLS, "polyols_g"),
    "starch": ("starch_g", c.STARCH, "starch_g"),
}
_CERTIFIED = ("halal", "kosher")


class UnknownAboutError(LookupError):
    """A word that cannot be asked about; the message says the mend."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about.

    Attributes
    ----------
    word : str
        As the guest said it.
    groups : tuple of str
        Groups of the law in force, for kind ``group``.
    sources : frozenset of str
        Sources that count, for kinds ``source`` and ``word``.
    words : tuple of str
        Words looked for in names and statements, for kind ``word``.
    key : str
        Figure, for kind ``nutrient``.
    eating : str
        ``vegetarian`` or ``vegan`` where the question is whether it is that.
    narrow : bool
        True where ``sources`` are wider than the word.
    unless : tuple of str
        Names in which ``words`` do not mean it: cocoa butter is no cocoa.
    """

    word: str
    kind: AskedKind
    groups: tuple[str, ...] = ()
    sources: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    key: str = ""
    eating: str = ""
    narrow: bool = False
    unless: tuple[str, ...] = ()


def asked_about(declarer: Declarer, word: str) -> Asked:
    """Return what a word asks about; a misspelling is never taken.

    Raises
    ------
    UnknownAboutError
        Where the word is not known: the nearest that are stand in the message.
    """
    shown = " ".join(word.split())
    if fold_text(shown).endswith("is") and load_vocabulary().sources_named(shown[:-1]):
        shown = shown[:-1]  # kiwis; only where the singular is a source
    wanted = name_key(shown)
    if not wanted:
        raise UnknownAboutError("nothing is asked about. Write alcohol, an allergen, a nutrient or an ingredient.")
    if any(name_key(one) == wanted for one in _CERTIFIED):
        raise UnknownAboutError(
            f"'{shown}' is a certification, which this tool never gives. Ask for plain facts: --without alcohol --without pork."
        )
    _refuse_claim(declarer, shown)
    if any(name_key(one) == wanted for one in ALCOHOL_WORDS):
        return Asked(shown, "alcohol")
    group = _group(declarer, shown)
    if group is not None:
        return group
    eating = _way_of_eating(shown)
    if eating is not None:
        return eating
    vocabulary = load_vocabulary()
    if _has_letters_swapped(vocabulary, shown):
        raise UnknownAboutError(_unknown(declarer, vocabulary, shown))
    meant = _MEANT.get(name_key(shown), shown)  # coeliac disease is asked about where the law names no gluten too
    named = vocabulary.sources_named(meant) or (
        (shown,) if shown in vocabulary.sources and shown != "alcohol trace" else None
    )
    if named:
        return _of_sources(declarer, vocabulary, shown, named)
    try:
        figure = asked_figure(declarer, shown)
    except UnknownFigureError:
        figure = None
    if figure is not None and figure.kind == "nutrient" and figure.key != "alcohol_g":
        return Asked(shown, "nutrient", key=figure.key)
    meanings = _meanings(vocabulary, shown)
    if any("alcohol" in one.roles for one in meanings) and not phrase_in("extract", shown):
        return Asked(shown, "alcohol")  # who asks for gin is told of rum as well
    # 'Rye flour' and 'walnut oil' name their source: whatever is made of it counts.
    plain = {
        source
        for one in meanings
        for source, _, sense in one.certain
        if sense == 0 and source in vocabulary.law_sources
    }
    if plain and not any(sense for one in meanings for _, _, sense in one.certain):
        return _of_sources(declarer, vocabulary, shown, tuple(sorted(plain)))
    for said, (key, _, _) in MORE_FIGURES.items():
        if name_key(said) == wanted:
            return Asked(shown, "nutrient", key=key)
    if _is_signal(vocabulary, shown):
        raise UnknownAboutError(_unknown(declarer, vocabulary, shown))
    if _is_food_word(vocabulary, shown) or _stands_in_book(declarer, shown) or _stands_in_table(declarer, shown):
        return Asked(shown, "word", words=(shown,))
    raise UnknownAboutError(_unknown(declarer, vocabulary, shown))


def _refuse_claim(declarer: Declarer, shown: str) -> None:
    """Refuse to be asked whether a dish is 'gluten-free': that it is not looked up as a word says nothing about gluten."""
    entries = declarer.workings.larder.entries
    names = [name for one in entries for name in (one.name, *one.also)]
    if any(name_key(shown) == name_key(name) for name in (*names, *declarer.workings.book.preparations)):
        return
    said = _FREE.fullmatch(fold_text(shown))
    denied = read_statement(shown).negated
    if said is None and not denied:
        return
    thing = next((one for one in said.groups() if one), "") if said is not None else denied[0]
    thing = _FREE_OF.get(thing, thing)
    raise UnknownAboutError(
        f"'{shown}' is a claim, which this tool never makes. Ask what is in it instead: write '{thing}'."
    )


def phrase_in(words: str, text: str) -> bool:
    """Tell whether words stand in a text, without regard to case, accents, singular or plural."""
    wanted = phrase_key(words)
    if not wanted:
        return False
    if f" {wanted} " in f" {_keyed(text)} ":
        return True
    # Plurals in -is, such as kiwis, keep their s where names are compared.
    return f" {fold_text(words)}s " in f" {_plain(text)} "


@cache
def _keyed(text: str) -> str:
    return phrase_key(_plain(text))


@cache
def _plain(text: str) -> str:
    kept = "".join(letter if letter.isalnum() or letter in "'-" else " " for letter in fold_text(text))
    return " ".join(kept.split())


def _group(declarer: Declarer, word: str) -> Asked | None:
    meant = _MEANT.get(name_key(word), word)
    for group in declarer.law.groups:
        if name_key(group.name) == name_key(meant):
            return Asked(word, "group", (group.name,))
    return None


def _way_of_eating(word: str) -> Asked | None:
    vocabulary = load_vocabulary()
    key = name_key(word)
    sea = {source for source, kind in vocabulary.sources.items() if kind in _SEA_KINDS}
    if key == name_key("meat"):
        return Asked(
            word, "word", sources=frozenset((*_MEAT_SOURCES, "pork gelatine", "beef gelatine")), words=_MEAT_WORDS
        )
    if key == name_key("vegetarian"):
        return Asked(
            word, "word", sources=frozenset(_ANIMAL_SOURCES) | sea, words=_NOT_VEGETARIAN_WORDS, eating="vegetarian"
        )
    if key == name_key("vegan"):
        dairy = {source for source, kind in vocabulary.sources.items() if kind in ("milk", "egg")}
        sources = frozenset((*_ANIMAL_SOURCES, "honey")) | sea | dairy
        return Asked(word, "word", sources=sources, words=_NOT_VEGAN_WORDS, eating="vegan")
    return None


def _of_sources(declarer: Declarer, vocabulary: Vocabulary, word: str, named: tuple[str, ...]) -> Asked:
    law, kinds = declarer.law, vocabulary.sources
    general = [source for source in named if _is_general(source, kinds)]
    if len(general) == len(named):
        by_source = [
            [group.name for group in law.groups if group.includes(source, kinds.get(source, source))]
            for source in named
        ]
        if all(by_source):
            return Asked(word, "group", tuple(dict.fromkeys(name for names in by_source for name in names)))
    wide = set(named)
    for source in general:
        wide.update(vocabulary.sources_of(kinds[source]))
    if "gelatine" in wide:
        wide |= {"pork gelatine", "beef gelatine"}
    for animal in ("pork", "beef"):
        if animal in wide:
            wide.add(f"{animal} gelatine")
    if all(_stands_open(vocabulary, source) for source in named):
        return Asked(word, "source", sources=frozenset(wide))
    narrow = any(name_key(one) == name_key(word) for one in NARROW)
    if named == ("caffeine",) and not narrow:
        return Asked(word, "word", sources=frozenset(wide), words=(word, *_CAFFEINE_WORDS), unless=_NO_CAFFEINE_WORDS)
    return Asked(word, "word", sources=frozenset(wide), words=(word,), narrow=narrow)


def _is_general(source: str, kinds: dict[str, str]) -> bool:
    kind = kinds.get(source, source)
    return kind != "other" and source in (kind, GENERAL_OF_KIND.get(kind, kind))


def _has_letters_swapped(vocabulary: Vocabulary, word: str) -> bool:
    """Tell whether a word is a source with letters in the wrong order; a supplier's paper is read so, a question is not."""
    key = name_key(word)
    letters = sorted(key)
    keys = {name_key(source) for source in vocabulary.sources}
    # Short words are often words of their own: a carb is no crab.
    return len(key) >= 6 and key not in keys and any(letters == sorted(one) for one in keys)


def _stands_open(vocabulary: Vocabulary, source: str) -> bool:
    """Tell whether evidence says of this source where it is not settled; of others only a whole statement tells."""
    kind = vocabulary.sources.get(source, source)
    if source in vocabulary.law_sources:
        return True
    return kind not in ("cereal", "nut", "other") and (GENERAL_OF_KIND.get(kind, kind) in vocabulary.law_sources)


def _is_signal(vocabulary: Vocabulary, word: str) -> bool:
    """Tell whether a word only joins or announces others: 'and', 'contains'."""
    meanings = _meanings(vocabulary, word)
    return bool(meanings) and all(one.signal for one in meanings)


def _meanings(vocabulary: Vocabulary, word: str) -> list[Meaning]:
    found = vocabulary.phrases.get(phrase_key(word))
    numbers = [found] if isinstance(found, int) else list((found or {}).values())
    return [vocabulary.meaning(number) for number in numbers]


def _is_food_word(vocabulary: Vocabulary, word: str) -> bool:
    meanings = _meanings(vocabulary, word)
    return any((one.food or one.certain or one.doubts or one.carrier) and not one.signal for one in meanings)


def _stands_in_book(declarer: Declarer, word: str) -> bool:
    """Tell whether a word stands in a name of this book, or names something in a statement."""
    entries = declarer.workings.larder.entries
    names = [name for one in entries for name in (one.name, *one.also)]
    names.extend(declarer.workings.book.preparations)
    if len(word) < 3:
        return any(name_key(word) == name_key(name) for name in names)
    if any(phrase_in(word, name) or name_key(word) == name_key(name) for name in names):
        return True
    stated = [
        one
        for entry in entries
        if entry.spec is not None and entry.spec.statement is not None
        for one in read_statement(entry.spec.statement).ingredients
    ]
    while stated:
        one = stated.pop()
        if phrase_in(word, one.name):
            return True
        stated.extend(one.parts)
    return False


def _stands_in_table(declarer: Declarer, word: str) -> bool:
    """Tell whether a row of the reference table is named by exactly these words, as 'Kangaroo' or 'Fish, shad'."""
    table = declarer.workings.scale.table
    wanted = phrase_key(word)
    return any(
        wanted == phrase_key(part)
        for row in range(len(table))
        for part in table.name(row).split(",")[:2]
        if len(part) > 2
    )


def _unknown(declarer: Declarer, vocabulary: Vocabulary, word: str) -> str:
    known = ["alcohol", "vegetarian", "vegan", "meat", *(group.name for group in declarer.law.groups), *_GUEST_WORDS]
    known.extend(entry.name for entry in declarer.workings.larder.entries)
    near = list(dict.fromkeys((*vocabulary.nearest(word), *nearest_names(word, known))))[:3]
    mend = (
        f"Did you mean {' or '.join(repr(one) for one in near)}?"
        if near
        else "Write alcohol, an allergen group, a nutrient, or a food such as 'hazelnut' or 'kiwi'."
    )
    return f"'{word}' is nothing this tool knows. {mend}"
