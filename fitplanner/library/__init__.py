"""What the workshop can choose from: machine profiles, springs and ways to lower."""
