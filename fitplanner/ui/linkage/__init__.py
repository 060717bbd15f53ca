"""The rear linkage drawn, moved through its travel, and its leverage found from readings."""
