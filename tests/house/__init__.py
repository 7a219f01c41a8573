"""What no linter can hold: sizes, names, docstrings, the map, the two commands."""
