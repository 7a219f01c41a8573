"""Sums, each against its source."""
