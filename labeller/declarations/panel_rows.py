"""The rows of a nutrition declaration as each law orders and words them, from the data of that law.

A law without panel data of its own gets a plain table: its lines in its order, per 100 g and per portion.
"""

from labeller.declarations.daily_intake import DailyIntake, daily_intake
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.figures import Figures
from labeller.declarations.panel_content import (
    NOT_KNOWN,
    Column,
    Figure,
    MissingFigure,
    NoPortionError,
    OneRefusedError,
    Panel,
    PanelLine,
    PanelRefusedError,
    Serving,
)
from labeller.declarations.panel_missing import missing_figure
from labeller.declarations.panel_serving import AskedServing, serving_of
from labeller.declarations.panel_simplified import simplified
from labeller.foundations.names import capitalised
from labeller.foundations.plain import dataclass, replace
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.terms import NutrientLine

# Words of our plain table, for what a law's data leave out.
_PLAIN_WORDS = {
    "title": "Nutrition information",
    "per 100 g": "per 100 g",
    "per 100 ml": "per 100 ml",
    "per portion": "per portion ({serving})",
    "portions": "Portions in the package: {count}",
    "portion size": "Portion: {serving}",
    "indented": "{name}",
}
_FACTS = ("vertical", "tabular", "simplified", "bilingual")


@dataclass(frozen=True, slots=True)
class PanelWish:
    """How a panel is wanted: ``per`` both, 100g or portion; ``servings`` in a pack; ``serving`` one portion; ``form`` of those the law has. Empty: the law's own."""

    per: str = ""
    servings: str = ""
    serving: AskedServing | None = None
    form: str = ""


def panel_of(declarer: Declarer, declaration: Declaration, wish: PanelWish | None = None) -> Panel:
    """Return the nutrition declaration of one dish or of one thing a preparation gives.

    Raises
    ------
    PanelRefusedError
        If the law has no such form or basis, or counts by a portion and nobody says what that is.
    """
    return _Rows(declarer, declaration, wish or PanelWish()).panel()


class _Rows:
    def __init__(self, declarer: Declarer, declaration: Declaration, wish: PanelWish) -> None:
        self.declarer, self.declaration, self.law, self.wish = declarer, declaration, declaration.law, wish
        if not declaration.weight_g > 0.0:
            raise OneRefusedError(f"'{declaration.name}' weighs nothing: there is nothing to declare.")
        self.form = _form(self.law, wish.form)
        self.languages = ("en", "fr") if self.form == "bilingual" else ("en",)
        self.serving = serving_of(declarer, declaration, wish.serving, self.languages)
        self.bases = self._bases()
        self.of_serving = self._of_serving() if "per_portion" in self.bases else None
        self.printed = {basis: self._printed(basis) for basis in self.bases}
        self.missing: list[MissingFigure] = []
        self.intake = daily_intake(self.of_serving) if self.of_serving is not None else DailyIntake()

    def panel(self) -> Panel:
        percents = self._percents_stand()
        lines = [self._line(line, percents=percents) for line in self._chosen()]
        if not lines:
            raise PanelRefusedError(
                f"{self.law.title} has no nutrition declaration of packed food on file. Write --jurisdiction with another law."
            )
        panel = Panel(
            self.declaration.name,
            self.law,
            self.form,
            self.languages,
            self._title(),
            self.serving if "per_portion" in self.bases else None,
            self._servings(),
            self._above(),
            tuple(Column(basis, self._head(basis)) for basis in self.bases),
            tuple(self._texts("percent")) if percents else (),
            tuple(lines),
            self._statements(percents=percents),
            tuple(self.missing),
        )
        return simplified(panel, self.of_serving) if self.form == "simplified" else panel

    def _bases(self) -> tuple[str, ...]:
        rule = self.law.panel.get("basis")
        allowed = rule.choices if rule is not None else _bases_of_lines(self.law)
        per = self.wish.per
        if per and per not in allowed:
            where = f" ({rule.clause.as_text()})" if rule is not None else ""
            raise PanelRefusedError(
                f"--per {per}: the panel of {self.law.title} has {' or '.join(allowed)}{where}. Write one of these, or leave --per away."
            )
        if not per:
            per = allowed[0]
            if per == "both" and self.serving is None and "100g" in allowed:
                per = "100g"
        if per != "100g" and self.serving is None:
            raise NoPortionError(self.declaration.name)
        both = ("per_portion", "per_100_g") if "portion first" in self.law.panel else ("per_100_g", "per_portion")
        return both if per == "both" else ("per_100_g",) if per == "100g" else ("per_portion",)

    def _of_serving(self) -> Declaration:
        """Return the declaration of one serving: the dish's own portion, or its figures brought to the serving asked for."""
        serving, declaration = self._serving(), self.declaration
        share = serving.grams / declaration.weight_g if declaration.weight_g > 0.0 else 0.0
        if declaration.kind == "dish" and self.wish.serving is None:
            return declaration
        figures = declaration.figures
        scaled = Figures(serving.grams, {key: value * share for key, value in figures.sums.items()}, figures.missing)
        printed = self.declarer.definitions.declared(scaled.sums, scaled.incomplete(), "per_portion")
        return replace(declaration, kind="dish", weight_g=serving.grams, figures=scaled, declared_per_portion=printed)

    def _serving(self) -> Serving:
        if self.serving is None:
            raise NoPortionError(self.declaration.name)
        return self.serving

    @property
    def _millilitres_in_100_g(self) -> float | None:
        if self.serving is not None and self.serving.millilitres and self.serving.grams > 0.0:
            return self.serving.millilitres / self.serving.grams * 100.0
        if self.serving is None:
            from labeller.declarations.pouring import pours  # noqa: PLC0415 - asked here only of batches without pieces

            declaration = self.declaration
            volume = declaration.batch.volume_ml()
            if declaration.weight_g > 0.0 and volume > 0.0 and pours(self.declarer.workings, declaration):
                return volume / declaration.weight_g * 100.0
        return None

    def _printed(self, basis: str) -> dict[str, str]:
        if basis == "per_portion":
            return self.of_serving.declared_per_portion if self.of_serving is not None else {}
        volume = self._millilitres_in_100_g
        if volume is None:
            return self.declaration.declared_per_100_g
        # Liquids go by 100 ml: Regulation (EU) No 1169/2011, Article 32(2); Standard 1.2.8-6(1)(d).
        figures = self.declaration.figures
        per_100_ml = {key: value * 100.0 / volume for key, value in figures.per_100_g().items()}
        return self.declarer.definitions.declared(per_100_ml, figures.incomplete(), "per_100_g")

    def _chosen(self) -> list[NutrientLine]:
        """Return the lines the law wants, and those it leaves free that we print where they are whole."""
        rule = self.law.panel.get("optional lines")
        optional = rule.choices if rule is not None else ()
        found: dict[str, NutrientLine] = {}
        for line in self.law.nutrients_for("prepacked"):
            if line.mandatory or (line.key in optional and all(line.key in one for one in self.printed.values())):
                found.setdefault(line.key, line)
        return list(found.values())

    def _line(self, line: NutrientLine, *, percents: bool) -> PanelLine:
        goes_on = line.key == "energy_kcal" and self._has_kj()
        amounts = tuple(self._amount(line, basis, in_brackets=goes_on and not line.mandatory) for basis in self.bases)
        names = self._names(line)
        if not all(one.known for one in amounts):
            self.missing.append(missing_figure(self.declarer, self.declaration, line.key, self._plain_name(line)))
        if "{amount}" in names[0] and amounts[0].known:
            names, amounts = tuple(one.format(amount=amounts[0].text) for one in names), ()
        else:
            names = tuple(one.replace("{amount} ", "") for one in names)
        minerals = self.law.panel.get("vitamins and minerals")
        part = "minerals" if minerals is not None and line.key in minerals.choices else "nutrients"
        if line.key.startswith("energy_"):
            part = "energy"
        bold = self.law.panel.get("bold")
        is_bold = line.key in bold.choices if bold is not None else line.indent == 0 and part != "minerals"
        percent, shared = self._percent(line) if percents else (None, "")
        return PanelLine(line.key, () if goes_on else names, line.indent, amounts, percent, shared, part, is_bold)

    def _has_kj(self) -> bool:
        return any(one.key == "energy_kj" and one.mandatory for one in self.law.nutrients)

    def _amount(self, line: NutrientLine, basis: str, *, in_brackets: bool) -> Figure:
        printed = self.printed[basis].get(line.key)
        if printed is None:
            return Figure(NOT_KNOWN, known=False)
        # A line that names its unit carries none: "Calories 230" (21 CFR 101.9(d)(5)).
        text = printed if line.label.casefold() == "calories" else f"{printed} {line.unit}"
        return Figure(f"({text})" if in_brackets else text)

    def _names(self, line: NutrientLine) -> tuple[str, ...]:
        words = self.law.panel.get(line.key)
        if words is not None:
            return tuple(words.texts.get(language, line.label) for language in self.languages)
        name = line.label
        if self.form == "table":
            if line.indent:
                return (self._word("indented").format(name=name),)
            name = capitalised(name)
        return (name,) * len(self.languages)

    @staticmethod
    def _plain_name(line: NutrientLine) -> str:
        name = line.label.replace("Includes {amount} ", "").removeprefix("+ ")
        if ", " in name:  # "Fat, total" would read as two in a list
            first, _, rest = name.partition(", ")
            name = f"{rest} {first.lower()}"
        return f"{name} in {line.unit}" if line.key.startswith("energy_") and name == "energy" else name

    def _percents_stand(self) -> bool:
        return bool(self._texts("percent")) and "per_portion" in self.bases

    def _percent(self, line: NutrientLine) -> tuple[Figure | None, str]:
        intake = self.law.intakes.get(line.key)
        voluntary = "percent of a portion" in self.law.panel
        if intake is None or intake.percent == "never" or (intake.percent != "shown" and not voluntary):
            return None, ""
        if voluntary and line.key == "energy_kcal":
            return None, ""
        together = intake.together_with
        for one in self.intake.per_portion:
            if one.key == line.key:
                return Figure(
                    f"{one.percent} %" if self.form in ("table", "bilingual") else f"{one.percent}%"
                ), together
            if one.together_with == line.key:
                return None, one.key
        incomplete = self.declaration.figures.incomplete()
        unknown = line.key in incomplete or line.key not in self.declaration.figures.sums or together in incomplete
        if not unknown:
            return None, ""
        # Of two lines that share a percentage the first bears it.
        first = next((one.key for one in self.law.nutrients if one.key in (line.key, together)), line.key)
        return (Figure(NOT_KNOWN, known=False), together) if first == line.key else (None, first)

    def _head(self, basis: str) -> str:
        if basis == "per_100_g":
            return self._word("per 100 ml" if self._millilitres_in_100_g is not None else "per 100 g")
        if self.form in _FACTS:
            return self._serving().words()
        return self._word("per portion").format(serving=self._serving().size)

    def _title(self) -> tuple[str, ...]:
        statement = self.law.statements.get("title")
        if statement is not None:
            return tuple(statement.texts.get(language, statement.texts["en"]) for language in self.languages)
        return (self._word("title"),) * len(self.languages)

    def _servings(self) -> str:
        return self.wish.servings or "1"

    def _above(self) -> tuple[str, ...]:
        """Return what stands above a table: how many portions, and how large."""
        if self.form != "table" or "per_portion" not in self.bases:
            return ()
        count, serving = self._servings(), self._serving().words()
        panel = self.law.panel
        if "servings" in panel:
            return (
                self._word("servings").format(count=count),
                self._word("serving size").format(serving=serving),
            )
        size = (
            (self._word("portion size").format(serving=serving),)
            if self._serving().words() != self._serving().size
            else ()
        )
        return (self._word("portions").format(count=count), *size)

    def _statements(self, *, percents: bool) -> tuple[str, ...]:
        if not percents:
            return ()
        for key in ("daily_value_footnote", "reference_intake"):
            statement = self.law.statements.get(key)
            if statement is not None:
                texts = [statement.texts.get(language) for language in self.languages]
                found = tuple(text for text in texts if text)
                return tuple(text if text.startswith("*") else f"* {text}" for text in found)
        return ()

    def _texts(self, key: str) -> list[str]:
        rule = self.law.panel.get(key)
        return [rule.texts.get(language, rule.texts["en"]) for language in self.languages] if rule is not None else []

    def _word(self, key: str) -> str:
        found = self._texts(key)
        return found[0] if found else _PLAIN_WORDS[key]


def _bases_of_lines(law: LawInForce) -> tuple[str, ...]:
    """Return how a law without panel data may count: as all its lines do."""
    lines = [line for line in law.nutrients if line.mandatory]
    common = set.intersection(*(set(line.basis) for line in lines)) if lines else set()
    ways = {"per_100_g": "100g", "per_portion": "portion"}
    found = tuple(way for basis, way in ways.items() if basis in common)
    return ("both", *found) if len(found) == len(ways) else found or ("portion",)


def _form(law: LawInForce, asked: str) -> str:
    rule = law.panel.get("form")
    forms = rule.choices if rule is not None else ("table",)
    if asked and asked not in forms:
        raise PanelRefusedError(
            f"--form {asked}: the panel of {law.title} is drawn as {' or '.join(forms)}. Write one of these, or leave --form away."
        )
    return asked or forms[0]


def of_one_serving(
    declarer: Declarer, declaration: Declaration, wish: PanelWish
) -> tuple[Serving, Declaration, dict[str, str]]:
    """Return one serving, the declaration of it, and the figures printed per 100 g or 100 ml.

    Raises
    ------
    PanelRefusedError
        If nobody says what a serving is.
    """
    rows = _Rows(declarer, declaration, replace(wish, per="", form=""))
    if rows.serving is None or rows.of_serving is None:
        raise NoPortionError(declaration.name)
    return rows.serving, rows.of_serving, rows.printed["per_100_g"]
