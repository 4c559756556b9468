"""Write a file of a book in the house form: layout and the order of keys, and no word of the cook's changed.

The form: every entry at the margin, its keys in the contract's order two spaces in, lists four spaces in; one empty line between
entries, two where groups are set apart; quotes only where a text needs them, round a supplier's statement always. Lists in brackets
stay in brackets, texts keep their line breaks, numbers and units stand as the cook wrote them, and so do the keys of a step.
"""

import re
from typing import Final

import yaml

from labeller.book.yaml_tree import decode_text, parse_tree
from labeller.bringing_in.form_checks import given_twice, not_a_list, says_the_same
from labeller.bringing_in.form_pen import FAR, Pen
from labeller.bringing_in.form_tree import LeftAloneError, read_layout
from labeller.foundations.faults import Fault, Origin

_ODD_BREAKS: Final = re.compile("\r(?!\n)|[\x85\u2028\u2029]")
_NOTHING_LOST: Final = "it cannot be laid out without a change to what it says, so it is left as it is."


def house_form(raw: bytes, path: str) -> tuple[str | None, list[Fault]]:
    """Return a file in the house form, or why it is left alone.

    What is returned reads the same, scalar by scalar, has the same comments, and is its own house form.
    """
    text, faults = decode_text(raw, path)
    if text is None:
        return None, faults
    documents, faults = parse_tree(text, path)
    if faults:
        return None, faults
    faults = not_a_list(documents, path) or given_twice(documents, path)
    if faults:
        return None, faults
    plain = text.replace("\r\n", "\n")
    try:
        once = _laid_out(plain)
        safe = says_the_same(plain, once, documents, path) and _laid_out(once) == once
    except LeftAloneError as reason:
        return None, [Fault(Origin(path, reason.line), "file", reason.problem, reason.mend)]
    except (yaml.YAMLError, RecursionError, ValueError):
        safe, once = False, ""
    if not safe:
        mend = "Write the entries of this file plainly, as in the README's example."
        return None, [Fault(Origin(path, 1), "file", _NOTHING_LOST, mend)]
    return once, []


def _laid_out(text: str) -> str:
    odd = _ODD_BREAKS.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        raise LeftAloneError(
            line, "a line ends here with a sign that most editors do not show.", "Type the line again."
        )
    if not text.strip():
        return text if not text else "\n" if "\n" in text else ""
    layout = read_layout(text)
    pen = Pen(layout)
    for document in layout.documents:
        pen.write_document(document.root, document.opened_at)
    lines = [*pen.lines, *pen.remarks_before(FAR, 0, most_blanks=1)]
    while lines and not lines[0]:
        del lines[0]
    return "\n".join(lines) + "\n" if lines else ""
