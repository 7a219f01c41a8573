"""0.1% FROM 100 ML 5%: an amount that is there, and what is to be made of it."""

from dataclasses import dataclass, replace
from decimal import Decimal

from flows.replies import NotUnderstood
from flows.replies.amounts import OwnUnits, Quantities, Strength, quantities
from flows.replies.typed import Typed

AT_HAND = (Decimal(1), Decimal(50_000))
"""Millilitres or grams that somebody pours or weighs out at a sink. Source: common practice, none
published."""

MOST_STRENGTHS = 2


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """So many ml or g of what is at hand; the strengths that were named, if any."""

    amount: Decimal
    unit: str
    """'ml' or 'g'."""
    wanted: Strength | None = None
    of: Strength | None = None


def made_from(typed: Typed, word: str, own: OwnUnits) -> MadeFrom | NotUnderstood | None:
    """Read what stands behind *word*, FROM; None where no amount does: 5 L FROM 3.5 %.

    It may be counted in the site's *own* measures: FROM 3 SCOOPS. The strength wanted stands
    before it, or last: FROM 100 ML 5% TO 0.1%.
    """
    if word not in typed.words:
        return None
    at = typed.words.index(word)
    before = quantities(replace(typed, words=typed.words[:at]))
    after = quantities(typed.after(at + 1), own)
    if isinstance(before, NotUnderstood):
        return before
    return after if isinstance(after, NotUnderstood) else _together(before, after)


def _together(before: Quantities, after: Quantities) -> MadeFrom | NotUnderstood | None:
    amounts = {
        *((each, "ml") for each in after.volumes_ml),
        *((each, "g") for each in after.grams),
    }
    if not amounts:
        return None
    is_more = before.volumes_ml or before.grams or len(amounts) > 1
    if is_more or len(before.strengths + after.strengths) > MOST_STRENGTHS:
        return NotUnderstood("ambiguous")
    ((amount, unit),) = amounts
    if not AT_HAND[0] <= amount <= AT_HAND[1]:
        return NotUnderstood("impossible", value=amount)
    return MadeFrom(amount, unit, *_in_order(before.strengths, after.strengths))


def _in_order(
    before: tuple[Strength, ...], after: tuple[Strength, ...]
) -> tuple[Strength | None, Strength | None]:
    """What is wanted, and what it is of."""
    if before:
        wanted, of = (*before, *after, None)[:MOST_STRENGTHS]
    else:
        of, wanted = (*after, None, None)[:MOST_STRENGTHS]
    return wanted, of
