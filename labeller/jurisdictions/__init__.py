"""Law as dated, cited data; knows no dish."""
