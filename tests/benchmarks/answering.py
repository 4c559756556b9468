"""How fast a guest is answered: ``python tests/benchmarks/answering.py [RUNS]``. Prints, asserts nothing.

The measure is ``python -c "import pandas"`` on the same machine; whole processes, on a made-up book of 60 dishes, 80 preparations and
150 ingredients with suppliers' statements. First time: nothing kept from an earlier run (below 1.0 of the measure). From the cache: any
question about the unchanged book (below 0.4 of it).
"""

import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DISHES, PREPARATIONS, INGREDIENTS = 60, 80, 150
RUNS = 15
FIRST_FLOOR, CACHED_FLOOR = 1.0, 0.4
ENTRY = (sys.executable, "-c", "import sys; from labeller.cli.main import main; sys.exit(main())")
PANDAS = (sys.executable, "-c", "import pandas")
EQUIPMENT = ("deep fryer", "churn", "blender", "slicer", "pasta roller")
# What a kitchen of a few dozen dishes buys: a name, a row of the reference table, words of a statement that start its list.
_GOODS = (
    ("cream", "01053", "Cream (MILK)"), ("butter", "01001", "Butter (MILK), salt"), ("hard cheese", "01009", "Cheese (MILK), salt, cultures"),
    ("flour", "20081", "WHEAT flour (WHEAT flour, calcium carbonate, iron, niacin, thiamin)"), ("eggs", "01123", "Whole EGG"),
    ("chocolate", "19904", "Cocoa mass, sugar, cocoa butter, emulsifier: lecithins (SOYA), vanilla"), ("paste", "12120", "HAZELNUTS, sugar"),
    ("almonds", "12061", "ALMONDS"), ("salmon", "15236", "Salmon (FISH), salt"), ("prawns", "15149", "Prawns (CRUSTACEANS), salt, water"),
    ("mussels", "15164", "Mussels (MOLLUSCS), water, salt"), ("mustard", "02046", "Water, MUSTARD seed, spirit vinegar, salt, turmeric"),
    ("stock powder", "06480", "Salt, maltodextrin, yeast extract, CELERY, onion powder, flavouring, palm oil, turmeric"),
    ("tahini", "12166", "SESAME seed"), ("soy seasoning", "16123", "Water, SOYA beans, WHEAT, salt"), ("chicken", "05062", "Chicken breast"),
    ("beef", "13047", "Beef"), ("bacon", "10123", "Pork belly, water, salt, sugar, preservative: sodium nitrite, antioxidant: sodium ascorbate"),
    ("apples", "09003", "Apples"), ("cherries", "09070", "Cherries, sugar, acidity regulator: citric acid"), ("onions", "11282", "Onions"),
    ("potatoes", "11352", "Potatoes"), ("tomatoes", "11529", "Tomatoes, tomato juice, acidity regulator: citric acid"), ("oil", "04053", "Olive oil"),
    ("sugar", "19335", "Sugar"), ("vinegar", "02048", "Cider vinegar (contains SULPHITES)"), ("oats", "20038", "Rolled OATS"),
    ("bread mix", "20080", "WHEAT flour, RYE flour, BARLEY malt flour, yeast, salt, flour treatment agent: ascorbic acid"),
    ("stracchino sauce", "", "Water, CREAM (MILK) 30%, cheese (MILK) 12%, modified maize starch, salt, spices, lemon juice, garlic"),
    ("relish", "", "Cucumber, sugar, spirit vinegar, onion, mustard seed (MUSTARD), modified starch, spices, turmeric, firming agent: calcium chloride"),
)  # fmt: skip
_DRINKS = (
    ("brandy", "14037", 40.0),
    ("red wine", "14096", 13.0),
    ("sherry", "14057", 17.0),
    ("stout", "14003", 4.5),
    ("white wine", "14106", 12.0),
)
_MAKES = (
    "stone mill",
    "valley",
    "harbour",
    "hill farm",
    "old barn",
    "north field",
    "river",
    "orchard",
    "market",
    "cellar",
)
_MORE = (
    "salt", "sugar", "water", "rapeseed oil", "sunflower oil", "garlic powder", "onion", "black pepper", "paprika extract", "citric acid",
    "thickener: xanthan gum", "stabiliser: guar gum", "spirit vinegar", "dextrose", "natural flavouring", "rosemary extract", "maize starch",
    "antioxidant: ascorbic acid", "glucose syrup", "rice flour", "parsley", "yeast extract", "skimmed MILK powder", "whey powder (MILK)",
    "SOYA flour", "preservative: potassium sorbate", "colour: beta-carotene", "lemon juice concentrate", "herbs", "tomato powder 4%",
)  # fmt: skip
_MAY = (
    "nuts",
    "nuts, sesame",
    "milk, soya",
    "celery, mustard",
    "egg",
    "peanuts and other nuts",
    "gluten",
    "fish, crustaceans",
)


def write_book(
    folder: Path,
    seed: int = 7,
    *,
    dishes: int = DISHES,
    preparations: int = PREPARATIONS,
    ingredients: int = INGREDIENTS,
) -> None:
    """Write a book as kitchens have them; the same seed writes the same book."""
    chance = random.Random(seed)  # noqa: S311 - no secret, and the same book each time
    bought, fruit, drinks = _ingredients(chance, ingredients)
    made = _preparations(chance, preparations, [name for name, _ in bought], fruit, drinks)
    files = {
        "kitchen.yaml": [_kitchen()],
        "ingredients/dry.yaml": [text for _, text in bought[::2]],
        "ingredients/cold.yaml": [text for _, text in bought[1::2]],
        "preparations/base.yaml": [text for _, text in made[::2]],
        "preparations/more.yaml": [text for _, text in made[1::2]],
        "dishes/menu.yaml": _dishes(
            chance, dishes, [name for names, _ in made for name in names], [name for name, _ in bought]
        ),
    }
    for name, entries in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("\n".join(entries), encoding="utf-8")


def _kitchen() -> str:
    equipment = "".join(f"    - {one}\n" for one in EQUIPMENT)
    return f"- kitchen: The Made-up Table\n  jurisdiction: gb\n  shared_equipment:\n{equipment}"


def _ingredients(chance: random.Random, count: int) -> tuple[list[tuple[str, str]], list[str], list[str]]:
    found: list[tuple[str, str]] = []
    fruit: list[str] = []
    drinks: list[str] = []
    for number in range(count):
        make = _MAKES[number // (len(_GOODS) + len(_DRINKS)) % len(_MAKES)]
        kind = number % (len(_GOODS) + len(_DRINKS))
        lines: list[str] = []
        if kind < len(_GOODS):
            noun, row, words = _GOODS[kind]
            name = f"{make} {noun}"
            if row:
                lines.append(f"  composition: sr28:{row}")
            if noun == "cream":
                lines.append(
                    "  per_100_g: {fat_g: 48.0, saturates_g: 30.1, carbohydrate_g: 2.6, sugars_g: 2.6, fibre_g: 0, protein_g: 1.7, salt_g: 0.05}"
                )
            if not row:
                lines.append(
                    "  per_100_g: {fat_g: 4.2, saturates_g: 0.9, carbohydrate_g: 12.5, sugars_g: 6.1, fibre_g: 1.1, protein_g: 1.2, salt_g: 1.4}"
                )
            if noun in ("apples", "cherries"):
                fruit.append(name)
            more = (
                chance.sample(_MORE, chance.randint(1, 11))
                if noun not in ("chicken", "beef", "apples", "sugar", "oil")
                else []
            )
            statement = ", ".join([words, *more])
        else:
            noun, row, strength = _DRINKS[kind - len(_GOODS)]
            name = f"{make} {noun}"
            lines += [f"  composition: sr28:{row}", f"  strength: {strength:g} % vol"]
            if "wine" in noun:
                lines.append(f"  sulphites: {chance.randint(60, 150)} mg/kg")
            drinks.append(name)
            statement = f"{noun.title()} of the valley, kept in oak, water, caramel colour{' (contains SULPHITES)' if 'wine' in noun else ''}"
        if chance.random() < 0.08:
            lines.append(f"  made_on: [{chance.choice(EQUIPMENT)}]")
        lines += [
            "  spec:",
            f"    supplier: Example Foods {number % 9}",
            f"    reference: EX-{number}",
            "    dated: 2026-05-20",
            f'    statement: "{statement}"',
        ]
        if chance.random() < 0.35:
            lines.append(f'    may_contain: "{chance.choice(_MAY)}"')
        found.append((name, f"- ingredient: {name}\n" + "\n".join(lines) + "\n"))
    return found, fruit, drinks


def _preparations(
    chance: random.Random, count: int, bought: list[str], fruit: list[str], drinks: list[str]
) -> list[tuple[list[str], str]]:
    found: list[tuple[list[str], str]] = []
    for number in range(count):
        equipment = f"  made_on: [{chance.choice(EQUIPMENT)}]\n" if chance.random() < 0.3 else ""
        if number % 8 == 3 and fruit and drinks:
            solid, drink = chance.choice(fruit), chance.choice(drinks)
            names = [f"infusion {number}", f"steeped fruit {number}"]
            text = (
                f"- preparation: jar {number}\n  takes:\n    - {chance.randint(300, 700)} g {solid}\n    - {chance.randint(400, 900)} ml {drink}\n"
                f"    - 120 g {chance.choice([one for one in bought if one.endswith('sugar')] or bought)}\n"
                f"  method:\n    - macerate: {{solids: [{solid}], for: {chance.randint(1, 6)} weeks, at: 20 C, as: whole with skin}}\n    - strain: {{holds: 8 %}}\n"
                f"  gives:\n    {names[0]}: liquor\n    {names[1]}: solids\n"
            )
            found.append((names, text + equipment))
            continue
        name = f"mixture {number}"
        takes = [f"{chance.randint(20, 400)} g {one}" for one in chance.sample(bought, chance.randint(3, 7))]
        below = [one for names, _ in found for one in names]
        if below and number > count // 4:
            takes += [
                f"{chance.randint(30, 200)} g {one}"
                for one in chance.sample(below, min(len(below), chance.randint(1, 2)))
            ]
        method = chance.choice(
            (
                "    - mix\n    - chill: overnight\n",
                f"    - heat: {{how: simmer, for: {chance.randint(10, 60)} min, loses: {chance.randint(3, 15)} %}}\n",
                f"    - heat: {{how: bake, for: {chance.randint(15, 50)} min, at: 180 C, loses: {chance.randint(4, 12)} %}}\n    - rest\n",
                f"    - blend\n    - sieve: {{loses: {chance.randint(1, 5)} %}}\n",
            )
        )
        text = (
            f"- preparation: {name}\n  takes:\n" + "".join(f"    - {one}\n" for one in takes) + f"  method:\n{method}"
        )
        found.append(([name], text + equipment))
    return found


def _dishes(chance: random.Random, count: int, made: list[str], bought: list[str]) -> list[str]:
    found: list[str] = []
    for number in range(count):
        plate: list[str] = []
        for one in chance.sample(made, chance.randint(2, 4)):
            line = f"{chance.randint(20, 180)} g {one}"
            fate = chance.random()
            if fate < 0.2:
                line += ", optional"
            elif fate < 0.35:
                line += f", or {chance.randint(20, 120)} g {chance.choice(made)}"
            plate.append(line)
        plate += [f"{chance.randint(2, 60)} g {one}" for one in chance.sample(bought, chance.randint(1, 3))]
        lines = "".join(f"    - {one}\n" for one in plate)
        found.append(
            f"- dish: plate number {number}\n  course: main\n  serves: {chance.choice((1, 1, 1, 2, 4))}\n  plate:\n{lines}"
        )
    return found


def questions(book: Path) -> dict[str, list[str]]:
    """Return the questions that are timed, by what they are called."""
    dish = "plate number 17"
    return {
        "--about hazelnut": ["answer", str(book), "--of", dish, "--about", "hazelnut"],
        "--about milk": ["answer", str(book), "--of", dish, "--about", "milk"],
        "--about alcohol": ["answer", str(book), "--of", dish, "--about", "alcohol"],
        "--about carbohydrate --json": ["answer", str(book), "--of", dish, "--about", "carbohydrate", "--json"],
        "--about garlic": ["answer", str(book), "--of", dish, "--about", "garlic"],
        "--about vegan": ["answer", str(book), "--of", dish, "--about", "vegan"],
        "--without nuts": ["answer", str(book), "--without", "nuts"],
        "--without milk, sulphites, alcohol": [
            "answer",
            str(book),
            "--without",
            "milk",
            "--without",
            "sulphites",
            "--without",
            "alcohol",
        ],
        "--without garlic, pork": ["answer", str(book), "--without", "garlic", "--without", "pork"],
    }


def timed_s(arguments: list[str], cache: str) -> float:
    """Return how long one whole process takes; its output is thrown away. [s]"""
    environment = {**os.environ, "LABELLER_CACHE": cache}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed package has its modules compiled, as pandas has
    start = time.perf_counter()
    done = subprocess.run(arguments, check=False, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    taken = time.perf_counter() - start
    if done.returncode not in (0, 3):
        raise SystemExit(f"{arguments}: code {done.returncode}: {done.stderr.decode()}")
    return taken


def pairs_s(arguments: list[str], cache: Path, runs: int, *, keep: bool) -> list[tuple[float, float]]:
    """Return times of several runs, each with the measure's right before it; nothing is kept between them unless ``keep``. [s]"""
    found: list[tuple[float, float]] = []
    for _ in range(runs):
        if not keep:
            shutil.rmtree(cache, ignore_errors=True)
        measure = timed_s(list(PANDAS), "off")
        found.append((timed_s(arguments, str(cache)), measure))
        if not keep:
            time.sleep(0.7)  # what fills the cache after the answer does not count, and must not slow the next run
    return found


def told(what: str, pairs: list[tuple[float, float]], floor: str) -> None:
    """Print one line: least and median time, the least against the least of the measure beside it, the median of the ratios of pairs."""
    times = [taken for taken, _ in pairs]
    print(
        f"{what:48}{min(times) * 1000:7.0f} ms{statistics.median(times) * 1000:7.0f} ms   {min(times) / min(measure for _, measure in pairs):5.2f}   "
        f"{statistics.median(taken / measure for taken, measure in pairs):5.2f} x pandas   {floor}"
    )


def main() -> None:
    """Measure and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else RUNS
    with tempfile.TemporaryDirectory() as place:
        book, cache = Path(place) / "book", Path(place) / "cache"
        write_book(book)
        timed_s([*ENTRY, *questions(book)["--about garlic"]], "off")
        rows: list[tuple[str, list[tuple[float, float]], str]] = []
        for name, question in questions(book).items():
            first = pairs_s([*ENTRY, *question], cache, runs, keep=False)
            rows.append((f"first time, {name}", first, f"(floor: {FIRST_FLOOR:.1f})"))
        shutil.rmtree(cache, ignore_errors=True)
        timed_s([*ENTRY, *questions(book)["--without nuts"]], str(cache))
        time.sleep(2.0)
        for name, question in questions(book).items():
            kept = pairs_s([*ENTRY, *question], cache, runs, keep=True)
            rows.append((f"cached, {name}", kept, f"(floor: {CACHED_FLOOR:.1f})"))
        measured = [(measure, measure) for _, pairs, _ in rows for _, measure in pairs]
        print(f"{'':48}{'best':>10}{'median':>10}")
        told('python -c "import pandas"', measured, "(the measure)")
        for what, pairs, floor in rows:
            told(what, pairs, floor)


if __name__ == "__main__":
    main()
