"""The steps of the work, to tick and to note beside."""
