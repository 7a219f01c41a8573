"""Migrations travel inside the package; none may rebuild the entry table (no batch on it)."""
