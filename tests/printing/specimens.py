"""A card and a label put together from the core, to look at and to hold to the rules: no paper of the product."""

from datetime import date

from labeller.declarations.marked_text import MarkedText
from labeller.printing import house
from labeller.printing.bands import band
from labeller.printing.fitting import Block, DoesNotFit, fit
from labeller.printing.page import Box, Cell, Document, Fill, Item, Margins, Page, Rule
from labeller.printing.setting import set_text
from labeller.printing.sheets import Piece, cards_on_sheet, label_grid, put_on_sheets

DAY = date(2026, 11, 25)
LIST = "Ingredients: wheat flour, hazelnuts 18 %, butter (milk), sugar, free range egg, plum brandy 2.4 %, salt, raising agent (E500)."


def marked(text: str, *words: str) -> MarkedText:
    """Return a text with words of it set apart."""
    return MarkedText(text, tuple(sorted((at, at + len(word)) for word in words if (at := text.find(word)) >= 0)))


def card(
    name: str = "Roast shoulder of lamb with apricots",
    about: str = "Slow-cooked, with saffron rice and toasted almonds",
) -> Piece:
    """Return one card."""
    width, height = 105.0, 148.0
    scale = house.card_scale(width, height)
    space = Box(0.0, 0.0, width, height).inset(scale.margin_mm)
    foot = set_text("The Saltmarsh Room · 25 November 2026 · version 3", house.small_print(scale), space.width)
    blocks = [
        Block("name", name, house.title(scale), priority=2, most_lines=3),
        Block("about", about, house.description(scale), 1, scale.gap_mm, 2.0),
        Block(
            "allergens",
            marked("Contains milk, nuts (almond), wheat.", "milk", "nuts (almond)", "wheat"),
            house.body(scale, "allergens"),
            3,
            3 * scale.gap_mm,
            3.0,
        ),
        Block("may", marked("May contain sesame.", "sesame"), house.body(scale, "allergens"), 3, 1.6, 1.0),
        Block(
            "alcohol",
            "Made with white wine: about 0.9 g of alcohol in a portion.",
            house.body(scale, "alcohol"),
            3,
            scale.gap_mm,
            2.0,
        ),
        Block(
            "ask",
            marked("Please ask us about mustard and celery.", "mustard", "celery"),
            house.body(scale, "caution"),
            3,
            scale.gap_mm,
            2.0,
        ),
    ]
    fitted = fit(blocks, space.width, space.height - foot.height - 4.0)
    assert not isinstance(fitted, DoesNotFit)
    lines = fitted.placed(space)
    items: list[Item] = []
    for line in lines:
        if line.block == "allergens" and not any(isinstance(item, Rule) for item in items):
            y = line.ink_box.y - 3.0
            items.append(Rule(space.x, y, space.x + 14.0, y, house.BAR_PT))
        items.append(line)
    return Piece("card", width, height, (*items, *foot.placed(space.x, space.bottom - foot.height, "foot", box=space)))


def label() -> Piece:
    """Return one label."""
    width, height = 99.1, 67.7
    scale = house.SALE
    space = Box(0.0, 0.0, width, height).inset(scale.margin_mm + 1.0)
    blocks = [
        Block("name", "Hazelnut and plum cake", house.plain_title(scale), 2),
        Block("list", marked(LIST, "wheat", "hazelnuts", "milk", "egg"), house.body(scale, "allergens"), 1, 2.0, 1.0),
        Block(
            "contains", marked("Contains alcohol: 0.8 % vol.", "alcohol"), house.body(scale, "alcohol"), 1, 1.6, 0.8
        ),
        Block("keep", "Keep refrigerated below 5 °C. Once opened eat within 2 days.", house.body(scale), 1, 1.6, 0.8),
        Block("weight", "320 g        Use by 28 November 2026", house.heading(scale), 1, 2.0, 1.0),
        Block("maker", "The Saltmarsh Room, 4 Quay Lane, Northhaven", house.small_print(scale), 1, 1.6, 0.8),
    ]
    fitted = fit(blocks, space.width, space.height)
    assert not isinstance(fitted, DoesNotFit)
    return Piece("label", width, height, fitted.placed(space))


def table_page() -> Page:
    """Return a page with a small table and a loud line."""
    scale = house.SHEET
    items: list[Item] = []
    title = set_text("Allergens, by dish", house.plain_title(scale), 180.0)
    items += title.placed(15.0, 15.0, "title")
    y = 15.0 + title.height + 6.0
    heads, width = ("Dish", "Milk", "Nuts", "Gluten", "Celery"), 36.0
    rows = (
        ("Hazelnut cake", "contains", "contains: hazelnut", "contains: wheat", "none declared"),
        ("Fish soup with saffron", "may contain", "none declared", "none declared", "not known: ask"),
    )
    head = [set_text(word, house.table_head(scale), width - 3.0) for word in heads]
    tall = max(one.height for one in head) + 3.0
    items.append(Fill(Box(15.0, y, 5 * width, tall), house.TABLE_TINT))
    for column, one in enumerate(head):
        items += one.placed(15.0 + column * width + 1.5, y + 1.5, f"head {column}", cell=Cell("matrix", 0, column))
    y += tall
    for row, words in enumerate(rows, start=1):
        cells = [set_text(word, house.table_cell(scale), width - 3.0) for word in words]
        tall = max(one.height for one in cells) + 3.0
        for column, one in enumerate(cells):
            items += one.placed(
                15.0 + column * width + 1.5, y + 1.5, f"cell {row} {column}", cell=Cell("matrix", row, column)
            )
        y += tall
        items.append(Rule(15.0, y, 15.0 + 5 * width, y, house.HAIRLINE_PT))
    loud, _ = band(
        "Not known: ask the kitchen about celery in the fish soup.", house.loud(scale), (15.0, y + 6.0), 180.0, "loud"
    )
    items += loud
    return Page(210.0, 297.0, tuple(items), Margins(5.0, 5.0, 5.0, 5.0))


def specimen() -> Document:
    """Return a document of cards, labels and a table."""
    cards = put_on_sheets(
        [
            card(),
            card("Борщ з пампушками", "Густий, з яловичиною та сметаною"),
            card("Żurek", "Smoked sausage, egg, marjoram"),
            card("Kalbsschulterfilet mit Eierschwammerl-Rahmsauce und Serviettenknödel"),
        ],
        cards_on_sheet((210.0, 297.0), (105.0, 148.0)),
        crop_marks=True,
    )
    labels = put_on_sheets([label()] * 3, label_grid((210.0, 297.0), (99.1, 67.7), (2, 4), gap=(2.5, 0.0)), start_at=2)
    return Document((*cards, *labels, table_page()), "Specimen of our paper", "en", "cards and labels", DAY)
