"""What is in a container, for its label: its product, and how much of it where that is known."""

from decimal import Decimal

from flows.parts.text import Text, say
from flows.rules.amount_words import volume


def contents(product: str | Text, volume_ml: Decimal | None) -> str | Text:
    """5 L OPA 0.55 %; the product alone, where nobody has said how much there is of it."""
    if volume_ml is None:
        return product
    return say(
        "containers.contents", "{volume} {product}", volume=volume(volume_ml), product=product
    )
