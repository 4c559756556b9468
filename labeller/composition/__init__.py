"""The reference table of foods: rows, figures, measures and the search over them."""
