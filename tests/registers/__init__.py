"""Registers: what is typed is checked whole, and written through the one door."""
