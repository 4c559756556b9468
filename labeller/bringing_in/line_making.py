"""Make one line of a recipe from its cells, or from one text."""

import re
from dataclasses import replace

from labeller.bringing_in.cells import Place, number_text, one_line
from labeller.bringing_in.kitchen_words import KitchenWords, butter_stick, is_contract_unit, is_trade_piece, volume_of
from labeller.bringing_in.names_and_remarks import Named, is_remark, split_name, without_adjectives
from labeller.bringing_in.shapes import SheetLine
from labeller.bringing_in.wordings import find_unit, remark_words, says_more_comes_in
from labeller.bringing_in.written_amounts import (
    Amount,
    Commas,
    Number,
    Trouble,
    looks_like_date,
    read_amount,
    read_compound,
    read_start,
    rule_of,
)
from labeller.foundations.names import fold_text, name_key

_TO_ML = ("cup", "pint", "fl oz", "quart", "gallon")
_CONTAINERS = re.compile(
    r"(?:tin|can|jar|packet|pack|pouch|bottle|bag|box|carton|tub|dose|boite|glas|packung|lata|barattolo)s?$"
)
_RULE_AT_END = re.compile(
    r"^(?P<name>.+?)[\s,;:(-]+(?P<rule>to taste|to cover|as needed|as required|as desired|q\.?\s?s\.?|q\.?\s?b\.?|n\.\s?b\.|nach geschmack|nach bedarf|au goût|al gusto|a piacere|quanto basta)\)?\.?$",
    re.IGNORECASE,
)
_LARGEST_COUNT = 60.0
# The one line that every recipe writes without an amount; common practice, no source.
_SALT_AND_PEPPER = re.compile(
    r"(?:sea |flaky |fine |table |kosher )*salt (?:and|&) (?:freshly |ground |black |white |milled |cracked )*pepper"
)


def make_lines(
    place: Place,
    amount: Amount,
    name_text: str,
    remark_text: str,
    words: KitchenWords,
    commas: Commas,
    *,
    in_line: bool = False,
) -> tuple[SheetLine, ...] | Trouble:
    """Make the line, or the lines where one cell names two things ('salt and pepper to taste')."""
    if amount.unit_as_typed and not amount.unit and remark_words().get(fold_text(amount.unit_as_typed)) == "plain":
        # "4 large" beside "eggs": the word says how big they are.
        name_text, amount = f"{amount.unit_as_typed} {name_text}", replace(amount, unit_as_typed="")
    named = split_name(name_text, words, commas, after_unit=in_line)
    if isinstance(named, Trouble):
        return named
    remarks = [named.remark] if named.remark else []
    comments = [f"as typed: {named.said}"] if named.said else []
    if named.comment:
        comments.append(named.comment)
    remark = one_line(remark_text)
    if remark:
        if is_remark(remark, words) and len(remark) <= 120:
            cleaned = one_line(remark.replace(",", ";")).strip(" ;.")
            if re.match(r"or\s|optional$", fold_text(cleaned)) or re.search(
                r"(?:;\s*)(?:optional|removed)$", fold_text(cleaned)
            ):
                comments.append(remark)
            else:
                remarks.append(cleaned)
        else:
            again = split_name(f"{named.name}, {remark}", words, commas) if len(remark) <= 60 else None
            # "Chicken | breaded" is no chicken of the shelf, though nobody has named what comes in.
            taken = isinstance(again, Named) and (words.find(again.name) or says_more_comes_in(remark))
            if isinstance(again, Named) and taken and again.name != named.name:
                comments.append(f"'{remark}' beside '{named.name}'")
                named = again
            else:
                comments.append(remark)
    if amount.rule:
        names = _two_names(named.name, words)
        if fold_text(amount.said.strip("'")) != amount.rule:
            comments.append(f"typed {amount.said}")
        return tuple(SheetLine(place, amount.rule, one, "; ".join(remarks), "; ".join(comments)) for one in names)
    if amount.number is None:
        return Trouble(f"'{one_line(name_text)}' has no amount.", "Write an amount, or 'to taste'.")
    sized = _sized(amount, named, words)
    if isinstance(sized, Trouble):
        return sized
    number, unit, said = sized
    if amount.said:
        comments.append(amount.said)
    if said:
        comments.append(said)
    text = f"{number.text()} {unit}".strip()
    return (SheetLine(place, text, named.name, "; ".join(remarks), "; ".join(comments)),)


def _two_names(name: str, words: KitchenWords) -> tuple[str, ...]:
    """Return both names of 'salt and pepper' where the book or the shelf knows both and not the whole."""
    if words.find(name):
        return (name,)
    parts = re.split(r"\s+(?:and|und|et|y|e)\s+|\s*&\s*", name, flags=re.IGNORECASE)
    parts = [part if words.find(part) else without_adjectives(part)[0] for part in parts]
    if len(parts) == 2 and all(words.find(part) for part in parts):
        return tuple(parts)
    return (name,)


def _sized(amount: Amount, named: Named, words: KitchenWords) -> tuple[Number, str, str] | Trouble:
    """Return the number and the unit the book takes, and the words of the source where they were changed."""
    number = amount.number or Number("1")
    unit, typed = amount.unit, amount.unit_as_typed
    if not unit and not typed:
        unit = named.unit
        typed = named.unit
    shown = one_line(f"{number.text()} {typed}")
    if named.amount is not None and named.amount.number is not None:
        return _from_brackets(number, unit, typed, named, shown)
    if (
        typed
        and words.has_measure(typed, named.name)
        and unit not in ("g", "kg", "mg", "ml", "cl", "dl", "l", "oz", "lb")
    ):
        return number, typed, ""
    if unit == "stick" and re.search(r"\bbutter$", fold_text(named.name)):
        stick = butter_stick()
        if stick is not None:
            made = number.times(stick[0])
            return made, "g", f"typed '{shown}'; a stick is {stick[0]:g} g ({stick[1]})"
    if unit in _TO_ML:
        each, ground = volume_of(unit, words.jurisdiction)
        return number.times(each), "ml", f"typed '{shown}'; a {unit} is {number_text(round(each, 3))} ml ({ground})"
    if unit == "piece" or (not unit and not typed):
        if number.value > _LARGEST_COUNT:
            return Trouble(
                f"'{shown}' of '{named.name}' has no unit.",
                "Write the unit: behind the number, in a column 'Unit', or in the heading as 'Quantity (g)'.",
            )
        return number, "", ""
    if unit in ("clove", "leaf", "stick") or (typed and is_trade_piece(typed)):
        word = unit if unit in ("clove", "leaf", "stick") and not is_trade_piece(typed) else typed
        if is_trade_piece(word):
            return number, word, "" if name_key(word) == name_key(typed) else f"typed '{shown}'"
    if unit and is_contract_unit(unit):
        same = fold_text(typed) == unit or (is_contract_unit(typed) and find_unit(typed) == unit)
        return number, unit, "" if same else f"typed '{shown}'"
    return Trouble(
        f"'{typed or unit}' of '{named.name}' is not a unit or a measure of this book.",
        f"Write a weight, or say what one weighs in the kitchen's entry: 'measures: {{{fold_text(typed or unit)}: 30 g}}'.",
    )


def _from_brackets(
    number: Number, unit: str, typed: str, named: Named, shown: str
) -> tuple[Number, str, str] | Trouble:
    """Take the weight in brackets: '1 tin (400 g)' is 400 g, '2 sticks (226 g)' is 226 g; '2 tins (400 g)' is doubtful."""
    inside = named.amount
    if inside is None or inside.number is None:
        return Trouble("there is no amount in the brackets.", "Write a weight.")
    said = f"typed '{shown} ({named.amount_text})'"
    if unit in ("g", "kg", "mg"):
        return number, unit, said
    each = re.search(r"\beach\b|\bper piece\b", named.amount_text, re.IGNORECASE) is not None
    if number.value == 1.0 and not number.high:
        return inside.number, inside.unit, said
    if each and not inside.number.high and not number.high:
        return inside.number.times(number.value, 12), inside.unit, said
    if unit and unit != "piece" and not _CONTAINERS.search(fold_text(typed)):
        return inside.number, inside.unit, said
    return Trouble(
        f"'{shown} ({named.amount_text})' can be that weight in all, or each.",
        "Write the whole weight before the name.",
    )


def line_from_text(place: Place, text: str, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    """Read a line written in one piece: '500 g flour, sifted', '2 x 400 g tins tomatoes', 'salt to taste'."""
    shown = one_line(text).strip(" -–•*·")
    if not shown:
        return Trouble("there is nothing here.", "Write an amount and a name.")
    at_end = _RULE_AT_END.match(shown)
    rule = rule_of(at_end["rule"]) if at_end else ""
    if at_end and rule in ("to taste", "to cover") and not re.match(r"\d", at_end["name"]):
        return make_lines(place, Amount(rule=rule, said=f"'{at_end['rule']}'"), at_end["name"], "", words, commas)
    before = re.match(
        r"(?P<rule>to taste|to cover|q\.\s?s\.?|q\.\s?b\.?|n\.\s?b\.)[,:]?\s+(?:of\s+)?(?P<name>.+)",
        shown,
        re.IGNORECASE,
    )
    if before and (rule := rule_of(before["rule"])):
        return make_lines(place, Amount(rule=rule, said=f"'{before['rule']}'"), before["name"], "", words, commas)
    if looks_like_date(shown.split(" ")[0]):
        return Trouble(
            f"'{shown.split(' ')[0]}' is a day, which a spreadsheet makes of a fraction such as '1/2'.",
            "Format the cell as text and write the amount again: '1/2' or '0.5'.",
        )
    joined = read_compound(shown, commas)
    if joined is not None and joined[2]:
        amount = Amount(joined[0], joined[1], joined[1], said=f"typed '{shown}'")
        return make_lines(place, amount, joined[2], "", words, commas, in_line=True)
    read = read_start(text.replace("\n", " ").strip(" -–•*·"), commas)
    if isinstance(read, Trouble):
        return read
    if read is None:
        return _without_start(place, shown, words, commas)
    number, rest, said = read
    rest = one_line(rest).lstrip(" .")
    bracket = re.match(r"[(\[]\s*([^)\]]*)[)\]]\s*(.*)", rest)
    if bracket and re.match(r"\d", bracket[1]):  # "2 (400 g) tins tomatoes": each
        inside = read_amount(bracket[1], "", commas)
        if isinstance(inside, Amount) and inside.number is not None and inside.unit and not number.high:
            name = _without_container(bracket[2])
            made = inside.number.times(number.value, 12)
            return make_lines(
                place,
                Amount(made, inside.unit, inside.unit, said=f"typed '{shown}'"),
                name,
                "",
                words,
                commas,
                in_line=True,
            )
    pieces = rest.split(" ")
    for count in (3, 2, 1):
        if len(pieces) <= count:
            continue
        typed = " ".join(pieces[:count])
        name = " ".join(pieces[count:])
        unit = find_unit(typed, in_line=True)
        if unit or is_trade_piece(typed) or words.has_measure(typed, _LEAD_OF.sub("", name)):
            if words.find(rest) and not is_contract_unit(typed):
                break
            amount = Amount(number, unit, typed, said=said)
            if unit in ("g", "kg", "ml", "l") and said:
                amount = replace(amount, said=f"typed '{shown}'")
                name = _without_container(name)
            return make_lines(place, amount, name, "", words, commas, in_line=True)
    container = re.match(r"(?P<word>\w+)\s*(?=\()", rest)
    if container and _CONTAINERS.search(fold_text(container["word"])):
        amount = Amount(number, "", container["word"], said=said)
        return make_lines(place, amount, rest[container.end() :], "", words, commas, in_line=True)
    first = fold_text(pieces[0]) if len(pieces) > 1 else ""
    if _CONTAINERS.search(first) or first in _LOOSE_MEASURES:
        return make_lines(
            place, Amount(number, "", pieces[0], said=said), " ".join(pieces[1:]), "", words, commas, in_line=True
        )
    if find_unit(rest, in_line=True) and not words.find(rest):
        return Trouble(f"'{shown}' has no name.", "Write what it is behind the amount.")
    return make_lines(place, Amount(number, "", "", said=said), rest, "", words, commas)


_LEAD_OF = re.compile(r"^(?:of\s+(?:the\s+)?|de\s+|d['’])", re.IGNORECASE)
# Words before a name that count something nobody has weighed; the kitchen says what one weighs, or the line is a fault.
_LOOSE_MEASURES = frozenset(
    [
        "handful",
        "handfuls",
        "knob",
        "knobs",
        "bunch",
        "bunches",
        "head",
        "heads",
        "scoop",
        "scoops",
        "ladle",
        "ladles",
        "glass",
        "glasses",
        "bowl",
        "bowls",
        "sheet",
        "sheets",
        "strip",
        "strips",
        "ball",
        "balls",
        "dash",
        "dashes",
        "splash",
        "dollop",
        "dollops",
        "drizzle",
        "glug",
        "glugs",
        "square",
        "squares",
        "block",
        "blocks",
        "punnet",
        "punnets",
        "bund",
        "poignee",
        "punado",
        "mazzetto",
    ]
)


def _without_container(name: str) -> str:
    parts = name.split(" ", 1)
    if len(parts) == 2 and _CONTAINERS.search(fold_text(parts[0])):
        return _LEAD_OF.sub("", parts[1])
    return name


def _without_start(place: Place, shown: str, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    """Read what begins with no number: 'pinch of salt', 'a pinch of salt', 'flour 500 g', 'salt'."""
    pieces = shown.split(" ")
    for count in (2, 1):
        typed = " ".join(pieces[:count])
        if len(pieces) > count and find_unit(typed, in_line=True) in ("pinch", "knife tip", "drop"):
            amount = Amount(Number("1"), find_unit(typed), typed)
            return make_lines(place, amount, " ".join(pieces[count:]), "", words, commas, in_line=True)
    behind = re.fullmatch(r"(?P<name>[^\d]+?)[\s:,–-]+(?P<amount>(?:ca\.?\s*)?[\d½¼¾⅓⅔][^,]*)", shown)
    if behind:
        amount_read = read_amount(behind["amount"], "", commas)
        if isinstance(amount_read, Amount) and (amount_read.unit or not amount_read.unit_as_typed):
            return make_lines(place, amount_read, behind["name"], "", words, commas)
    if _SALT_AND_PEPPER.fullmatch(fold_text(shown)):
        amount = Amount(rule="to taste", said=f"'{shown}', without an amount")
        return make_lines(place, amount, shown, "", words, commas)
    return Trouble(
        f"'{shown[:80]}' has no amount.",
        "Write an amount before the name, or 'to taste' behind it; end a sub-heading with ':'.",
    )
