"""Mass, nutrients, ethanol and allergen evidence through every step; knows no law."""
