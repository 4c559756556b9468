"""The words guests use: what they mean by them, two names of one thing, words for many foods, words that leave it open."""

import re

ALCOHOL_WORDS = ("alcohol", "ethanol", "spirits", "liquor", "wine", "beer", "booze", "alcoholic drinks")
# Words guests use for a group of the law, beside those the vocabulary of allergens knows (common practice, no source).
GUEST_WORDS = {
    "coeliac": "gluten",
    "celiac": "gluten",
    "lactose": "milk",
    "milk protein": "milk",
    "sulphur dioxide": "sulphites",
    # No milk without casein and whey, no egg without albumen: who asks for the part must hear of the whole.
    "casein": "milk",
    "caseinate": "milk",
    "sodium caseinate": "milk",
    "whey": "milk",
    "whey protein": "milk",
    "albumen": "egg",
    "albumin": "egg",
    "ovalbumin": "egg",
    "cereal": "gluten",
    "grain": "gluten",
    **dict.fromkeys(("fruits de mer", "Meeresfrüchte", "marisco", "frutti di mare", "zeevruchten"), "seafood"),
    **dict.fromkeys(("Fleisch", "viande", "carne", "vlees"), "meat"),
    **dict.fromkeys(("vegetarisch", "végétarien", "végétarienne", "vegetariano", "vegetariana"), "vegetarian"),
    **dict.fromkeys(("végane", "vegano", "vegana", "veganistisch"), "vegan"),
}
# Words for many foods, which papers name one by one: that the word itself is nowhere says nothing (common practice, no source).
MANY_FOODS = {
    "legume": ("peanut", "soya", "lupin", "lentil", "chickpea", "pea", "bean"),
    "pulse": ("soya", "lupin", "lentil", "chickpea", "pea", "bean"),
    "seed": ("sesame", "mustard", "poppy", "linseed", "sunflower"),
    "berry": ("strawberry", "raspberry", "blueberry"),
    "spice": ("mustard", "celery", "cinnamon", "coriander", "fenugreek", "capsicum"),
    "sweetener": ("aspartame", "honey", "polyols"),
    "fruit": ("kiwi", "citrus", "peach", "strawberry", "apple", "banana"),
    "vegetable": ("celery", "tomato", "onion", "carrot"),
    "animal": ("meat", "fish", "milk", "egg"),
    "animal product": ("meat", "fish", "milk", "egg"),
}
# Sugars that are in fruit, honey and syrups without being named there; only an ingredient of that very name shows on paper.
SUGARS = ("fructose", "glucose", "sucrose", "saccharose")
# What is made of a source and keeps it, as the last word of its name: who asks for wheat flour must hear of wheat.
FORMS = ("flour", "starch", "meal", "bran", "germ", "powder", "paste", "protein", "crumb", "flakes")
# Plants that hold caffeine: coffee, cocoa, tea, guarana, kola (European Food Safety Authority, Scientific Opinion on the safety of
# caffeine, EFSA Journal 2015;13(5):4102, section 1); mate and the trade's names beside them are common practice, no source. Cocoa
# butter and white chocolate hold none of the dry cocoa that does.
CAFFEINE_WORDS = (
    "caffeine", "coffee", "espresso", "tea", "matcha", "mate", "guarana", "kola", "cola", "cocoa", "cacao", "chocolate", "mocha",
    "energy drink", "tiramisu", "kakao", "kakaomasse", "kakaopulver", "schokolade", "kaffee", "koffein", "chocolat", "cafe", "cafeine", "cioccolato",
    "caffe", "caffeina", "cafeina", "cacaomassa", "koffie", "chocolade",
)  # fmt: skip
NO_CAFFEINE_WORDS = (
    "cocoa butter", "cacao butter", "white chocolate", "beurre de cacao", "chocolat blanc", "burro di cacao", "cioccolato bianco",
    "manteca de cacao", "chocolate blanco", "weisse schokolade", "witte chocolade",
)  # fmt: skip
# Two names of one thing: who asks by the one is answered for the other (common practice, no source). Prawn and shrimp change places
# from one side of the ocean to the other.
SAME = (
    ("prawn", "shrimp"), ("chilli", "chili", "chile", "cayenne", "jalapeno", "habanero", "piri piri", "chilli pepper"),
    ("aubergine", "eggplant", "brinjal"), ("courgette", "zucchini"), ("rocket", "arugula", "rucola"), ("coriander", "cilantro"),
    ("spring onion", "scallion", "green onion"), ("swede", "rutabaga"), ("beetroot", "beet"), ("chickpea", "garbanzo"),
    ("palm oil", "palm fat", "palm kernel", "palm stearin", "palm olein", "palm"),
)  # fmt: skip
# Names that leave it open whether it is in them (common practice, no source).
CITRUS = ("citrus", "lemon", "orange", "lime", "grapefruit", "mandarin", "yuzu", "bergamot")
DOUBTS = (
    (
        ("palm oil", "palm fat", "palm"),
        ("vegetable oil", "vegetable fat", "margarine", "shortening", "frying oil", "cooking oil"),
    ),
    (
        CITRUS,
        ("limoncello", "triple sec", "curacao", "liqueur", "marmalade", "lemonade", "candied peel", "mixed peel"),
    ),
)
# How people say that something is not in it, where the reader of statements does not already know it.
FREE = re.compile(
    r"(?:free from|no|non|without|zero|sans|ohne|senza|sin|zonder)[ -](?P<after>.+)|(?P<before>.+?)[ -](?:free|less)|(?P<joined>\w{4,})frei"
)
FREE_OF = {
    "lacto": "lactose",
    "laktose": "lactose",
    "alcoholic": "alcohol",
    "alkohol": "alcohol",
    "zucker": "sugars",
    "dairy": "milk",
}
MEAT_SOURCES = ("pork", "beef", "lamb", "goat meat", "game", "poultry")
ANIMAL_SOURCES = (*MEAT_SOURCES, "gelatine", "pork gelatine", "beef gelatine", "rennet", "cochineal", "insect")
SEA_KINDS = ("fish", "crustacean", "mollusc")
MEAT_WORDS = (
    "meat", "bacon", "ham", "sausage", "lard", "suet", "dripping", "tallow", "bone marrow", "chicken", "turkey", "duck", "goose",
    "veal", "mutton", "venison", "rabbit", "liver", "kidney", "oxtail", "blood", "pancetta", "chorizo", "salami",
)  # fmt: skip
NOT_VEGETARIAN_WORDS = (*MEAT_WORDS, "isinglass", "carmine", "animal rennet", "shellac", "caviar", "roe")
NOT_VEGAN_WORDS = (*NOT_VEGETARIAN_WORDS, "honey", "beeswax", "royal jelly", "lanolin", "casein", "whey")
# Meat of no animal: the flesh of a fruit or a nut, as tables call it, and what stands in for meat.
NO_MEAT_WORDS = (
    "coconut meat",
    "grated meat",
    "nut meat",
    "nutmeat",
    "meat free",
    "meat substitute",
    "meat alternative",
)
# Narrower words that the vocabulary puts under one source: who asks for lemon does not ask for orange.
NARROW = frozenset(
    (
        "lemon", "orange", "lime", "grapefruit", "mandarin", "yuzu", "bergamot", "chicken", "turkey", "duck", "goose", "venison",
        "rabbit", "coffee", "tea", "nectarine", "shallot", "spring onion", "ham", "bacon", "lard", "veal", "mutton", "paprika",
        "chilli", "chili", "bell pepper", "sweet pepper", "kidney bean",
    )
)  # fmt: skip
# Only certifiers can say so; at the table there are plain facts about these two things.
CERTIFIED = ("halal", "kosher")
FACTS_ASKED = ("alcohol", "pork")
