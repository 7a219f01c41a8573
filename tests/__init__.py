"""Promises, kept: one room a subject, names that read as a list of what holds."""
