"""The structure of a PDF: which words are a title, a paragraph, a cell of which table, for those who have a page read to them.

References
----------
.. [1] ISO 32000-1:2008, 14.7 logical structure, 14.8.4 standard structure types, 14.8.5.7 table attributes.
"""

from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFObject, PDFObjectReference, PDFString

from labeller.printing.page import TextLine


@dataclass(slots=True)
class _Element:
    """One element of the structure while it is put together."""

    name: str
    tag: str
    parent: "_Element | None"
    language: str = ""
    attributes: dict[str, Any] = field(default_factory=dict)
    kids: list["_Element | tuple[int, int]"] = field(default_factory=list)


class _Written(PDFObject):  # type: ignore[misc] # reportlab has no types
    """One element as the file has it, written in one go: a sheet has thousands, and the library's dictionaries are slow."""

    def __init__(self, element: _Element, parent: str) -> None:
        self._element = element
        self._parent = parent

    def format(self, document: Any) -> bytes:
        """Return the element in the letters of the file; keys in the order of their names."""
        element = self._element
        kids = b" ".join(
            _reference(kid.name, document)
            if isinstance(kid, _Element)
            else b"<< /MCID %d /Pg %s /Type /MCR >>" % (kid[1], _reference(f"Page{kid[0] + 1}", document))
            for kid in element.kids
        )
        rows = [
            b"/K [ %s ]" % kids,
            b"/P %s" % _reference(self._parent, document),
            b"/S /%s" % element.tag.encode("ascii"),
            b"/Type /StructElem",
        ]
        if element.language:
            rows.insert(1, b"/Lang %s" % bytes(PDFString(element.language).format(document)))
        if element.attributes:
            rows.insert(0, b"/A %s" % bytes(PDFDictionary(element.attributes).format(document)))
        return b"<<\n%s\n>>" % b"\n".join(rows)


def _reference(name: str, document: Any) -> bytes:
    return bytes(PDFObjectReference(name).format(document))


class StructureTree:
    """Collects what each mark on each page is, then writes it into the file."""

    def __init__(self, file: Any, language: str) -> None:
        self._file = file
        self._language = language
        self._root = _Element("structure", "Document", None)
        self._found: dict[tuple[str, ...], _Element] = {}
        self._marks: dict[int, list[_Element]] = {}
        self._count = 0

    def mark(self, page: int, line: TextLine, tag: str) -> int:
        """Return the number, on its page, of the marked content that begins with a line; lines of one block are one element."""
        element = (
            self._cell_of(line) if line.cell is not None else self._element(("block", line.block), tag, self._root)
        )
        if line.language and line.language != self._language:
            element.language = line.language
        marks = self._marks.setdefault(page, [])
        marks.append(element)
        element.kids.append((page, len(marks) - 1))
        return len(marks) - 1

    def _cell_of(self, line: TextLine) -> _Element:
        cell = line.cell
        if cell is None:
            raise ValueError("The line stands in no table.")
        table = self._element(("table", cell.table), "Table", self._root)
        row = self._element(("row", cell.table, str(cell.row)), "TR", table)
        head = line.role == "table head"
        name = ("cell", cell.table, str(cell.row), str(cell.column))
        element = self._element(name, "TH" if head else "TD", row)
        attributes: dict[str, Any] = {}
        if head:
            attributes["Scope"] = PDFName("Row" if cell.column == 0 and cell.row > 0 else "Column")
        if cell.columns > 1:
            attributes["ColSpan"] = cell.columns
        if attributes:
            element.attributes = {"O": PDFName("Table"), **attributes}
        return element

    def _element(self, key: tuple[str, ...], tag: str, parent: _Element) -> _Element:
        if key not in self._found:
            self._count += 1
            self._found[key] = _Element(f"element{self._count}", tag, parent)
            parent.kids.append(self._found[key])
        return self._found[key]

    def finish(self) -> None:
        """Write the structure into the file."""
        self._write(self._root, "structure tree")
        numbers: list[Any] = []
        for page in range(self._file.pageCounter - 1):
            owners = [PDFObjectReference(element.name) for element in self._marks.get(page, [])]
            numbers += [page, self._file.Reference(PDFArray(owners), f"parents of page {page}")]
        parents = self._file.Reference(PDFDictionary({"Nums": PDFArray(numbers)}), "parent tree")
        tree = PDFDictionary(
            {
                "Type": PDFName("StructTreeRoot"),
                "K": PDFObjectReference(self._root.name),
                "ParentTree": parents,
                "ParentTreeNextKey": self._file.pageCounter - 1,
            }
        )
        self._file.Catalog.StructTreeRoot = self._file.Reference(tree, "structure tree")

    def _write(self, element: _Element, parent: str) -> None:
        for kid in element.kids:
            if isinstance(kid, _Element):
                self._write(kid, element.name)
        self._file.Reference(_Written(element, parent), element.name)
