"""The rider's body: inside leg, feet, segments, reach to the ground, posture, mass. Pure NumPy."""
