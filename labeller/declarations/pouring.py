"""Whether a thing pours, so that it is measured by volume and its strength stated as that of a drink."""

from labeller.declarations.declaring import Declaration
from labeller.foundations.names import name_key
from labeller.kitchen.working_out import WATER_TAKEN_UP, Workings

# Steps after which a thing stands, whatever went in: an ice, a set cream, a foam (common practice, no source).
_STANDING_STEPS = frozenset({"set", "freeze", "churn", "whip"})


def pours(workings: Workings, declaration: Declaration) -> bool:
    """Tell whether everything in a dish or batch pours, as far as is known.

    Notes
    -----
    Beyond `Batch.is_liquid`: what has no row of the table is taken for water where it has no figures, so that it could be anything;
    and what was set, frozen, churned or whipped does not pour.
    """
    larder = workings.larder
    batch = declaration.batch
    if not batch.is_liquid(larder.liquid):
        return False
    for place, grams in batch.ingoing().items():
        unknown = larder.rows[place] is None and not larder.liquid[place]
        if grams > 0.0 and unknown and name_key(larder.names[place]) != name_key(WATER_TAKEN_UP):
            return False
    methods = [workings.made[name].preparation.method for name in _made_of(workings, declaration)]
    return not any(step.kind in _STANDING_STEPS for method in methods for step in method)


def _made_of(workings: Workings, declaration: Declaration) -> list[str]:
    """Return the preparations whose last state is that of the thing: its own, or those of the lines of a plate."""
    if declaration.plate is not None:
        targets = [line.line.target for line in declaration.plate.lines]
        return [target.entry for target in targets if target is not None and target.kind == "given"]
    return [name for name, made in workings.made.items() if declaration.name in made.given]
