"""Texts to send are rows first."""
