"""Tests of the quantities room."""
