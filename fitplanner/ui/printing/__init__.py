"""Paper: pages laid out for a printer or a PDF file."""
