"""Paper: cards, labels, the allergen sheet, menu notes and panels."""
