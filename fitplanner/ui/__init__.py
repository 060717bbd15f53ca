"""Everything Qt: windows, pages, drawing and printing."""
