"""The record: added to, never changed, and found out where it is."""
