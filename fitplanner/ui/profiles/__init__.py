"""The shop's own machines: the list of them, and the editor in which one is made and mended."""
