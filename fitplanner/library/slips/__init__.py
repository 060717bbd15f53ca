"""Slips in a machine profile, each with its likely mend."""
