"""Paper: what is declared, set in letters, laid out and painted.

How a paper is made: every text is checked (`letters`), set into lines (`setting`) in the house's styles (`house`) at a size that fits and is
lawful (`fitting`, `lawful_letters`), placed on a page (`page`), put on a sheet (`sheets`), held to the rules of layout (`layout_checks`) and painted
(`painter`). All but the painter know nothing of PDF. Lengths are millimetres from the top left corner of a page, sizes of letters points.
"""
