"""A bell is a row: claimed once, leased, never given up."""
