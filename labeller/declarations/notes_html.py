"""Menu notes as one page of HTML that loads nothing: headings, paragraphs, a list for the key, and a style sheet of a few lines."""

from collections.abc import Iterator
from html import escape

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_content import KEY_HEAD, KEY_MEANS, DishNote, MenuNotes, statement_sentences

# Black on white, and letters at the reader's own size; what must not be missed is told by words, weight and a bar, never by colour.
_STYLE = """
body{margin:0 auto;padding:1.5rem 1rem;max-width:42rem;color:#000;background:#fff;font-family:sans-serif;line-height:1.45}
h1,h2,h3{line-height:1.2;margin:2rem 0 .4rem}h1{margin-top:0}h2{border-top:2px solid #000;padding-top:.5rem}h3{margin-top:1.4rem}
p{margin:.15rem 0}.description{font-style:italic}.opening{font-weight:bold;margin:1rem 0}
.ask{border-left:.35rem solid #000;padding-left:.5rem}.energy{font-size:1.17em}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.1rem .8rem;margin:.5rem 0}dt{font-weight:bold}dd{margin:0}
footer{border-top:2px solid #000;margin-top:2.5rem;padding-top:.5rem}article{break-inside:avoid}
@media print{body{padding:0}}
"""


def notes_as_html(notes: MenuNotes) -> str:
    """Return menu notes as HTML."""
    other = notes.book_language.split("-")[0].lower() != "en"
    own = f' lang="{escape(notes.book_language)}" dir="auto"' if other else ' dir="auto"'
    lines = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(notes.title)}: {escape(notes.house)}</title>",
        f"<style>{_STYLE}</style>",
        "</head>",
        "<body>",
        "<header>",
        f"<h1{own}>{escape(notes.title)}</h1>",
        f'<p dir="auto">{escape(notes.house)}</p>',
        f'<p class="opening">{escape(notes.opening)}</p>',
        "</header>",
        "<main>",
    ]
    if notes.key:
        lines += [f"<section><h2>{escape(KEY_HEAD)}</h2>", f"<p>{escape(KEY_MEANS)}</p>", "<dl>"]
        lines += [f"<dt>{escape(letters)}</dt><dd>{escape(words)}</dd>" for letters, words in notes.key]
        lines += ["</dl></section>"]
    for section in notes.sections:
        lines += ["<section>", f"<h2{own}>{escape(section.title)}</h2>"]
        for dish in section.dishes:
            lines += _dish(dish, own)
        lines.append("</section>")
    lines += ["</main>", "<footer>"]
    if notes.statements:
        lines.append(f'<p class="energy">{escape(statement_sentences(notes.statements))}</p>')
    lines += [f"<p>{escape(one)}</p>" for one in (*notes.cautions, notes.foot)]
    return "\n".join([*lines, "</footer>", "</body>", "</html>", ""])


def _dish(dish: DishNote, own: str) -> Iterator[str]:
    yield f"<article><h3{own}>{escape(dish.name)}</h3>"
    if dish.description:
        yield f'<p class="description"{own}>{escape(dish.description)}</p>'
    if dish.energy:
        yield f'<p class="energy">{escape(dish.energy)}</p>'
    for line in dish.lines:
        language = f' lang="{escape(line.language)}"' if line.language else ""
        yield f'<p class="{line.kind.replace(" ", "-")}"{language}>{_marked(line.text)}</p>'
    yield "</article>"


def _marked(text: MarkedText) -> str:
    return "".join(f"<strong>{escape(piece)}</strong>" if strong else escape(piece) for piece, strong in text.pieces())
