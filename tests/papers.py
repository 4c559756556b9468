"""A book opened for the tests of papers."""

from datetime import date

from labeller.cli.opening import Opened, open_book
from tests.kitchens import Kitchen

DAY = date(2026, 11, 25)

HOUSE = """
- ingredient: house cream
  composition: sr28:01053
  spec: {statement: "Cream (MILK)"}
- ingredient: hazelnut praline
  spec: {statement: "HAZELNUTS, sugar", may_contain: "almonds, peanut"}
- ingredient: nut paste
- ingredient: goat curd
  spec: {statement: "GOAT'S MILK, salt"}
- ingredient: shop stock
  spec: {declares: [celery]}
- ingredient: sugar syrup
  spec: {statement: "Water, sugar"}
- ingredient: cobs
  spec: {statement: "HAZELNUTS"}
- ingredient: mixed nuts
  spec: {statement: "NUTS"}
- ingredient: half known nuts
  spec: {declares: [hazelnut]}
- ingredient: house gin
  composition: sr28:14037
  strength: 40 % vol
- ingredient: rum essence
  spec: {statement: "Water, rum, sugar"}
- ingredient: sour sauce
  spec: {statement: "Water, white wine vinegar, sugar"}
- ingredient: gelatine gums
  spec: {statement: "Sugar, beef gelatine"}
"""


def opened(kitchen: Kitchen, text: str, *, law: str = "gb", house: str = HOUSE) -> Opened:
    """Write a book with the house's ingredients and open it."""
    kitchen.write(house + text, law=law)
    return open_book(kitchen.folder, None, DAY)
