"""The workshop's jobs on disk: saving, backup and recovery."""
