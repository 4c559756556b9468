"""The demo: an invented kitchen, its book and what is made from it."""
