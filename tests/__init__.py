"""Tests of the fit planner."""
