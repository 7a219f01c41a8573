"""A site that mixes, and what is mixed there, from the sum to the label."""

from flows.parts.events import SiteChoiceMade
from tests.kit.talk import Talk, clinic

BLEACH = ("chlorine_source", "bleach 3.5 %")


def site(*ways: tuple[str, str]) -> Talk:
    talk = clinic()
    talk.let(*(SiteChoiceMade("site", key, value, "") for key, value in ways))
    return talk


def mixes(talk: Talk, body: str, lot: str = "K208") -> tuple[str, str]:
    """Ask for it, mix it, and say so: the recipe and the label."""
    recipe, asked = talk.sends(body)
    assert asked.startswith("Mixed ")
    assert "? Reply MIXED and the lot of the " in asked
    (label,) = talk.sends(f"mixed {lot}", after=60)
    return recipe, label
