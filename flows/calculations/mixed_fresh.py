"""What a day needs where a bath is mixed for each soak: how much bleach or powder and water."""

import math
from dataclasses import dataclass
from fractions import Fraction

from flows.calculations.chlorine import (
    from_bleach,
    from_powder,
    made_of_bleach,
    made_of_powder,
    was_mixed_before,
)
from flows.calculations.chlorine_source import Source
from flows.calculations.measuring import (
    GRAM,
    ML,
    Measure,
    Measured,
    as_measured,
    whole_ml,
)
from flows.calculations.strength import Impossible

LEAST_ML = 50
"""So little is mixed at a sink at least. Source: common practice, none published."""


@dataclass(frozen=True, slots=True)
class MadeOf:
    """A site's bleach or powder, and the cup, cap or spoon that it is measured with, if any."""

    source: Source
    own: Measure | None = None


@dataclass(frozen=True, slots=True)
class Batches:
    """So many baths of so many ml; and once as much as wipes all handles and cables."""

    baths: int
    bath_ml: int
    wipe_ml: int


@dataclass(frozen=True, slots=True)
class Mixed:
    """How much of the *source* and how much solution, in all, with one bath to spare.

    A source of None: none on file, or one of which that strength is not made.
    """

    source: str | None
    amount: int
    """In *unit*, 'ml' or 'g'."""
    unit: str
    total_ml: int
    why: str


def mixed_for_each_soak(batches: Batches, wanted: Fraction, made_of: MadeOf | None) -> Mixed:
    """All baths of a day, one more in case one has to be mixed again, and what is wiped with.

    Each is measured out by itself, rounded up as for MIX. Source: the formulas of `chlorine`;
    the spare and the wipes: common practice, none published.
    """
    wipe_ml = max(batches.wipe_ml, LEAST_ML)
    bath = _measured_out(batches.bath_ml, wanted, made_of)
    wipe = _measured_out(wipe_ml, wanted, made_of)
    if made_of is None or bath is None or wipe is None:
        total = (batches.baths + 1) * batches.bath_ml + wipe_ml
        return Mixed(None, 0, "ml", total, _why(batches.baths, f"{batches.bath_ml} ml", wipe_ml))
    unit = ML.unit if made_of.source.kind == "bleach" else GRAM.unit
    each = f"{bath[1]} ml with {bath[0]} {unit}"
    return Mixed(
        f"{made_of.source.kind} {made_of.source.shown} %",
        math.ceil((batches.baths + 1) * bath[0] + wipe[0]),
        unit,
        (batches.baths + 1) * bath[1] + wipe[1],
        _why(batches.baths, each, wipe[1]),
    )


def _measured_out(
    volume_ml: int, wanted: Fraction, made_of: MadeOf | None
) -> tuple[Fraction, int] | None:
    """The amount of the source, and the ml that come of it.

    They are more than asked for where less cannot be measured well enough.
    """
    if made_of is None or was_mixed_before(made_of.source.percent, wanted):
        return None
    strong, is_bleach = made_of.source.percent, made_of.source.kind == "bleach"
    unit = ML.unit if is_bleach else GRAM.unit
    exact = _exact(volume_ml, strong, wanted, is_bleach=is_bleach)
    if isinstance(exact, Impossible):
        return None
    taken = as_measured(exact, made_of.own, unit, volume_ml)
    if isinstance(taken, Measured):
        return taken.amount, volume_ml
    made = made_of_bleach(1, strong, wanted) if is_bleach else made_of_powder(1, strong, wanted)
    return None if isinstance(made, Impossible) else (Fraction(1), int(whole_ml(made.total_ml)))


def _exact(
    volume_ml: int, strong: Fraction, wanted: Fraction, *, is_bleach: bool
) -> Fraction | Impossible:
    if is_bleach:
        bleach = from_bleach(volume_ml, strong, wanted)
        return bleach if isinstance(bleach, Impossible) else bleach.source_ml
    powder = from_powder(volume_ml, strong, wanted)
    return powder if isinstance(powder, Impossible) else powder.grams


def _why(baths: int, each: str, wipe_ml: int) -> str:
    return (
        f"a bath of {each} for each soak, soaks: {baths}, 1 more in case one is mixed again, and "
        f"{wipe_ml} ml to wipe handles and cables"
    )
