"""Recipes and ingredients from spreadsheets, text, packs and open tables."""
