"""The machine's side view as pure functions: geometry, springs, linkage and equilibrium."""
