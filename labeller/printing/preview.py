"""Pictures of painted pages, for those who change labeller: the library that draws them is a tool of development."""

from io import BytesIO


def page_as_png(pdf: bytes, page: int = 0, dots_per_inch: int = 150) -> bytes:
    """Return a page of a PDF as PNG.

    Parameters
    ----------
    pdf : bytes
        A PDF.
    page : int
        Which page, from 0.
    dots_per_inch : int
        Fineness of the picture.
    """
    import pypdfium2  # noqa: PLC0415 - a tool of development, not installed for users

    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[page].render(scale=dots_per_inch / 72.0).to_pil()
        out = BytesIO()
        picture.convert("RGB").save(out, "PNG", optimize=True)
        return out.getvalue()
    finally:
        document.close()
