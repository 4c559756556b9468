"""A small book whose every figure is written, for the tests of nutrition panels."""

from datetime import date

from labeller.cli.opening import Opened, open_book
from tests.kitchens import Kitchen

DAY = date(2026, 11, 25)

# Ours: figures of no real food, chosen to fall on both sides of roundings.
WHOLE = """
- ingredient: oat base
  per_100_g: {fat_g: 7.25, saturates_g: 1.3, trans_fat_g: 0, carbohydrate_g: 60, sugars_g: 1, added_sugars_g: 0, fibre_g: 9.5,
              protein_g: 13, sodium_mg: 4, cholesterol_mg: 0, potassium_mg: 370, calcium_mg: 52, iron_mg: 4.2, vitamin_d_ug: 0,
              alcohol_g: 0, polyols_g: 0, starch_g: 49}
- ingredient: nut butter
  per_100_g: {fat_g: 55, saturates_g: 4.2, trans_fat_g: 0.1, carbohydrate_g: 12, sugars_g: 4.4, added_sugars_g: 0, fibre_g: 6,
              protein_g: 21, sodium_mg: 227, cholesterol_mg: 0, potassium_mg: 748, calcium_mg: 347, iron_mg: 3.5, vitamin_d_ug: 0,
              alcohol_g: 0, polyols_g: 0, starch_g: 1}
- ingredient: sweet syrup
  per_100_g: {fat_g: 0.05, saturates_g: 0, trans_fat_g: 0, carbohydrate_g: 67, sugars_g: 60.5, added_sugars_g: 60.5, fibre_g: 0.2,
              protein_g: 0.04, sodium_mg: 12, cholesterol_mg: 0, potassium_mg: 212, calcium_mg: 102, iron_mg: 0.11, vitamin_d_ug: 1.5,
              alcohol_g: 0, polyols_g: 0, starch_g: 0}
  density: 1.3 g/ml
- ingredient: plain water
  per_100_g: {fat_g: 0, saturates_g: 0, trans_fat_g: 0, carbohydrate_g: 0, sugars_g: 0, added_sugars_g: 0, fibre_g: 0, protein_g: 0,
              sodium_mg: 1, cholesterol_mg: 0, potassium_mg: 0, calcium_mg: 3, iron_mg: 0, vitamin_d_ug: 0, alcohol_g: 0, polyols_g: 0,
              starch_g: 0}
  density: 1 g/ml
- ingredient: mystery paste
  per_100_g: {fat_g: 20, carbohydrate_g: 30, fibre_g: 2, protein_g: 5, salt_g: 1, alcohol_g: 0}
- preparation: oat mixture
  takes: [300 g oat base, 120 g nut butter, 90 g sweet syrup]
  makes: 12
- preparation: loose mixture
  takes: [300 g oat base]
- dish: oat square
  course: dessert
  plate: [60 g oat base, 25 g nut butter, 18 g sweet syrup]
- dish: half known square
  course: dessert
  plate: [60 g oat base, 25 g nut butter, 15 g mystery paste]
- dish: sweet water
  course: drinks
  plate: [200 ml plain water, 30 g sweet syrup]
- dish: bare water
  course: drinks
  plate: [250 ml plain water]
- menu: tea
  sections: {sweet: [oat square, half known square]}
"""


def whole(kitchen: Kitchen, law: str, text: str = WHOLE) -> Opened:
    """Write the book under a law and open it."""
    kitchen.write(text, law=law)
    return open_book(kitchen.folder, None, DAY)
