"""The rate of a spring from the spring in the hand."""
