"""The names of rows that a guest may ask about are those of the table that is shipped."""

import runpy

from labeller.foundations.places import reference_data_folder


def test_the_compiled_names_are_current() -> None:
    folder = reference_data_folder() / "allergens"
    build = runpy.run_path(str(folder / "build_row_words.py"))
    assert build["row_words"]() == (folder / "row_words.txt").read_text("utf-8")
    # "Fish, shad, american, raw" is a published name of Release 28.
    assert "\nshad\n" in (folder / "row_words.txt").read_text("utf-8")
