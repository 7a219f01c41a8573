"""The log: a line at a time, and nobody in it."""
