"""Recipes as plain text, Markdown and schema.org JSON-LD.

Property names after https://schema.org/Recipe, https://schema.org/HowToStep, https://schema.org/HowToSection and
https://schema.org/QuantitativeValue, as published; ``ingredients`` is listed there as superseded by recipeIngredient.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.bringing_in.test_odd_sheets import UNKNOWN, taken_lines
from tests.kitchens import Kitchen, Ran, run


def bring(folder: Path, files: dict[str, str], *more: str, law: str = "eu") -> tuple[Ran, Any, Path]:
    book = folder / "book"
    book.mkdir(exist_ok=True)
    Kitchen(book).write("", name="kitchen.yaml", law=law)
    source = folder / "papers"
    for name, text in files.items():
        (source / name).parent.mkdir(parents=True, exist_ok=True)
        (source / name).write_text(text, encoding="utf-8")
    given = source / next(iter(files)) if len(files) == 1 else source
    ran = run("import", given, "--into", book, "--json", *more)
    return ran, ran.json(), book


def only_unknown(book: Path) -> None:
    for fault in run("check", book, "--json").json()["faults"]:
        assert fault["problem"].endswith(UNKNOWN), fault


PLAIN = """Apple crumble

Serves 8

1.2 kg apples, peeled and diced
100 g caster sugar
a pinch of salt

For the crumble:
250 g plain flour, sifted
125g butter
1/2 tsp cinnamon

Method
1. Cook the apples with the sugar: keep them in pieces.
2. Chill
3. Rub the butter into the flour.
"""

MARKDOWN = """# Apple crumble

*Serves 8*

## Ingredients

- **1.2 kg** apples, peeled and diced
- 100 g caster sugar
- a pinch of salt

### For the crumble

* 250 g plain flour, sifted
* 125g butter
* 1/2 tsp cinnamon

## Method

1. Cook the apples with the sugar: keep them in pieces.
2. Chill
3. Rub the butter into the flour.
"""

CRUMBLE = {
    "crumble for Apple crumble": ("250 g plain flour, sifted", "125 g butter", "1/2 tsp cinnamon"),
    "Apple crumble": (
        "1.2 kg apples, peeled and diced",
        "100 g caster sugar",
        "1 pinch salt",
        "all crumble for Apple crumble",
    ),
}


@pytest.mark.parametrize(("name", "text"), [("crumble.txt", PLAIN), ("crumble.md", MARKDOWN)])
def test_one_recipe(tmp_path: Path, name: str, text: str) -> None:
    ran, document, book = bring(tmp_path, {name: text})
    assert ran.code == 0, document["faults"]
    assert taken_lines(document) == CRUMBLE
    whole = next(one for one in document["recipes"] if one["name"] == "Apple crumble")
    assert whole["makes"] == "8"
    assert whole["method"] == [
        "Cook the apples with the sugar: keep them in pieces.",
        "Chill",
        "Rub the butter into the flour.",
    ]
    only_unknown(book)


def test_several_recipes_in_one_markdown(tmp_path: Path) -> None:
    text = "# Shortbread\n\n- 300 g plain flour\n- 200 g butter\n\nBake it until golden.\n\n# Meringue\n\n- 100 g egg white\n- 200 g caster sugar\n"
    ran, document, _ = bring(tmp_path, {"two.md": text})
    assert ran.code == 0
    assert taken_lines(document) == {
        "Shortbread": ("300 g plain flour", "200 g butter"),
        "Meringue": ("100 g egg white", "200 g caster sugar"),
    }
    assert document["recipes"][0]["method"] == ["Bake it until golden."]


def test_a_table_in_markdown(tmp_path: Path) -> None:
    text = "# Shortbread\n\n| Ingredient | Qty | Unit | Prep |\n| --- | ---: | --- | --- |\n| plain flour | 300 | g | sifted |\n| **butter** | 0,2 | kg | |\n| salt | to taste | | |\n\n## Method\n\nBake it.\n"
    ran, document, _ = bring(tmp_path, {"x.md": text})
    assert ran.code == 0, document["faults"]
    assert taken_lines(document) == {"Shortbread": ("300 g plain flour, sifted", "0.2 kg butter", "salt to taste")}


def test_a_table_in_markdown_without_an_amount(tmp_path: Path) -> None:
    text = "# Brittle\n\n| Ingredient | Weight (g) |\n|---|---|\n| caster sugar | 300 |\n| peanuts | |\n"
    ran, document, _ = bring(tmp_path, {"x.md": text})
    assert ran.code == 1
    assert [(one["line"], one["problem"]) for one in document["faults"]] == [(6, "'peanuts' has no amount.")]


def test_names_before_amounts(tmp_path: Path) -> None:
    ran, document, _ = bring(
        tmp_path, {"x.txt": "Shortbread\n\nplain flour 300 g\nbutter: 200 g\ncaster sugar .... 1/2 kg\n"}
    )
    assert ran.code == 0, document["faults"]
    assert taken_lines(document) == {"Shortbread": ("300 g plain flour", "200 g butter", "1/2 kg caster sugar")}


def test_a_folder_of_texts_at_any_depth(tmp_path: Path) -> None:
    files = {
        "shortbread.txt": "Shortbread\n300 g plain flour\n200 g butter\n",
        "cold/meringue.md": "# Meringue\n- 100 g egg white\n",
        "cold/.hidden.txt": "Secret\n1 g salt\n",
        "photo.jpg": "not a picture",
    }
    ran, document, _ = bring(tmp_path, files)
    assert ran.code == 0
    assert set(taken_lines(document)) == {"Shortbread", "Meringue"}
    assert any("photo.jpg" in one["file"] for one in document["left"])
    assert document["written"] == ["imported/papers.yaml"]


def test_a_line_without_an_amount_in_a_text_is_a_fault(tmp_path: Path) -> None:
    ran, document, book = bring(tmp_path, {"x.md": "# Brittle\n\n## Ingredients\n\n- 200 g caster sugar\n- peanuts\n"})
    assert ran.code == 1
    assert [(one["line"], one["problem"]) for one in document["faults"]] == [(6, "'peanuts' has no amount.")]
    assert not (book / "imported").exists()


RECIPE = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Apple crumble",
    "recipeYield": "8 servings",
    "recipeIngredient": [
        "1.2 kg apples, peeled",
        "2 cups plain flour",
        "1 stick butter",
        "salt &amp; black pepper, to taste",
    ],
    "recipeInstructions": [
        {
            "@type": "HowToSection",
            "name": "Fruit",
            "itemListElement": [{"@type": "HowToStep", "text": "Cook the apples."}],
        },
        {"@type": "HowToStep", "text": "Rub the butter in.<br>Bake it."},
    ],
    "nutrition": {"@type": "NutritionInformation", "calories": "400 calories"},
}


@pytest.mark.parametrize(
    "shape",
    [
        RECIPE,
        [RECIPE],
        {"@context": "https://schema.org", "@graph": [{"@type": "WebPage", "name": "A page"}, RECIPE]},
        {**RECIPE, "@type": ["Thing", "Recipe"]},
        {**RECIPE, "@type": "http://schema.org/Recipe"},
        {"@type": "WebPage", "mainEntity": RECIPE},
        {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": RECIPE}]},
        {("schema:" + key if not key.startswith("@") else key): value for key, value in RECIPE.items()}
        | {"@type": "schema:Recipe"},
        {
            **{key: value for key, value in RECIPE.items() if key != "recipeIngredient"},
            "ingredients": RECIPE["recipeIngredient"],
        },
    ],
    ids=[
        "one",
        "list",
        "graph",
        "two types",
        "whole address",
        "main entity",
        "item list",
        "prefix",
        "superseded name",
    ],
)
def test_schema_org_recipes(tmp_path: Path, shape: Any) -> None:
    _holds(tmp_path, shape, ".json")


@pytest.mark.parametrize("ending", [".jsonld", ".html"])
def test_schema_org_recipes_in_other_files(tmp_path: Path, ending: str) -> None:
    _holds(tmp_path, RECIPE, ending)


def _holds(tmp_path: Path, shape: Any, ending: str) -> None:
    text = json.dumps(shape)
    if ending == ".html":
        text = f'<html><head><script type="application/ld+json">{text}</script></head><body><script>var a = "Recipe";</script></body></html>'
    ran, document, book = bring(tmp_path, {"crumble" + ending: text}, law="us")
    assert ran.code == 0, document["faults"]
    # NIST Handbook 44, Appendix C: a US cup is 236.588 ml. A stick of butter as 113 g: common practice, no source.
    assert taken_lines(document) == {
        "Apple crumble": (
            "1.2 kg apples, peeled",
            "473.2 ml plain flour",
            "113 g butter",
            "salt to taste",
            "black pepper to taste",
        )
    }
    assert document["recipes"][0]["makes"] == "8"
    assert document["recipes"][0]["method"] == ["Cook the apples.", "Rub the butter in.", "Bake it."]
    only_unknown(book)


@pytest.mark.parametrize(
    ("value", "makes", "gives"),
    [
        ("4", "4", ""),
        (4, "4", ""),
        ("Serves 4", "4", ""),
        (["4", "4 servings"], "4", ""),
        ({"@type": "QuantitativeValue", "value": 12, "unitText": "rolls"}, "12", ""),
        ("12 rolls", "12", ""),
        ("1.5 kg", "", "1.5 kg"),
        ("4-6 servings", "", ""),
        ("one loaf", "1", ""),
        (None, "", ""),
    ],
)
def test_yields(tmp_path: Path, value: Any, makes: str, gives: str) -> None:
    ran, document, _ = bring(tmp_path, {"x.json": json.dumps({**RECIPE, "recipeYield": value})})
    assert ran.code == 0, document["faults"]
    assert (document["recipes"][0]["makes"], document["recipes"][0]["gives"]) == (makes, gives)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("x.json", "{", "not JSON"),
        ("x.json", "[" * 100_000, "not JSON"),
        ("x.json", '{"@type": "Person", "name": "A cook"}', "no schema.org Recipe"),
        ("x.json", '{"@type": "Recipe", "name": "Air"}', "no 'recipeIngredient'"),
        ("x.json", '{"@type": "Recipe", "recipeIngredient": ["1 g salt"]}', "no 'name'"),
        ("x.json", '{"@type": "Recipe", "name": "Air", "recipeIngredient": ["peanuts"]}', "'peanuts' has no amount"),
        ("x.html", "<html><body>Apple crumble</body></html>", "no schema.org Recipe"),
        ("x.txt", "only words here\nand more of them\n", "no amount with a name"),
        ("x.txt", "   \n", "is empty"),
    ],
)
def test_bad_texts_get_a_sentence(tmp_path: Path, name: str, text: str, words: str) -> None:
    ran, document, book = bring(tmp_path, {name: text})
    assert ran.code == 1
    assert any(words in one["problem"] for one in document["faults"]), document["faults"]
    assert all(one["mend"] for one in document["faults"])
    assert not (book / "imported").exists()


def test_two_lists_of_one_recipe_that_differ_are_asked_about(tmp_path: Path) -> None:
    both = {**RECIPE, "ingredients": [*RECIPE["recipeIngredient"], "50 g walnuts"]}
    ran, document, book = bring(tmp_path, {"x.json": json.dumps(both)})
    assert ran.code == 1
    assert [one["problem"] for one in document["faults"]] == [
        "'50 g walnuts' stands in 'ingredients' and not in 'recipeIngredient'."
    ]
    assert not (book / "imported").exists()


def test_the_same_list_twice_is_taken_once(tmp_path: Path) -> None:
    ran, document, _ = bring(tmp_path, {"x.json": json.dumps({**RECIPE, "ingredients": RECIPE["recipeIngredient"]})})
    assert ran.code == 0
    # Four texts, of which "salt & black pepper" names two things.
    assert [len(one["lines"]) for one in document["recipes"]] == [5]
