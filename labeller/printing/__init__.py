"""Paper: what is declared, set in letters, laid out and painted.

How a paper is made: every text is checked (`letters`), set into lines (`setting`) in the house's styles (`house`) at a size that fits and is
lawful (`fitting`, `lawful_letters`), placed on a page (`page`), put on a sheet (`sheets`), held to the rules of layout (`layout_checks`) and painted
(`painter`). All but the painter know nothing of PDF. Lengths are millimetres from the top left corner of a page, sizes of letters points.

A card, from the words to the bytes:

    from datetime import date

    from labeller.declarations.marked_text import MarkedText
    from labeller.printing import house
    from labeller.printing.fitting import Block, DoesNotFit, fit
    from labeller.printing.letters import letters_not_set
    from labeller.printing.page import Box, Document
    from labeller.printing.painter import paint
    from labeller.printing.setting import set_text
    from labeller.printing.sheets import Piece, cards_on_sheet, put_on_sheets

    name, allergens = "Roast shoulder of lamb", MarkedText("Contains milk and wheat.", ((9, 13), (18, 23)))
    problems = letters_not_set(name)                        # each has .problem, .mend and .as_fault(origin, field)
    width, height = 105.0, 148.0
    scale = house.card_scale(width, height)                 # sizes and spaces of a card of this size
    space = Box(0.0, 0.0, width, height).inset(scale.margin_mm)
    foot = set_text("25 November 2026", house.small_print(scale), space.width)
    fitted = fit(
        [
            Block("name", name, house.title(scale), priority=1, most_lines=3),      # priority 1 shrinks before 2
            Block("allergens", allergens, house.body(scale, "allergens"), 2, space_before_mm=8.0, least_space_mm=3.0),
        ],
        space.width,
        space.height - foot.height - scale.gap_mm,
    )
    if isinstance(fitted, DoesNotFit):                      # or flow(...) to go on on a second card
        raise SystemExit(f"The card must be {fitted.needs_height_mm} mm high.")
    items = (*fitted.placed(space), *foot.placed(space.x, space.bottom - foot.height, "foot", box=space))
    card = Piece("lamb", width, height, items)
    pages = put_on_sheets([card, card], cards_on_sheet((210.0, 297.0), (width, height)), crop_marks=True)
    pdf = paint(Document(pages, "Cards", "en", "Cards for the counter", date(2026, 11, 25)))

What every module on top of this keeps to:

* Roles (`page.Role`) say what a text is. Those of `page.WARNINGS` are never shortened, their words not broken, their tone strong.
* A block's name is one for all lines of a paragraph and differs from every other's of its piece; `put_on_sheets` tells copies apart.
* Items are in reading order, a `Fill` before the text on it; a text on a fill has the `Ink` for it (`house.loud`, `house.table_head`).
* A text on a band of black or tint is made by `bands.band`; figures in a column are set in `house.table_figures`.
* Cells of a table are placed with ``cell=Cell(table, row, column)``, row after row, and their roles are ``table head`` and ``table cell``.
* `painter.paint` refuses a layout that breaks a rule: fit first, then paint.
"""
