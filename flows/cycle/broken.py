"""A break: straight back into the same bath, or cleaned from the start (S3, S5, S8, S12)."""

from datetime import datetime, timedelta
from decimal import Decimal

from flows.parts.clinic import Container, Fitness
from flows.parts.decision import Decision, Saying, go, restart
from flows.parts.events import CleaningRestarted, SoakBroken
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.container_life import has_uses_left, lasts_a_soak
from flows.rules.good_to import good_to
from flows.rules.soak import (
    contact_time,
    is_over,
    is_past_the_maximum,
    is_straight_back,
    lasted,
    soaks_before,
)
from flows.rules.strip import pass_of


def bath_of(situation: Situation) -> Container | None:
    """The bath this cycle has chosen, as it stands now."""
    return situation.clinic.containers.get(situation.cycle.bath or "")


def fresh(situation: Situation, label: str, moment: Moment) -> int:
    """S3: a number that this cycle has not had: a late answer to an old text fits no new one."""
    return moment.two_digits(label, never=frozenset(situation.cycle.numbers))


def broken(  # noqa: PLR0913  a break has as many sides as this
    situation: Situation,
    because: str,
    moment: Moment,
    *,
    ended: datetime | None = None,
    known: datetime | None = None,
    celsius: Decimal | None = None,
) -> Decision:
    """S3: the contact time is zero; the old number is dead, a new one is asked for.

    *ended*: where it was out before this text; *known*: since when that is known. *celsius*:
    where the bath was measured once more; the coldest reading says what was owed.
    """
    cycle, protocol = situation.cycle, situation.protocol
    soak = cycle.contact
    if soak and is_over(soak, known or moment.now, protocol):
        return clean_again(situation, because, moment)
    out = ended or situation.sent_at or moment.now
    soaked = lasted(soak, out) if soak else timedelta(0)
    broke = SoakBroken(cycle.id, cycle.device, because, soaked)
    why = no_way_back(situation, moment)
    if why:
        again = CleaningRestarted(cycle.id, cycle.device, because)
        return Decision((broke, again), (Saying(why),), restart("wipe_detergent"))
    owed = contact_time(protocol, cycle.celsius_in, celsius) + protocol.chemistry.bell_margin
    short = owed - soaked
    return Decision(
        events=(broke,),
        then=go(
            "back_in",
            number=fresh(situation, "back_in", moment),
            short_s=str(short // timedelta(seconds=1)),
            broke=out.isoformat(),
            because=because,
        ),
    )


def back_or_again(situation: Situation, moment: Moment) -> Decision | None:
    """S3, S8: what is out goes straight back into its own bath, or is cleaned; None where it may.

    Who has taken it over, or how often it was asked, makes it no sooner that it came out.
    """
    why = why_not_back(situation, moment)
    if why is None:
        return None
    again = CleaningRestarted(situation.cycle.id, situation.cycle.device, "not_back")
    return Decision((again,), (Saying(why),), restart("wipe_detergent"))


def why_not_back(situation: Situation, moment: Moment) -> Text | None:
    """S3: why what was in its bath may not go straight back into it; None where it may."""
    return no_way_back(situation, moment) or _out_too_long(situation, moment)


def uses_left(situation: Situation, bath: Container) -> bool:
    """S5: whether it takes this soak, put in too cold before or not."""
    uses = soaks_before(bath, situation.cycle)
    return has_uses_left(uses, situation.protocol.chemistry)


def _out_too_long(situation: Situation, moment: Moment) -> Text | None:
    """What has to be warmed first may take its time; what was put back since is not out."""
    broke = situation.frame.memo.get("broke", "")
    if situation.frame.step != "back_in" or not broke:
        return None
    if is_straight_back(datetime.fromisoformat(broke), moment.now):
        return None
    return say(
        "cycle.broken.too_long",
        "{device} has been out too long to go straight back in. It must be cleaned from the "
        "start.",
        device=situation.cycle.device,
    )


def no_way_back(situation: Situation, moment: Moment) -> Text | None:
    """S4, S5: why its bath takes what was in it for no other soak; None where it does."""
    cycle, protocol, bath = situation.cycle, situation.protocol, bath_of(situation)
    if bath is None or bath.fitness is not Fitness.GOOD:
        return _not_for_use(situation)
    if not uses_left(situation, bath):
        return _spent(situation)
    if not lasts_a_soak(bath.discard_by, protocol.bell_after, moment.now):
        return _runs_out(situation, bath)
    if pass_of(situation.clinic, bath, cycle.id, protocol, moment.now) is None:
        return _has_no_strip(situation)
    return None


def _not_for_use(situation: Situation) -> Text:
    return say(
        "cycle.bath.not_for_use",
        "{tag} is not for use any more. {device} must be cleaned again, then soaked in another "
        "bath.",
        tag=situation.cycle.bath or "",
        device=situation.cycle.device,
    )


def _has_no_strip(situation: Situation) -> Text:
    return say(
        "cycle.bath.no_strip",
        "The strip of {tag} does not count for another soak. {device} must be cleaned again; I "
        "ask for a new strip in time.",
        tag=situation.cycle.bath or "",
        device=situation.cycle.device,
    )


def _spent(situation: Situation) -> Text:
    return say(
        "cycle.bath.spent",
        "{tag} has had its last soak: throw it away. {device} must be cleaned again, then soaked "
        "in another bath.",
        tag=situation.cycle.bath or "",
        device=situation.cycle.device,
    )


def _runs_out(situation: Situation, bath: Container) -> Text:
    return say(
        "cycle.bath.runs_out",
        "{tag} is good to {good_to} only: too short for a whole soak. {device} must be cleaned "
        "again, then soaked in another bath.",
        tag=bath.tag,
        good_to=good_to(bath.discard_by, situation.zone),
        device=situation.cycle.device,
    )


def clean_again(situation: Situation, because: str, moment: Moment) -> Decision:
    """S3, S8: touched, not sure, or simply asked for: clean it from the start.

    S12: what was left in past the maximum is inspected first, unless it has been since.
    """
    cycle = situation.cycle
    soak = cycle.contact
    broke = (SoakBroken(cycle.id, cycle.device, because, timedelta(0)),) if soak else ()
    over = cycle.inspect_again or is_past_the_maximum(cycle, moment.now)
    return Decision(
        events=(*broke, CleaningRestarted(cycle.id, cycle.device, because, inspect_again=over)),
        then=restart("inspect" if over else "wipe_detergent"),
    )
