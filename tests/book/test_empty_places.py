"""A colon with nothing behind it is no empty plate: a dish of nothing would declare that nothing is in it."""

import pytest

from tests.kitchens import Kitchen


@pytest.mark.parametrize(
    ("text", "line", "field", "problem"),
    [
        ("- dish: soup\n  plate:\n", 3, "plate", "nothing is on the plate of 'soup'."),
        ("- dish: soup\n  plate: ''\n", 3, "plate", "nothing is on the plate of 'soup'."),
        ("- preparation: soup\n  takes:\n", 4, "takes", "'soup' takes nothing."),
        (
            "- preparation: soup\n  takes: [100 g butter]\n  gives: {soup: [liquor]}\n",
            5,
            "gives.soup",
            "'soup' has a list, and a part of the pan is one word.",
        ),
    ],
)
def test_nothing_behind_a_colon_is_a_fault(kitchen: Kitchen, text: str, line: int, field: str, problem: str) -> None:
    kitchen.write(text)
    found = [(one["line"], one["field"], one["problem"]) for one in kitchen.faults()]
    assert found == [(line, field, problem)]
