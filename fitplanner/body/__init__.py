"""The rider as pure functions: lengths, reach, posture and segment masses."""
