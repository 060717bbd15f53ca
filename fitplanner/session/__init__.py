"""The job at hand: edits, the plan that follows from it, and undo."""
