"""Allergen, nutrition and alcohol declarations for kitchens."""

__version__ = "0.1.0"
