"""What the cook wrote: read, checked, names resolved, every entry with its file and line."""
