"""The one place that asks the time."""
