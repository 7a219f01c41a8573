"""Whole conversations over the pure flows: exhaustive walks, and stateful random ones."""
