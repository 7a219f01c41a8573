"""Which bath, and its strip, while the probe is in the detergent (S4, S5, S6)."""

from datetime import timedelta

from flows.cycle.asking import never, step_on
from flows.parts.clinic import Container, Fitness, Kind
from flows.parts.decision import Decision, Saying, call, go
from flows.parts.events import BathChosen
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.rules.container_life import has_uses_left, lasts_a_soak
from flows.rules.good_to import good_to
from flows.rules.soak import soaks_before, soonest_in, taken_for
from flows.rules.strip import BATH_BEFORE_EACH_USE, may_be_tested, pass_of

ENDS_SOON = timedelta(hours=2)
"""Time to make another bath between two probes. Source: common practice, none published."""


def baths(situation: Situation, moment: Moment) -> tuple[Container, ...]:
    """Baths this cycle could use, the freshest first: in date to the end of a soak in them."""
    return tuple(each for each in _free(situation, moment) if _lasts(situation, each, moment))


def _lasts(situation: Situation, bath: Container, moment: Moment) -> bool:
    """S5: whether a soak would be over before it is, begun as soon as hands can."""
    cycle, protocol = situation.cycle, situation.protocol
    passed = pass_of(situation.clinic, bath, cycle.id, protocol, moment.now) is not None
    begins = soonest_in(cycle, protocol, moment.now, passed=passed)
    return lasts_a_soak(bath.discard_by, protocol.bell_after, begins)


def _free(situation: Situation, moment: Moment) -> tuple[Container, ...]:
    """Right product, in date now, a soak left, neither in use nor taken; the freshest first."""
    product = situation.protocol.chemistry.name
    fit = [
        each
        for each in situation.clinic.containers.values()
        if each.kind is Kind.BATH
        and each.product == product
        and each.in_use_by is None
        and taken_for(situation.clinic, each.tag, situation.cycle.id) is None
        and may_be_tested(each, moment.now)
        and has_uses_left(soaks_before(each, situation.cycle), situation.protocol.chemistry)
    ]
    return tuple(sorted(fit, key=lambda each: each.since, reverse=True))


def _choose(situation: Situation, moment: Moment) -> Decision:
    """A bath whose pass this cycle may use; else one to test; else one to fill, and come back."""
    chosen = _passed(situation, moment)
    if chosen:
        return chosen
    if situation.protocol.chemistry.is_single_use:
        return Decision(then=call("containers", "single_use", back_to="bath"))
    dipped = _to_dip_in(situation, moment)
    if dipped:
        then = call("strip_test", "dip", back_to="bath_tested", container=dipped)
    else:
        then = call("containers", "fill", back_to="bath", kind="bath")
    return Decision(says=_too_short(situation, moment, is_another=bool(dipped)), then=then)


def _to_dip_in(situation: Situation, moment: Moment) -> str | None:
    tested = [_tested_for(situation, each) for each in baths(situation, moment)]
    return next((each.tag for each in tested if each and may_be_tested(each, moment.now)), None)


def _tested_for(situation: Situation, bath: Container) -> Container | None:
    """S4: the bath itself; where the site tests the bottle, that, unless the bath is held."""
    is_its_own = situation.protocol.chemistry.strip_policy == BATH_BEFORE_EACH_USE
    if is_its_own or bath.fitness is Fitness.HELD:
        return bath
    return situation.clinic.containers.get(bath.source or "")


def _too_short(situation: Situation, moment: Moment, *, is_another: bool) -> tuple[Saying, ...]:
    """S5: why another bath is needed, where one ends before a soak in it would be over.

    If there *is_another*, only what was passed or chosen before is worth a word.
    """
    clinic, cycle, now = situation.clinic, situation.cycle, moment.now
    short = [each for each in _free(situation, moment) if not _lasts(situation, each, moment)]
    meant = [
        each
        for each in short
        if each.tag == cycle.bath or pass_of(clinic, each, cycle.id, situation.protocol, now)
    ]
    chosen = clinic.containers.get(cycle.bath or "")
    if chosen and chosen.fitness is Fitness.GOOD and chosen.discard_by <= now:
        meant = short = [chosen]
    return tuple(Saying(too_short(situation, each)) for each in (meant if is_another else short))


def too_short(situation: Situation, bath: Container) -> Text:
    """S5: that it is in date, or was, and does not last another soak."""
    return say(
        "cycle.bath.too_short",
        "{tag} is good to {good_to} only: too short for a soak of {device}. Another bath is "
        "needed.",
        tag=bath.tag,
        good_to=good_to(bath.discard_by, situation.zone),
        device=situation.cycle.device,
    )


def _passed(situation: Situation, moment: Moment) -> Decision | None:
    cycle = situation.cycle
    for bath in baths(situation, moment):
        if pass_of(situation.clinic, bath, cycle.id, situation.protocol, moment.now):
            then = "await_detergent" if cycle.detergent else "container"
            return Decision(
                events=(BathChosen(cycle.id, bath.tag),),
                says=tuple(map(Saying, _ahead_of_time(situation, bath, moment))),
                then=go(then),
            )
    return None


def _ahead_of_time(situation: Situation, bath: Container, moment: Moment) -> list[Text]:
    """S5: that this is the last soak, or that its time is nearly up."""
    protocol, most = situation.protocol, situation.protocol.chemistry.bath_uses_max
    count = soaks_before(bath, situation.cycle) + 1
    if most is not None and count >= most:
        return [
            say(
                "cycle.bath.last_soak",
                "{tag}: this is its last soak, {count} of {total}. After it throw {tag} away: "
                "{discard} {tag}.",
                tag=bath.tag,
                count=count,
                total=most,
            )
        ]
    if bath.discard_by - moment.now > ENDS_SOON:
        return []
    return [
        say(
            "cycle.bath.ends_soon",
            "{tag} is good to {good_to} only: no soak after {time}. Please make the next one in "
            "time.",
            tag=bath.tag,
            good_to=good_to(bath.discard_by, situation.zone),
            time=bath.discard_by - protocol.bell_after,
        )
    ]


def _after_test(situation: Situation, moment: Moment) -> Decision:
    return _passed(situation, moment) or step_on("bath")


BATH = Step("bath", never, never, never, never, asks_brief=never, skips=_choose)
BATH_TESTED = Step("bath_tested", never, never, never, never, asks_brief=never, skips=_after_test)
