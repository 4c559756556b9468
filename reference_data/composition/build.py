"""Make the shipped composition table from the two text files of the release, and what runs from the table.

``python build.py FOLDER`` reads ABBREV.txt and FOOD_DES.txt in FOLDER and writes ``sr28.csv``, the form people review.
``python build.py`` alone makes the compiled files from ``sr28.csv`` and the data beside it. Users never run either.
"""

import csv
import hashlib
import io
import json
import math
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from labeller.composition.kitchen_adjectives import read_adjectives, read_no_row
from labeller.composition.search_index import build_index
from labeller.composition.search_spelling import read_synonyms

HERE = Path(__file__).resolve().parent
ALLOW_LIST = HERE.parent / "alcohol" / "ethanol_bearing_foods.csv"

SOURCE_SHA256 = {
    "ABBREV.txt": "4c42235a001efd5e94ce38001682138056aa1b755427b8a8d315c2b02cd2b85b",
    "FOOD_DES.txt": "bb2047218cdad1d830da69e760386409fde3b7afabceae604c5479f280d4fa2e",
}

# The order of fields in ABBREV.txt, from the release's own documentation (sr28_doc.pdf), units of the amount in 100 g.
NUTRIENTS = (
    "water_g", "energy_kcal", "protein_g", "fat_g", "ash_g", "carbohydrate_g", "fibre_g", "sugars_g",
    "calcium_mg", "iron_mg", "magnesium_mg", "phosphorus_mg", "potassium_mg", "sodium_mg", "zinc_mg", "copper_mg",
    "manganese_mg", "selenium_ug", "vitamin_c_mg", "thiamin_mg", "riboflavin_mg", "niacin_mg", "pantothenic_acid_mg",
    "vitamin_b6_mg", "folate_ug", "folic_acid_ug", "food_folate_ug", "folate_dfe_ug", "choline_mg", "vitamin_b12_ug",
    "vitamin_a_iu", "vitamin_a_rae_ug", "retinol_ug", "alpha_carotene_ug", "beta_carotene_ug", "beta_cryptoxanthin_ug",
    "lycopene_ug", "lutein_zeaxanthin_ug", "vitamin_e_mg", "vitamin_d_ug", "vitamin_d_iu", "vitamin_k_ug",
    "saturates_g", "monounsaturates_g", "polyunsaturates_g", "cholesterol_mg",
)  # fmt: skip
MEASURES = ("measure_1_g", "measure_1", "measure_2_g", "measure_2", "refuse_percent")
FACTORS = ("nitrogen_factor", "factor_protein_kcal", "factor_fat_kcal", "factor_carbohydrate_kcal")
MADE_HERE = ("ethanol_g", "other_g")
PROXIMATES = ("water_g", "protein_g", "fat_g", "ash_g", "carbohydrate_g")
TEXTS = (
    "name", "short_name", "scientific_name", "common_name", "manufacturer", "refuse_description", "measure_1", "measure_2",
)  # fmt: skip
CSV_COLUMNS = (
    "food_code", "group", "group_name", "name", "short_name", "common_name", "manufacturer", "scientific_name",
    *NUTRIENTS, *MEASURES, "refuse_description", *FACTORS, *MADE_HERE,
)  # fmt: skip
FIGURES = tuple(column for column in (*NUTRIENTS, *MEASURES, *FACTORS, *MADE_HERE) if column not in TEXTS)

# FD_GROUP.txt of the same release; the package carries the codes only.
GROUP_NAMES = {
    "0100": "Dairy and Egg Products",
    "0200": "Spices and Herbs",
    "0300": "Baby Foods",
    "0400": "Fats and Oils",
    "0500": "Poultry Products",
    "0600": "Soups, Sauces, and Gravies",
    "0700": "Sausages and Luncheon Meats",
    "0800": "Breakfast Cereals",
    "0900": "Fruits and Fruit Juices",
    "1000": "Pork Products",
    "1100": "Vegetables and Vegetable Products",
    "1200": "Nut and Seed Products",
    "1300": "Beef Products",
    "1400": "Beverages",
    "1500": "Finfish and Shellfish Products",
    "1600": "Legumes and Legume Products",
    "1700": "Lamb, Veal, and Game Products",
    "1800": "Baked Products",
    "1900": "Sweets",
    "2000": "Cereal Grains and Pasta",
    "2100": "Fast Foods",
    "2200": "Meals, Entrees, and Side Dishes",
    "2500": "Snacks",
    "3500": "American Indian/Alaska Native Foods",
    "3600": "Restaurant Foods",
}


def read_release_file(path: Path, fields: int) -> dict[str, list[str]]:
    """Return the fields of each line of a release file by food code; text without its tildes, blank left blank."""
    octets = path.read_bytes()
    digest = hashlib.sha256(octets).hexdigest()
    if digest != SOURCE_SHA256[path.name]:
        raise SystemExit(f"{path.name} is not the file of release 28: its sha256 is {digest}.")
    rows: dict[str, list[str]] = {}
    # cp1252 and not latin-1: one food carries the curly quotes that only cp1252 has.
    for number, line in enumerate(octets.decode("cp1252").splitlines(), 1):
        parts = [part.strip("~").strip() for part in line.split("^")]
        if len(parts) != fields:
            raise SystemExit(f"{path.name}:{number}: {len(parts)} fields, {fields} expected.")
        rows[parts[0]] = parts
    return rows


def ethanol_bearing_codes() -> frozenset[str]:
    """Return the codes of the foods that really contain ethanol; every other residual is analysis error."""
    with ALLOW_LIST.open(encoding="utf-8", newline="") as file:
        return frozenset(row["food_code"] for row in csv.DictReader(file))


def close_to_100_g(row: dict[str, str], *, bears_ethanol: bool) -> tuple[str, str]:
    """Return ethanol and ``other`` as text [g/100 g], so that the proximates add to 100; missing counts as 0."""
    left = round(100.0 - math.fsum(float(row[column] or 0) for column in PROXIMATES), 4)
    ethanol_g, other_g = (left, 0.0) if bears_ethanol else (0.0, left)
    return f"{ethanol_g:.6g}", f"{other_g + 0.0:.6g}"


def read_release(folder: Path) -> list[dict[str, str]]:
    """Return the rows of the reviewed table, sorted by food code, as text."""
    figures = read_release_file(folder / "ABBREV.txt", 53)
    descriptions = read_release_file(folder / "FOOD_DES.txt", 14)
    if figures.keys() != descriptions.keys():
        raise SystemExit("ABBREV.txt and FOOD_DES.txt do not describe the same foods.")
    allowed = ethanol_bearing_codes()
    if missing := allowed - figures.keys():
        raise SystemExit(f"{ALLOW_LIST.name}: no such food as {', '.join(sorted(missing))}.")
    rows = []
    for code in sorted(figures):
        numbers, words = figures[code], descriptions[code]
        row = {
            "food_code": code,
            "group": words[1],
            "group_name": GROUP_NAMES[words[1]],
            "name": words[2],
            "short_name": numbers[1],
            "common_name": words[4],
            "manufacturer": words[5],
            "refuse_description": words[7],
            "scientific_name": words[9],
            **dict(zip(NUTRIENTS, numbers[2:48], strict=True)),
            **dict(zip(MEASURES, numbers[48:53], strict=True)),
            **dict(zip(FACTORS, words[10:14], strict=True)),
        }
        row["ethanol_g"], row["other_g"] = close_to_100_g(row, bears_ethanol=code in allowed)
        rows.append(row)
    return rows


def table_as_csv(rows: list[dict[str, str]]) -> bytes:
    """Return the reviewed table as the bytes of a CSV file."""
    text = io.StringIO()
    writer = csv.DictWriter(text, CSV_COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")


def read_table() -> list[dict[str, str]]:
    """Return the rows of the reviewed table as they stand in the folder."""
    with (HERE / "sr28.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _npy(array: "np.ndarray[tuple[int, ...], np.dtype[np.generic]]") -> bytes:
    held = io.BytesIO()
    np.save(held, array, allow_pickle=False)
    return held.getvalue()


def compile_table(rows: list[dict[str, str]]) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of each compiled file of the table.

    ``sr28.npy`` holds the figures (foods x columns, NaN where blank); ``sr28_codes.npy`` food code and group code as
    numbers; ``sr28_texts.bin`` all words end to end in UTF-8, column after column, with where each begins in
    ``sr28_texts.npy`` (columns x foods + 1), so that one name is read without the others; ``sr28.json`` the headings.
    """
    figures = np.array([[float(row[column] or "nan") for column in FIGURES] for row in rows], dtype=np.float64)
    yield "sr28.npy", _npy(figures)
    codes = np.array([[int(row["food_code"]), int(row["group"])] for row in rows], dtype=np.int32)
    yield "sr28_codes.npy", _npy(codes)
    blob = bytearray()
    begins = np.zeros((len(TEXTS), len(rows) + 1), dtype=np.int32)
    for line, column in enumerate(TEXTS):
        for place, row in enumerate(rows):
            begins[line, place] = len(blob)
            blob += row[column].encode("utf-8")
        begins[line, len(rows)] = len(blob)
    yield "sr28_texts.bin", bytes(blob)
    yield "sr28_texts.npy", _npy(begins)
    headings = {
        "source": "USDA National Nutrient Database for Standard Reference, Release 28 (2015)",
        "sha256": SOURCE_SHA256,
        "foods": len(rows),
        "columns": FIGURES,
        "texts": TEXTS,
        "groups": GROUP_NAMES,
        "ethanol_bearing": sorted(ethanol_bearing_codes()),
    }
    yield "sr28.json", (json.dumps(headings, ensure_ascii=False, separators=(",", ":")) + "\n").encode("utf-8")


def compile_search(rows: list[dict[str, str]]) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of each compiled file of the search: words of the names, and the synonyms beside them."""
    index = build_index(rows)
    yield "search_entries.npy", _npy(index.entries)
    yield "search_rows.npy", _npy(index.rows)
    synonyms = {
        word: [synonym.word, synonym.means, synonym.applies, synonym.ground]
        for word, synonym in read_synonyms(HERE / "synonyms.csv").items()
    }
    held = {"vocabulary": index.vocabulary, "spoken": index.spoken, "synonyms": synonyms}
    yield "search.json", (json.dumps(held, ensure_ascii=False, separators=(",", ":")) + "\n").encode("utf-8")
    words = {
        "adjectives": read_adjectives(HERE / "adjectives.csv"),
        "no_row": read_no_row(HERE / "no_row.csv"),
    }
    yield "kitchen_words.json", (json.dumps(words, ensure_ascii=False, separators=(",", ":")) + "\n").encode("utf-8")


def main(arguments: list[str]) -> None:
    """Write what the arguments ask for."""
    if arguments:
        (HERE / "sr28.csv").write_bytes(table_as_csv(read_release(Path(arguments[0]))))
    rows = read_table()
    for name, octets in (*compile_table(rows), *compile_search(rows)):
        (HERE / name).write_bytes(octets)
        print(f"{name}: {len(octets):,} bytes")


if __name__ == "__main__":
    main(sys.argv[1:])
