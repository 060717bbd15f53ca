"""The printed sheets: what they say first, then how it is laid out."""
