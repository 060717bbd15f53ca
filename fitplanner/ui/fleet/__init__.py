"""The window that asks which machines of the library could be made to fit the rider."""
