"""Frozen, validated documents: the rider, the machine profile, the job and their files."""
