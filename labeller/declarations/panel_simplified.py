"""The simplified form of 21 CFR 101.9(f): lines of insignificant amount left out, where enough of them are."""

from labeller.declarations.declaring import Declaration
from labeller.declarations.panel_content import OneRefusedError, Panel, PanelLine, PanelRefusedError
from labeller.foundations.plain import replace


def simplified(panel: Panel, serving: Declaration | None) -> Panel:
    """Return the panel with what is insignificant left out.

    Raises
    ------
    PanelRefusedError
        If too few lines are insignificant, or a figure that decides it is not known.

    Notes
    -----
    Insignificant is what may be declared as zero; of total carbohydrate, fibre and protein also what may be declared as less than one
    gram (21 CFR 101.9(f)(1)). Vitamins and minerals are so below 2 % of the RDI (21 CFR 101.9(c)(8)(iii)).
    """
    rules = panel.law.panel
    keeps, least = rules.get("simplified keeps"), rules.get("simplified from")
    if keeps is None or least is None or serving is None:
        raise PanelRefusedError("--form simplified: this law has no such form. Leave --form away.")
    if panel.incomplete:
        names = ", ".join(one.name for one in panel.missing)
        raise OneRefusedError(
            f"'{panel.name}': whether the simplified form may be used is not known, for these figures are missing: {names}. "
            "Supply them, or write --form vertical."
        )
    small = [line for line in panel.lines if _insignificant(panel, serving, line)]
    if len(small) < int(least.choices[0]):
        raise OneRefusedError(
            f"'{panel.name}': {len(small)} figures are insignificant, and the simplified form is for {least.choices[0]} or more "
            f"({least.clause.as_text()}). Write --form vertical."
        )
    kept = tuple(line for line in panel.lines if line not in small or line.key in keeps.choices)
    return replace(panel, lines=kept)


def _insignificant(panel: Panel, serving: Declaration, line: PanelLine) -> bool:
    printed = serving.declared_per_portion.get(line.key, "")
    below_one = panel.law.panel.get("insignificant below one gram")
    if line.part == "minerals":
        return line.percent is not None and line.percent.text == "0%"
    if below_one is not None and line.key in below_one.choices:
        return printed in ("0", "less than 1")
    return printed == "0"
