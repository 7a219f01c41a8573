"""Which products come out of one bottle, so that a lot of the one is a lot of them all (S18)."""

CHLORINE = "chlorine"
"""What is mixed here from bleach or powder, whatever its strength."""


def stock_of(product: str) -> str:
    """One bottle of bleach is diluted to any strength; any other product is its own stock."""
    return CHLORINE if product.startswith(f"{CHLORINE}_") else product
