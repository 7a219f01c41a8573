"""Exports: the record in formats that others can read, check and open without harm."""
