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


def not_soaked_in(tag: str, product: str) -> Text:
    """S5: it was asked for before the site chose another: it is noted for what it is."""
    return say(
        "containers.not_soaked_in",
        "No probe here is soaked in {product} any more: {tag} is not for use here. Label it so.",
        tag=tag,
        product=product,
    )


def strips_of_no_use_here(tag: str) -> Text:
    """S4: each product has its own strips."""
    return say(
        "state.strips.not_here",
        "{tag}: NOT FOR USE here: no probe of this site is soaked in what these strips are for.",
        tag=tag,
    )
