"""Drawing outlines of machine and rider as arrays of points, to scale."""
