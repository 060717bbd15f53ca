"""Entry widgets shared by the pages."""
