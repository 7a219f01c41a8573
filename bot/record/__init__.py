"""The record: entries are added, never changed (S15)."""
