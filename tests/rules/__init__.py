"""The safety rules, one file a rule."""
