"""A drink whose paper is whole and whose strength nobody gave: the way to settle it is a strength, not one more paper."""

import pytest

from tests.kitchens import Kitchen, plate, run

_ALE = '- ingredient: pale ale\n  spec: {dated: 2026-11-01, may_contain: none, statement: "water, BARLEY malt, hops, yeast"}\n'


@pytest.mark.parametrize("command", ["cards", "matrix", "notes"])
def test_papers_ask_for_the_strength(kitchen: Kitchen, command: str) -> None:
    """No list of ingredients names the alcohol that fermenting made: Regulation (EU) No 1169/2011, Article 16(4)."""
    kitchen.write(_ALE + plate("100 g pale ale"))
    ran = run(command, kitchen.folder, "--out", kitchen.folder.parent / "paper")
    assert ran.code == 3
    assert "'pale ale': write its strength from the pack" in " ".join(ran.err.split())
    assert "add the supplier's statement" not in ran.err


def test_a_part_that_bears_the_name_of_its_machine(kitchen: Kitchen) -> None:
    kitchen.write(
        "- kitchen: K\n  jurisdiction: eu\n  shared_equipment: [blender]\n"
        "- preparation: blender\n  takes: [100 g plums]\n  made_on: [blender]\n"
        "- preparation: praline\n  takes: [100 g hazelnuts]\n  made_on: [blender]\n"
        "- dish: bun\n  plate: [10 g blender]\n",
        law=None,
    )
    text = " ".join(run("declare", kitchen.folder).out.split())
    assert "Nuts: hazelnut: hazelnut over the blender, shared with hazelnuts, in praline" in text
