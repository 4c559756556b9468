"""What household measures say, against rows of the release and sizes of US measures."""

import pytest

from labeller.composition.measures import piece_weight, read_piece, read_volume, split_count, volume_weight
from labeller.composition.table import load_table

# Rows of the release: grams of the measure over US customary millilitres (NIST Handbook 44, Appendix C); g/ml by hand.
VOLUMES = [
    ("14429", 1.001),  # 1 fl oz = 29.6 g; not the bottle
    ("01077", 1.031),  # 1 cup = 244 g
    ("01053", 1.006),  # 1 cup, fluid = 238 g, and not 1 cup, whipped = 120 g
    ("01056", 0.972),  # 1 cup = 230 g before 1 tbsp = 12 g
    ("01095", 1.293),
    ("01090", 0.541),  # .25 cup = 32 g, 1 cup = 128 g
    ("04053", 0.913),  # 1 tablespoon, 1 cup
    ("16098", 1.091),  # 2 tbsp = 32 g, 1 cup = 258 g
    ("19296", 1.433),
    ("19353", 1.353),  # 1 tbsp = 20 g; "1 serving, 1/4 cup" names a serving
    ("20081", 0.528),
    ("08120", 0.342),
    ("02046", 1.052),  # "1 tsp, or 1 packet" names more than the unit
    ("02047", 1.217),
    ("14037", 0.940),
    ("02010", 0.534),
]


@pytest.mark.parametrize(("code", "g_per_ml"), VOLUMES)
def test_grams_per_millilitre(code: str, g_per_ml: float) -> None:
    table = load_table()
    row = table.row_index(code)
    assert row is not None
    weight = volume_weight(table.measures(row))
    assert weight is not None
    assert weight.g_per_ml == pytest.approx(g_per_ml, abs=0.0006)


# Powdered sugar sifted, brown sugar packed, cake flour dipped, almonds whole, pepper ground, plums sliced: how, not how much.
@pytest.mark.parametrize("code", ["19336", "19334", "20084", "12061", "02030", "09279", "01123", "18337"])
def test_a_measure_that_says_how_is_no_volume(code: str) -> None:
    table = load_table()
    row = table.row_index(code)
    assert row is not None
    assert volume_weight(table.measures(row)) is None


# Piece measures of rows of the release: edible grams of one.
PIECES = [
    ("01123", 50.0),  # 1 large, 1 extra large: large
    ("01124", 33.0),
    ("01125", 17.0),
    ("01140", 9.0),  # 1 egg
    ("09150", 58.0),
    ("09279", 66.0),
    ("09200", 184.0),
    ("09089", 50.0),  # 1 large, 1 medium: medium
    ("09111", 332.0),  # .5 large = 166 g
    ("09132", 4.9),  # 10 grapes = 49 g
    ("09050", 1.36),  # 50 berries = 68 g
    ("09176", 336.0),
    ("09087", 7.1),
    ("11352", 369.0),
    ("11246", 89.0),
    ("11080", 82.0),
    ("11098", 19.0),
    ("11957", 234.0),
    ("11007", 128.0),
    ("11052", 5.5),
    ("11167", 143.0),  # 1 ear, large, yields
    ("11209", 458.0),  # 1 eggplant, peeled (yield from 1-1/4 lb)
    ("11278", 11.875),
    ("15149", 6.0),
]


@pytest.mark.parametrize(("code", "weight_g"), PIECES)
def test_grams_of_one_piece(code: str, weight_g: float) -> None:
    table = load_table()
    row = table.row_index(code)
    assert row is not None
    piece = piece_weight(table.measures(row))
    assert piece is not None
    assert piece.weight_g == pytest.approx(weight_g, rel=1e-12)


# One leaf is no lettuce, one floweret no cauliflower, one pat no butter, ounces, packs and shop chickens no pieces.
@pytest.mark.parametrize(
    "code", ["11251", "11135", "01001", "02044", "12151", "05006", "11215", "19177", "09404", "14003"]
)
def test_a_part_or_a_pack_is_not_one_of_the_food(code: str) -> None:
    table = load_table()
    row = table.row_index(code)
    assert row is not None
    assert piece_weight(table.measures(row)) is None


@pytest.mark.parametrize(
    ("code", "noun", "size", "weight_g"),
    [
        ("02044", "leaves", "", 0.5),
        ("11251", "leaf", "", 6.0),
        ("11135", "florets", "", None),
        ("11135", "flowerets", "", 13.0),
        ("01123", "", "extra large", 56.0),
        ("01123", "", "medium", None),
        ("01001", "pat", "", 5.0),
    ],
)
def test_a_piece_by_its_own_word(code: str, noun: str, size: str, weight_g: float | None) -> None:
    table = load_table()
    row = table.row_index(code)
    assert row is not None
    piece = piece_weight(table.measures(row), noun, size)
    assert (piece.weight_g if piece else None) == weight_g


@pytest.mark.parametrize(
    "words", ["", "cup", "0 cup", "1/0 cup", "one cup", "1", "1 ", "1 cup, packed", "1 cup whipped", "-1 cup", "1 can"]
)
def test_words_that_are_no_volume(words: str) -> None:
    assert read_volume(100.0, words) is None


@pytest.mark.parametrize(
    "words",
    [
        "",
        "1",
        "large",
        "1 oz",
        "1 package",
        "1 serving",
        "1 cup",
        "1 fruit, yields",
        "3 oz",
        "1 piece, excluding refuse",
    ],
)
def test_words_that_are_no_piece(words: str) -> None:
    assert read_piece(100.0, words) is None


@pytest.mark.parametrize(
    ("words", "count"), [("1 cup", 1.0), (".25 cup", 0.25), ("1/2 cup", 0.5), ("10  grapes", 10.0), ("0.5 cup", 0.5)]
)
def test_the_number_a_measure_begins_with(words: str, count: float) -> None:
    counted = split_count(words)
    assert counted is not None
    assert counted[0] == count


def test_no_row_of_the_table_makes_the_reader_stumble() -> None:
    table = load_table()
    for row in range(len(table)):
        weight, piece = volume_weight(table.measures(row)), piece_weight(table.measures(row))
        assert weight is None or 0.005 < weight.g_per_ml < 4.0, table.name(row)
        assert piece is None or piece.weight_g > 0, table.name(row)
