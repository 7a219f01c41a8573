"""Texts: what the alphabet holds, how values are written, how catalogues are made and read."""
