"""The search over every combination of ways and springs."""
