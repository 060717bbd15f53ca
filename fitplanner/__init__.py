"""Plans how an off-road motorcycle is lowered to fit its rider."""

__version__ = "0.1.0"
