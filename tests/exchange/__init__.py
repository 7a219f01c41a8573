"""The one door: texts, bells and facts, each a transaction, on both databases."""
