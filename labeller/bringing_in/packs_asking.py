"""Ask for what a pack says, one field at a time, and about each doubt; lines come from a function, words go to one."""

from collections.abc import Callable, Mapping
from typing import Final

from labeller.bringing_in.packs import apply_mend, calls_for_strength
from labeller.bringing_in.packs_checks import PackFinding
from labeller.bringing_in.packs_figures import SPOKEN

QUESTIONS: Final = (
    ("name", "What do you call it in the recipes?"),
    ("supplier", "Who supplies it?"),
    ("reference", "The supplier's own number for it?"),
    ("statement", "The list of ingredients, as printed?"),
    ("may_contain", "What may it contain, as printed (nuts, soya)?"),
    ("strength", "There is alcohol in it. How strong is it by the pack, such as 20 % vol?"),
    ("per", "What are the figures for (100 g, 100 ml, serving of 30 g)? 100 g unless said."),
    ("density", "What does a millilitre of it weigh, such as 1.03 g/ml?"),
    ("energy_kj", "Energy in kJ?"),
    ("energy_kcal", "Energy in kcal (Calories)?"),
    ("fat_g", "Fat in g?"),
    ("saturates_g", "of which saturates in g?"),
    ("carbohydrate_g", "Carbohydrate in g?"),
    ("sugars_g", "of which sugars in g?"),
    ("fibre_g", "Fibre in g?"),
    ("protein_g", "Protein in g?"),
    ("salt_g", "Salt in g?"),
    ("sodium_mg", "Sodium in mg, if the pack prints sodium?"),
)
_MOST_ROUNDS: Final = 12


def ask_fields(
    given: dict[str, str],
    line: Callable[[], str],
    say: Callable[[str], None],
    wrong: Callable[[str, str], str] = lambda *_: "",
) -> dict[str, str]:
    """Ask for every field that is not given yet and return them all; an empty line leaves a field out.

    Parameters
    ----------
    given : dict
        Fields that are known already.
    line, say : callable
        Where answers come from, where questions go.
    wrong : callable, optional
        What is wrong with the answer to a field, in words, '' where nothing is: it is then asked again, before the rest is typed.
    """
    say("Enter alone leaves a field out.")
    found = dict(given)
    for key, words in QUESTIONS:
        if key in found or not _asked(key, found):
            continue
        say(words)
        text = line()
        while text and (problem := wrong(key, text)):
            say(problem)
            text = line()
        if text:
            found[key] = text
    say("")
    return found


def _asked(key: str, found: Mapping[str, str]) -> bool:
    """Tell whether a question has a point: the strength of what holds alcohol, the weight of a millilitre of what is given by volume."""
    if key == "strength":
        return calls_for_strength(found.get("name", ""), found.get("statement", ""))
    if key == "density":
        return "ml" in found.get("per", "").casefold()
    return True


def ask_findings(
    figures: dict[str, float],
    findings_of: Callable[[dict[str, float]], list[PackFinding]],
    line: Callable[[], str],
    say: Callable[[str], None],
) -> tuple[dict[str, float], list[PackFinding], list[PackFinding]]:
    """Ask about each doubt: take the mend, keep what was typed, or stop; return the figures, the findings and those kept."""
    kept: list[PackFinding] = []
    for _ in range(_MOST_ROUNDS):
        findings = findings_of(figures)
        doubt = next((one for one in findings if not one.refuses and one not in kept), None)
        if doubt is None or any(one.refuses for one in findings):
            break
        say(f"{SPOKEN.get(doubt.field, doubt.field)}: {doubt.problem}\n    {doubt.mend}")
        offered = ", ".join(f"{SPOKEN[key]} {value:g}" for key, value in doubt.proposed)
        choice = f"y take {offered}   k keep as typed   q stop " if offered else "k keep as typed   q stop "
        say(choice)
        pressed = line().lower()[:1]
        if pressed == "y" and offered:
            figures = apply_mend(figures, doubt)
        elif pressed == "k":
            kept.append(doubt)
        else:
            break
    return figures, findings_of(figures), kept
