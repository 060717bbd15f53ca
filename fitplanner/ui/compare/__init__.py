"""Plans side by side: stock machine, options, other machines, for one rider."""
