"""The nouns every flow is made of."""
