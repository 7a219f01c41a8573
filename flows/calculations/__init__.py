"""Sums with a source: each function names the table it was checked against."""
