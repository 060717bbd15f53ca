"""From a frozen job to a frozen plan: the drop needed, its split, the parts and the checks."""
