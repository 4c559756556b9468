"""Sources of allergens, derivations, the reader of suppliers' statements, profiles of table rows."""
