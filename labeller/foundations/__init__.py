"""Units, names, faults, citations and the ethanol-water density: no disk, clock or network."""
