"""Who reaches a machine type: the window that a shop asks before it orders for stock."""
