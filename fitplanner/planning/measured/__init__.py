"""The tape comes back to the plan: fit to readings, proof of the work, what a shop learns."""
