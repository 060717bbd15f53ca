"""The panels in which the job is entered."""
