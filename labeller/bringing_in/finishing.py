"""Make recipes of the book from what was read of one, each line held against the others."""

import re
from dataclasses import replace

from labeller.bringing_in.cells import number_text, one_line
from labeller.bringing_in.drafts import Draft, RawLine, Section, share_of
from labeller.bringing_in.hearing import kinds_named, kinds_possible
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.line_making import line_from_text, make_lines
from labeller.bringing_in.shapes import SheetLine, SheetRecipe, Taken
from labeller.bringing_in.wordings import find_unit
from labeller.bringing_in.written_amounts import Amount, Commas, Number, Trouble, read_amount, read_start, rule_of
from labeller.foundations.names import fold_text
from labeller.foundations.quantities import parse_number
from labeller.foundations.units import MASS_G


def _scale(draft: Draft, taken: Taken) -> float | None:
    """Return the grams that one per cent stands for, or None where the shares cannot be weighed, which is then a fault."""
    raw = [line for _, line in draft.lines]
    shares = {index: share for index, line in enumerate(raw) if (share := share_of(line.percent)) is not None}
    for index, share in shares.items():
        amount = (
            read_amount(
                raw[index].amount.text,
                raw[index].unit.text or raw[index].heading_unit,
                "not known",
                typed_number=raw[index].amount.number,
            )
            if raw[index].amount.text
            else None
        )
        if isinstance(amount, Amount) and amount.number is not None and amount.unit in MASS_G and share > 0:
            return amount.number.value * MASS_G[amount.unit] / share
    total = sum(shares.values())
    if total <= 0:
        return None
    whole = 100.0 if max(shares.values()) > 2.0 or total > 5.0 else 1.0
    flours = sum(
        share
        for index, share in shares.items()
        if re.search(r"flour|mehl|farine|harina|farina|meel", fold_text(raw[index].name.text))
    )
    bakers = (any(abs(share - whole) < 1e-6 * whole for share in shares.values()) and len(shares) > 1) or abs(
        flours - whole
    ) < 0.005 * whole
    place = raw[next(iter(shares))].amount_place
    if not bakers and abs(total - whole) > 0.01 * whole:
        draft.faults.append(
            place.fault(
                f"the shares of '{draft.name}' add up to {number_text(round(total * 100 / whole, 2))} %, not to 100, and no flour is 100 %.",
                "Look whether a line is missing, and write shares that add up.",
            )
        )
        return None
    if draft.flour_g is not None and bakers:
        taken.leave(
            draft.place,
            draft.name,
            f"has shares of the flour; they are taken of {number_text(draft.flour_g)} g of flour.",
        )
        return draft.flour_g / whole
    batch, from_where = draft.batch_g, "the batch weight"
    if batch is None and draft.total_g is not None:
        batch, from_where = draft.total_g, "the total"
    if batch is None and draft.gives:
        number, unit = draft.gives.rsplit(" ", 1)
        batch, from_where = (parse_number(number.split(" ")[-1]) or 0.0) * MASS_G[unit], "the yield"
        draft.gives = ""
    if batch is None or batch <= 0:
        draft.faults.append(
            place.fault(
                f"'{draft.name}' has shares in %, and no weight of a batch to take them of.",
                "Write 'Batch weight' and a weight above the table, such as '2 kg'.",
            )
        )
        return None
    kind = "the flour" if bakers else "the whole"
    taken.leave(
        draft.place, draft.name, f"has shares of {kind}; they are taken of {from_where}, {number_text(batch)} g."
    )
    return batch / total


def finish_draft(draft: Draft, words: KitchenWords, commas: Commas, taken: Taken) -> None:
    """Make the recipe, and the recipes of its parts, and add them to what was taken."""
    draft.name = one_line(draft.name).strip(" :")[:150] or "unnamed recipe"
    scale = None
    if any(line.percent.text and not line.amount.text for _, line in draft.lines):
        scale = _scale(draft, taken)
    made: list[tuple[Section | None, SheetLine]] = []
    for section, raw in draft.lines:
        found = _line(raw, scale, words, commas)
        if isinstance(found, Trouble):
            if found.problem:
                draft.faults.append(raw.amount_place.fault(found.problem, found.mend))
            continue
        said = [f"the sheet says of its allergens: {raw.allergens}"] if raw.allergens else []
        made.extend(
            (section, replace(one, beside=one_line(raw.remark), comment="; ".join(filter(None, [one.comment, *said]))))
            for one in found
        )
        if raw.allergens:
            draft.claims.append((raw.place, raw.allergens))
    if not made and not draft.faults:
        taken.leave(draft.place, " ".join((draft.name, *draft.method, *draft.notes)), "has no lines; it is not taken.")
        return
    _finish_counts(draft, taken)
    _hold_yield(draft, [line for _, line in made], taken)
    _hold_words(draft, [line for _, line in made], words, taken)
    parts: list[SheetRecipe] = []
    lines: list[SheetLine] = []
    opened: set[str] = set()
    for section, line in made:
        if section is None:
            lines.append(line)
        elif not section.plain:
            first = section.name not in opened
            opened.add(section.name)
            lines.append(replace(line, above=section.name) if first else line)
        elif section.name not in opened:
            opened.add(section.name)
            name = f"{section.name} for {draft.name}"
            own = tuple(one for other, one in made if other is section)
            parts.append(SheetRecipe(name, section.place, "preparation", own, whole_of=draft.name))
            lines.append(SheetLine(section.place, "all", name))
            taken.leave(
                section.place,
                section.name,
                f"is taken as a preparation of its own, '{name}', which '{draft.name}' takes whole.",
            )
    for section in draft.sections.values():
        if not section.plain and section.name in opened:
            taken.leave(
                section.place, section.name, "looks like a sub-heading; its lines stay in the recipe under a comment."
            )
        elif section.name not in opened:
            taken.leave(section.place, section.name, "is a sub-heading without lines; it is left out.")
    if len(parts) == 1 and len(lines) == 1:  # a part that is the whole recipe needs no recipe around it
        lines, parts = list(parts[0].lines), []
    taken.recipes.extend(replace(part, faults=()) for part in parts)
    taken.recipes.append(
        SheetRecipe(
            draft.name,
            draft.place,
            draft.kind,
            tuple(lines),
            tuple(draft.method),
            tuple(draft.notes),
            draft.gives,
            draft.makes,
            draft.course,
            faults=tuple(draft.faults),
        )
    )


def _finish_counts(draft: Draft, taken: Taken) -> None:
    if draft.serves_doubt is not None:
        place, text = draft.serves_doubt
        if draft.kind == "dish":
            draft.faults.append(
                place.fault(
                    f"'{text}' portions is a range, and the figures of a portion need one number.",
                    "Write one number of portions.",
                )
            )
        else:
            draft.notes.append(f"portions: {text}")
            taken.leave(place, text, "is no one number of portions; it is kept as a comment.")
    if draft.kind == "dish" and draft.gives:
        draft.notes.append(f"yield: {draft.gives}")
        if draft.gives_place is not None:
            taken.leave(draft.gives_place, draft.gives, "is the yield of a dish; it is kept as a comment.")
        draft.gives = ""


def _hold_words(draft: Draft, lines: list[SheetLine], words: KitchenWords, taken: Taken) -> None:
    """Ask about a remark that names an allergen no line names; say so of the method, the notes and what a card says itself."""
    names = [line.name for line in lines]
    possible = kinds_possible(names)
    # Sixteen names of the longest that is taken are what the reader hears at once.
    named = frozenset().union(*(kinds_named(", ".join(names[at : at + 16])) for at in range(0, len(names), 16)))
    for line in lines:
        # 'Stock' on another line leaves celery open and 'salt | celery' would be lost behind it: only what is named counts, and what
        # the line's own name leaves open. What a line made in house holds is written down in its own recipe.
        more = kinds_named(line.beside) - named
        more -= kinds_possible([line.name]) if more else frozenset()
        if more and words.find(line.name) != "given":
            draft.faults.append(
                line.place.fault(
                    f"'{line.beside[:80]}' beside '{line.name}' names {_listed(more)}, and no line does.",
                    "Write it into the name, or give it a line with its amount.",
                )
            )
    for place, text in [(draft.place, sentence) for sentence in (*draft.method, *draft.notes)] + draft.claims:
        more = kinds_named(text) - possible
        if more:
            taken.leave(place, text, f"names {_listed(more)}, and no line does: look whether a line is missing.")


def _listed(kinds: frozenset[str]) -> str:
    return " and ".join(sorted(kinds))


def _hold_yield(draft: Draft, lines: list[SheetLine], taken: Taken) -> None:
    """Say where a yield is more than its lines weigh: water was taken up, or a line is missing."""
    if not draft.gives or draft.gives_place is None:
        return
    number, unit = draft.gives.rsplit(" ", 1)
    gives = (parse_number(number.split(" ")[-1]) or 0.0) * MASS_G[unit]
    goes_in = 0.0
    for line in lines:
        amount, _, line_unit = line.amount.rpartition(" ")
        value = parse_number(amount)
        if value is None or line_unit not in MASS_G:
            return
        goes_in += value * MASS_G[line_unit]
    if lines and gives > 1.02 * goes_in:
        why = f"is more than its lines weigh, {number_text(round(goes_in, 1))} g: look whether a line is missing, or water is taken up."
        taken.leave(draft.gives_place, draft.gives, why)


def _line(raw: RawLine, scale: float | None, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    for cell in (raw.amount, raw.unit, raw.name):
        if cell.problem:
            shown = f" It stands beside '{one_line(raw.name.text)}'." if raw.name.text and cell is not raw.name else ""
            return Trouble(f"{cell.problem}{shown}", cell.mend)
    unit = raw.unit.text or raw.heading_unit
    if not raw.amount.text:
        if raw.percent.text:
            return _shared(raw, scale, words, commas)
        if rule_of(raw.unit.text) in ("to taste", "to cover"):
            amount = read_amount("", raw.unit.text, commas)
            return (
                amount
                if isinstance(amount, Trouble)
                else make_lines(raw.place, amount, raw.name.text, raw.remark, words, commas)
            )
        if (rule := rule_of(raw.remark)) in ("to taste", "to cover"):
            return make_lines(raw.place, Amount(rule=rule, said=f"'{raw.remark}'"), raw.name.text, "", words, commas)
        if find_unit(raw.unit.text) in ("pinch", "knife tip", "drop"):
            return make_lines(
                raw.place,
                Amount(Number("1"), find_unit(raw.unit.text), raw.unit.text),
                raw.name.text,
                raw.remark,
                words,
                commas,
            )
        return _with_remark(line_from_text(raw.place, raw.name.text, words, commas), raw.remark)
    if raw.amount.percent:
        return Trouble(
            f"'{raw.amount.text} %' of '{one_line(raw.name.text)}' is a share, not an amount.",
            "Head the column '%' and write a batch weight, or write a weight.",
        )
    if re.search(r"[(\[][^()\[\]]*\d[^()\[\]]*[)\]]\s*$", raw.amount.text):  # "1 tin (400 g)"
        return _with_remark(
            line_from_text(raw.place, f"{one_line(raw.amount.text)} {one_line(raw.name.text)}", words, commas),
            raw.remark,
        )
    amount = read_amount(raw.amount.text, unit, commas, typed_number=raw.amount.number)
    if isinstance(amount, Trouble) and raw.heading_unit and not raw.unit.text:
        own = read_amount(raw.amount.text, "", commas)  # "1 kg" under "Weight (g)": the cell's own unit counts
        amount = own if isinstance(own, Amount) and own.unit else amount
    if isinstance(amount, Trouble):
        return Trouble(f"{one_line(raw.name.text)}: {amount.problem}", amount.mend)
    # "Flour | 500" where the name says the unit: "sugar (g)"; and "500 g flour" typed into the name beside an amount.
    if amount.number is not None:
        inside = read_start(raw.name.text, commas)
        if (
            isinstance(inside, tuple)
            and find_unit(inside[1].strip().split(" ")[0] if inside[1].strip() else "", in_line=True) in MASS_G
        ):
            return Trouble(
                f"'{one_line(raw.name.text)}' holds an amount, and beside it stands '{raw.amount.text}'.",
                "Write the amount once.",
            )
    return make_lines(raw.place, amount, raw.name.text, raw.remark, words, commas)


def _with_remark(found: tuple[SheetLine, ...] | Trouble, remark: str) -> tuple[SheetLine, ...] | Trouble:
    """Keep the words of the remark's column beside a line that was read from one text."""
    if isinstance(found, Trouble) or not remark:
        return found
    return tuple(replace(one, comment="; ".join(filter(None, [one.comment, remark]))) for one in found)


def _shared(raw: RawLine, scale: float | None, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    if raw.percent.problem:
        return Trouble(raw.percent.problem, raw.percent.mend)
    share = share_of(raw.percent)
    if share is None:
        return Trouble(
            f"'{raw.percent.text}' of '{one_line(raw.name.text)}' is no share above nought.", "Write a number: '65'."
        )
    if scale is None:
        return Trouble("", "")  # the fault of the whole recipe says it once
    shown = raw.percent.text.rstrip(" %")
    grams = Number(number_text(float(f"{share * scale:.6g}")))
    return make_lines(
        raw.place, Amount(grams, "g", "g", said=f"typed '{shown} %'"), raw.name.text, raw.remark, words, commas
    )
