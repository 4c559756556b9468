"""Panels as pages: the form a law has, drawn, each on a page of exactly its own size."""

from collections.abc import Sequence
from datetime import date

from labeller.declarations.panel_content import Panel
from labeller.declarations.panel_front_of_pack import FrontOfPack
from labeller.declarations.words import listed
from labeller.printing.page import Document
from labeller.printing.panel_bilingual import lay_out_bilingual
from labeller.printing.panel_facts import lay_out_vertical
from labeller.printing.panel_front import lay_out_front
from labeller.printing.panel_sheet import banded
from labeller.printing.panel_table import lay_out_table
from labeller.printing.panel_tabular import lay_out_tabular
from labeller.printing.sheets import Piece, put_on_roll

INCOMPLETE = "INCOMPLETE. Not to be put on food."


def lay_out_panel(panel: Panel, width_mm: float | None = None, face_area_cm2: float | None = None) -> Piece:
    """Return one panel as its law draws it; one that lacks figures under a black band that says so. [mm]

    Parameters
    ----------
    panel : Panel
        What it says.
    width_mm : float, optional
        Its width; as wide as it needs unless given. [mm]
    face_area_cm2 : float, optional
        Largest face of the pack, where the law's letters go by it; the largest letters hold unless given. [cm2]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the letter size the law asks for.
    """
    if panel.form in ("vertical", "simplified"):
        piece = lay_out_vertical(panel, width_mm)
    elif panel.form == "tabular":
        piece = lay_out_tabular(panel, width_mm)
    elif panel.form == "bilingual":
        piece = lay_out_bilingual(panel, width_mm)
    else:
        piece = lay_out_table(panel, width_mm, face_area_cm2)
    if not panel.incomplete:
        return piece
    names = listed(list(dict.fromkeys(one.name for one in panel.missing)))
    return banded(piece, INCOMPLETE, f"Not known: {names}.")


def lay_out_front_page(front: FrontOfPack, width_mm: float | None = None, face_area_cm2: float | None = None) -> Piece:
    """Return the front of a pack, under the same black band where a figure of it is not known. [mm]"""
    piece = lay_out_front(front, width_mm, face_area_cm2)
    names = [line.name.lower() for line in front.lines if line.level == "not known"]
    if not front.energy_known:
        names.insert(0, "energy")
    return banded(piece, INCOMPLETE, f"Not known: {listed(names)}.") if names else piece


def panels_document(pieces: Sequence[Piece], title: str, language: str, day: date) -> Document:
    """Return pages, one a panel, each of the panel's own size."""
    return Document(put_on_roll(pieces), title, language, "Nutrition declaration", day)
