"""Texts out, from the row to the carrier."""
