"""Which share of women and of men reaches the ground from a machine type, stock and lowered."""
