"""What is not known of a plan: bands, chances, and what to measure next."""
