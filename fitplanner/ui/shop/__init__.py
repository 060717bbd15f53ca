"""The shop's jobs in the window: asking for them, choosing among them, settling conflicts."""
