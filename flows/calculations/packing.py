"""What to pack for a planned day: each thing, how much of it, and why so much."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import ceil

from flows.calculations.detergent import one_batch
from flows.calculations.measuring import Measure
from flows.calculations.mixed_fresh import Batches, MadeOf, mixed_for_each_soak
from flows.calculations.neutralising import neutraliser_g
from flows.calculations.planning import Plan
from flows.calculations.rinsing import rinse_water
from flows.protocols.fields import NO_STRIP, STRIP_POLICIES

TOWELS_A_CYCLE = 8
"""Four wipes of handle and cable, one of the probe, two dryings, one to cover it.
Source: common practice, none published."""

DETERGENT_RINSES = 3
"""Each in as much fresh water as a batch. Source: common practice, none published."""

WIPE_ML = 10
"""Disinfectant on the towel for handle and cable. Source: common practice, none published."""

GLOVES_A_CYCLE = 2
"""A pair from the first wipe until the probe is in the bath, a clean pair to take it out and
cover it (S1). Source: common practice, none published."""

NOT_ON_FILE = (
    "no bleach or powder is on file here, so how much of it is not known: "
    'soakbell choose site chlorine_source "bleach 3.5 %"'
)
TOO_WEAK = "what is on file here is too weak to mix it of: mixed before, or no more than is wanted"
A_LITRE_ML = 1000
BATH_EACH_USE = STRIP_POLICIES[0]


@dataclass(frozen=True, slots=True)
class Item:
    """A line of the packing list. *slug* names it for texts."""

    slug: str
    name: str
    amount: int
    unit: str
    reason: str


def packing(
    plan: Plan,
    open_for: timedelta,
    bath_ml: int | None = None,
    made_of: MadeOf | None = None,
    cap: Measure | None = None,
) -> tuple[Item, ...]:
    """The packing list of *plan*; never rounded down.

    *bath_ml* fills one bath to the line; None takes the device's own figure. *made_of* is what the
    site mixes of, where a bath is mixed for each soak; *cap* its own measure for detergent, as for
    MIX. Source: each line names its own; numbers of acts are common practice, none published.
    """
    millilitres = bath_ml or plan.protocol.device_model.bath_volume_ml
    return (
        _towels(plan),
        _detergent(plan, cap),
        _detergent_water(plan),
        *_disinfectants(plan, open_for, millilitres, made_of),
        _rinse_water(plan),
        *_strips(plan, open_for),
        *_covers(plan),
        _gloves(plan),
    )


def _towels(plan: Plan) -> Item:
    cycles = len(plan.turns)
    return Item(
        "towels",
        "lint-free towels",
        cycles * TOWELS_A_CYCLE,
        "",
        f"{TOWELS_A_CYCLE} a cycle, cycles: {cycles}; 4 wipes of handle and cable, 1 of the "
        "probe, 2 dryings, 1 cover",
    )


def _detergent(plan: Plan, cap: Measure | None) -> Item:
    """Each batch is measured out by itself: rounded up as for MIX."""
    detergent, batches = plan.protocol.detergent, _batches(plan)
    each = one_batch(detergent, cap).amount
    return Item(
        "detergent",
        f"{detergent.title} concentrate",
        ceil(each * batches),
        "ml",
        f"{detergent.ml_per_litre} ml to a litre, {detergent.soak_volume_ml} ml of water a batch, "
        f"so {float(each):g} ml each as it is measured, batches: {batches}",
    )


def _batches(plan: Plan) -> int:
    return len(plan.turns) if plan.protocol.detergent.one_batch_per_device else 1


def _detergent_water(plan: Plan) -> Item:
    batches, cycles = _batches(plan), len(plan.turns)
    each_ml = plan.protocol.detergent.soak_volume_ml
    return Item(
        "detergent_water",
        "clean water for detergent",
        _up(Decimal((batches + cycles * DETERGENT_RINSES) * each_ml) / A_LITRE_ML),
        "l",
        f"{each_ml} ml a batch, batches: {batches}, and {DETERGENT_RINSES} x {each_ml} ml to "
        f"rinse it off, cycles: {cycles}",
    )


def _disinfectants(
    plan: Plan, open_for: timedelta, bath_ml: int, made_of: MadeOf | None
) -> Iterator[Item]:
    """S4: what no strip exists for is mixed for each soak, and cannot be packed as it is used."""
    chemistry = plan.protocol.chemistry
    if not chemistry.is_single_use:
        yield _disinfectant(plan, open_for, bath_ml)
        yield from _neutraliser(plan, open_for, bath_ml)
        return
    wanted = Fraction(chemistry.mixed_to_percent or 0)
    batches = Batches(fillings_of(plan, open_for)[0], bath_ml, len(plan.turns) * WIPE_ML)
    mixed = mixed_for_each_soak(batches, wanted, made_of)
    if mixed.source is None:
        name = f"{chemistry.title}, mixed for each soak of bleach or powder"
        lack = TOO_WEAK if made_of else NOT_ON_FILE
        yield Item("disinfectant", name, mixed.total_ml, "ml", f"{lack}; {mixed.why}")
    else:
        yield Item("source", mixed.source, mixed.amount, mixed.unit, mixed.why)
    yield Item(
        "mixing_water",
        "boiled, cooled water to mix with",
        _up(Decimal(mixed.total_ml) / A_LITRE_ML),
        "l",
        f"for {mixed.total_ml} ml of {chemistry.title} in all",
    )


def _disinfectant(plan: Plan, open_for: timedelta, bath_ml: int) -> Item:
    fillings, why = fillings_of(plan, open_for)
    cycles = len(plan.turns)
    return Item(
        "disinfectant",
        plan.protocol.chemistry.title,
        (fillings + 1) * bath_ml + cycles * WIPE_ML,
        "ml",
        f"{fillings} x {bath_ml} ml to fill baths to the line of a "
        f"{plan.protocol.device_model.title} ({why}), 1 more in case a strip fails, and "
        f"{WIPE_ML} ml a cycle to wipe handle and cable",
    )


def _neutraliser(plan: Plan, open_for: timedelta, bath_ml: int) -> Iterator[Item]:
    """Each bath that is filled ends as waste, and so does the one that failed its strip."""
    chemistry = plan.protocol.chemistry
    if chemistry.neutraliser_g_per_l is None:
        return
    baths = fillings_of(plan, open_for)[0] + 1
    grams = neutraliser_g(bath_ml, chemistry.neutraliser_g_per_l)
    each = grams if isinstance(grams, int) else 0
    yield Item(
        "neutraliser",
        chemistry.neutraliser or "",
        each * baths,
        "g",
        f"{each} g to each bath of {bath_ml} ml before it is poured away, baths: {baths}",
    )


def fillings_of(plan: Plan, open_for: timedelta) -> tuple[int, str]:
    """How often baths are filled in all, and which of its limits decides.

    One device a bath at a time (S21); a bath ends with its uses or its life (S5).
    Source: the protocol's figures.
    """
    chemistry = plan.protocol.chemistry
    uses = Counter(turn.bath for turn in plan.turns)
    life = min(timedelta(days=chemistry.reuse_life_days), chemistry.bath_life or timedelta.max)
    lives = -(-max(plan.last_ready, open_for) // life)
    most = 1 if chemistry.is_single_use else chemistry.bath_uses_max
    by_uses = [-(-count // most) if most else 1 for count in uses.values()]
    fillings = sum(max(lives, count) for count in by_uses)
    if fillings == len(uses):
        return fillings, "one for each bath in use, good all day"
    if max(by_uses) > lives:
        return fillings, f"uses at most: {most}"
    return fillings, "its life ends in the day"


def _rinse_water(plan: Plan) -> Item:
    chemistry, cycles = plan.protocol.chemistry, len(plan.turns)
    one = rinse_water(chemistry)
    return Item(
        "rinse_water",
        f"rinse water, {chemistry.rinse_water}",
        _up(rinse_water(chemistry, cycles).litres),
        "l",
        f"after each soak {chemistry.rinse_count} x {chemistry.rinse_volume_l} l, "
        f"{_minutes(one.lasts)} min in all; cycles: {cycles}",
    )


def _strips(plan: Plan, open_for: timedelta) -> Iterator[Item]:
    """S4: by policy one test each use, or one a bath and day; a spare; a new bottle's check."""
    chemistry, strip = plan.protocol.chemistry, plan.protocol.strip
    if chemistry.strip_policy == NO_STRIP:
        return
    each = max(chemistry.strips_each_test, strip.strips_per_test)
    tests = len(plan.turns)
    why = "before each use"
    if chemistry.strip_policy != BATH_EACH_USE:
        tests, why = fillings_of(plan, open_for)[0], "for each filling"
    yield Item(
        "strips",
        strip.title,
        (tests + 1) * each,
        "",
        f"tests: {tests}, one {why}, and 1 to spare; {each} a test",
    )
    check = strip.qc_positive + strip.qc_negative
    if check:
        yield Item(
            "strips_check",
            f"{strip.title}, for a new bottle",
            check,
            "",
            f"{strip.qc_positive} in good and {strip.qc_negative} in diluted solution, "
            "when a bottle is opened",
        )


def _covers(plan: Plan) -> Iterator[Item]:
    """The protocol's last cover is for the day's end: one for each probe in use (S9)."""
    probes = len({turn.probe for turn in plan.turns})
    last = plan.protocol.covers[-1]
    if len(plan.protocol.covers) > 1:
        yield Item("drapes", last.title, probes, "", "1 for each probe after its last cycle")
    yield Item("covers", "probe cover", len(plan.turns), "", "1 a cycle")


def _gloves(plan: Plan) -> Item:
    cycles, patients = len(plan.turns), plan.day.patients
    return Item(
        "gloves",
        "pairs of gloves",
        cycles * GLOVES_A_CYCLE + patients,
        "",
        f"{GLOVES_A_CYCLE} a cycle (to clean and put in; clean ones to take out and cover), "
        "1 a patient to examine",
    )


def _minutes(span: timedelta) -> int:
    """Whole minutes, never too few."""
    return -(-span // timedelta(minutes=1))


def _up(amount: Decimal) -> int:
    return int(amount.to_integral_value(rounding=ROUND_CEILING))
