"""S5, S8: what turns out to have been over, or inactive, and all that rested on it meanwhile.

A date that stands too late is never moved in silence: what was poured from it ends with it, and
what was soaked, wiped or tested with it past its time counts for nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from flows.parts.clinic import AT_HAND, Clinic, Container, Cycle, Kind, StripBottle
from flows.parts.events import (
    CaseOpened,
    CleaningRestarted,
    ContainerCondemned,
    CycleAbandoned,
    CycleVoided,
    Event,
    Immersed,
    LifeShortened,
    Poured,
    PutInBath,
    Stamped,
    StepDone,
    StripDipped,
    StripRead,
    TakenOut,
)
from flows.parts.listed import listed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.strip import same_liquid, void

FOUND_UNFIT = "found_unfit"
ACTIVATION_UNKNOWN = "activation_unknown"
NOT_ACTIVE = "not_active"
"""S1: poured before its jug was activated, as has turned out."""
TOPPED_UP = "topped_up"
AT_FAULT = "at_fault"
"""S4, S5, S6: somebody has said that it is bad, for whatever reason."""
OF_TOPPED_UP = "of_topped_up"
"""S6: poured from a bottle that had been topped up by then, as far as anybody can tell."""

PROBE_IN_IT = "probe_in_it"
"""A stock that a probe was put into, which is no bath (S3)."""

FOR_EVER = datetime.max.replace(tzinfo=UTC)

A_PASS_LASTS = timedelta(days=1)
"""S4: at most, as it ends with the day."""

_WENT_BY_IT = (Immersed, TakenOut, StepDone, StripRead)
_COUNTS_NO_MORE = (CycleVoided, CycleAbandoned, CleaningRestarted)


@dataclass(frozen=True, slots=True)
class Span:
    """From a moment on, until another: from then on a tag may be another's."""

    since: datetime
    until: datetime = FOR_EVER


def outlives(clinic: Clinic, tag: str) -> tuple[Container, ...]:
    """S5: what was poured from *tag*, at first or second hand, and has a later date than that."""
    source = clinic.containers.get(tag)
    if source is None:
        return ()
    poured = same_liquid(clinic, tag)[1:]
    return tuple(each for each in poured if each.discard_by > source.discard_by)


def ends_with_it(clinic: Clinic, tag: str, *, chosen: bool = False) -> tuple[LifeShortened, ...]:
    """S5: what was poured straight from *tag* never outlives it; what follows, follows on that."""
    source = clinic.containers.get(tag)
    because = source.because if source else ""
    because = OF_TOPPED_UP if because == TOPPED_UP else because
    return tuple(
        LifeShortened(each.tag, source.discard_by, because, chosen)
        for each in outlives(clinic, tag)
        if source and each.source == tag
    )


def soaking_in(clinic: Clinic, tag: str) -> tuple[Cycle, ...]:
    """S4: whoever has a device in that bath now."""
    return tuple(each for each in clinic.cycles.values() if each.contact and each.bath == tag)


def poured_inactive(clinic: Clinic, tag: str, activated: datetime) -> tuple[Container, ...]:
    """S1: what was poured straight from *tag* before its activator was in; all falls with it."""
    things = clinic.containers.values()
    return tuple(each for each in things if each.source == tag and each.since < activated)


def is_source_in_doubt(clinic: Clinic, event: ContainerCondemned) -> bool:
    """S1, S8: a jug that nobody can vouch for, or what came from it inactive: so is all of it."""
    one = clinic.containers.get(event.tag)
    source = clinic.containers.get(one.source or "") if one else None
    jug = {ACTIVATION_UNKNOWN: one, NOT_ACTIVE: source}.get(event.because)
    return jug is not None and jug.kind is Kind.JUG


def begun(one: Container | StripBottle) -> datetime:
    """From when on whatever bears this tag is that one."""
    return one.opened if isinstance(one, StripBottle) else one.since


def never_good(one: Container | StripBottle, because: str) -> tuple[Event, ...]:
    """Nobody knows since when it was bad: out of use, with all that has gone by it."""
    return LifeShortened(one.tag, begun(one), because), ContainerCondemned(one.tag, because)


def in_doubt_with_it(clinic: Clinic, tag: str) -> tuple[Container, ...]:
    """What was poured from it and is still at hand."""
    poured = same_liquid(clinic, tag)[1:]
    return tuple(each for each in poured if each.fitness in AT_HAND)


def fallen_since(
    situation: Situation, tags: frozenset[str], since: datetime, case: str, subject: str
) -> tuple[Event, ...]:
    """S1, S18: every cycle that went by one of *tags* from then on is void, and a case opened."""
    tests = dipped_since(situation, tags, since)
    cycles = went_by(situation, tags, tests, Span(since))
    return _fallen(situation, cycles, since, case, subject)


def mixed_with_it(situation: Situation, tag: str, since: datetime) -> tuple[str, ...]:
    """S6: what was noted as poured from it *since*: a label may say an earlier hour than that."""
    poured = (each.event for each in situation.past((Poured,), since))
    return tuple(each.tag for each in poured if isinstance(each, Poured) and each.source == tag)


def topped_since(
    situation: Situation, tags: frozenset[str], since: datetime, case: str, subject: str
) -> tuple[Event, ...]:
    """S4, S6: what soaked in a mixture, was wiped with it, or soaked on a pass that it has ended.

    A strip that has passed in the mixture since makes it no better.
    """
    dips = (each.event for each in situation.past((StripDipped,), since - A_PASS_LASTS))
    tests = {
        each.test for each in dips if isinstance(each, StripDipped) and each.container in tags
    }
    kinds = (Immersed, TakenOut, StepDone)
    cycles = went_by(situation, tags, frozenset(tests), Span(since), kinds)
    return _fallen(situation, cycles, since, case, subject)


def disturbed_then(
    situation: Situation, put: PutInBath, sent: datetime, case: str
) -> tuple[Event, ...]:
    """S21: what soaked in that bath when a text was *sent* that says so of another device.

    What soaks there yet is broken as it is heard; this is for one that a carrier has brought late.
    """
    soaks: dict[str, Stamped] = {}
    fell: dict[str, None] = {}
    for stamped in situation.past((Immersed, TakenOut, *_COUNTS_NO_MORE), sent - A_PASS_LASTS):
        event, cycle = stamped.event, str(getattr(stamped.event, "cycle", ""))
        if isinstance(event, Immersed) and event.bath == put.bath and event.device != put.device:
            soaks[cycle] = stamped
        elif isinstance(event, TakenOut) and cycle in soaks:
            if soaks[cycle].at <= sent < stamped.at:
                fell[cycle] = None
        elif isinstance(event, _COUNTS_NO_MORE):
            fell.pop(cycle, None)
    return _fallen(situation, tuple(fell), sent, case, put.bath)


def soaked_by(situation: Situation, strips: str, since: datetime, case: str) -> tuple[Event, ...]:
    """S4: the same of those alone that soak or have soaked on a pass of *strips*.

    Whoever has not put the probe in yet dips another strip first: that bath is held.
    """
    tags = frozenset({strips})
    tests = dipped_since(situation, tags, since)
    cycles = went_by(situation, tags, tests, Span(since), (Immersed,))
    return _fallen(situation, cycles, since, case, strips)


def _fallen(
    situation: Situation, cycles: tuple[str, ...], since: datetime, case: str, subject: str
) -> tuple[Event, ...]:
    if not cycles:
        return ()
    opened = CaseOpened(case, FOUND_UNFIT, subject, since, cycles)
    return (*void(situation.clinic, cycles, FOUND_UNFIT), opened)


def went_by(
    situation: Situation,
    tags: frozenset[str],
    tests: frozenset[str],
    span: Span,
    kinds: tuple[type[Event], ...] = _WENT_BY_IT,
) -> tuple[str, ...]:
    """Cycles soaked in it or on its pass, wiped with it, tested by it; not begun again since."""
    cycles: dict[str, None] = {}
    for stamped in situation.past((*kinds, *_COUNTS_NO_MORE), span.since):
        event = stamped.event
        cycle = str(getattr(event, "cycle", None) or "")
        if isinstance(event, _COUNTS_NO_MORE):
            cycles.pop(cycle, None)
        elif cycle and stamped.at < span.until and (_of(event) in tags or _by(event) in tests):
            cycles[cycle] = None
    return tuple(cycles)


def dipped_since(situation: Situation, tags: frozenset[str], since: datetime) -> frozenset[str]:
    """S4: the tests with strips of *tags* from then on, in a cycle or outside; the dip counts."""
    dips = (each.event for each in situation.past((StripDipped,), since))
    return frozenset(
        each.test for each in dips if isinstance(each, StripDipped) and each.strips in tags
    )


def _of(event: Event) -> str:
    if isinstance(event, StepDone):
        return event.container
    return str(getattr(event, "bath", ""))


def _by(event: Event) -> str:
    """The test that somebody has read, or has soaked on."""
    return str(getattr(event, "strip_test", "") or getattr(event, "test", ""))


# -- what is said -------------------------------------------------------------------------------


def throw_away(tags: Text) -> Text:
    """For every phone of the site; *tags* as `listed` has them."""
    return say(
        "unfit.throw_away",
        "DO NOT USE {tags}: as has turned out, no good any more. Label it, throw it away, then "
        "text {discard} and its tag.",
        tags=tags,
    )


def ready_no_longer(tag: str, labels: Sequence[str]) -> Text:
    """S4: what was released on it is named: its tag still says READY."""
    return say(
        "unfit.ready_no_longer",
        "NO LONGER READY: {devices}. {tag} was no good when it was used, as has turned out. Do "
        "not use on a patient; clean again: {clean} {device}.",
        devices=listed(labels),
        tag=tag,
        device=labels[0],
    )


def not_ready_by_it(tag: str) -> Text:
    """The same where only cleanings rest on it that are not over."""
    return say(
        "unfit.not_ready",
        "{tag} was no good when it was used, as has turned out. Devices soaked in it, wiped or "
        "tested with it are NOT READY. Ask with {check} and clean again.",
        tag=tag,
    )


def label_anew(one: Container | StripBottle, good_to: Text, limit: Text) -> Text:
    """Its label says a date that is too late."""
    return say(
        "unfit.label_anew",
        "{tag}: its date was wrong and is earlier. Write on its label: good to {good_to} "
        "({limit}). Strike the old date out.",
        tag=one.tag,
        good_to=good_to,
        limit=limit,
    )


def may_be_activated(tag: str, twins: Text) -> Text:
    """Of two days of activation of what may be one jug; *twins* as `listed` has them."""
    return say(
        "unfit.twin_activated",
        "{listed} may be {tag}, no lot tells them apart: the day on which {tag} was activated is "
        "the earlier, so it counts for all of them.",
        tag=tag,
        listed=twins,
    )


def over_by_choice(tag: str) -> Text:
    """Where a figure has been made shorter: what was done with it before then stands."""
    return say(
        "unfit.over_by_choice",
        "DO NOT USE {tag} any more: its life has been made shorter, and it is over. Label "
        "it, throw it away, then text {discard} {tag}.",
        tag=tag,
    )


def label_by_choice(one: Container | StripBottle, good_to: Text, limit: Text) -> Text:
    """Its label says a date by a figure that is shorter now."""
    return say(
        "unfit.label_by_choice",
        "{tag}: its life has been made shorter. Write on its label: good to {good_to} "
        "({limit}). Strike the old date out.",
        tag=one.tag,
        good_to=good_to,
        limit=limit,
    )


def take_out(device: str, tag: str) -> Text:
    """For whoever has a device in what is over from now on: no soak is whole in it any more."""
    return say(
        "unfit.take_out",
        "{tag} is over, with {device} in it: this soak does not count any more. Gloves on, take "
        "{device} out now and reply {out}.",
        tag=tag,
        device=device,
    )


def ends_too_soon(device: str, tag: str) -> Text:
    """For whoever has a device in what will be over before its soak is."""
    return say(
        "unfit.ends_too_soon",
        "{tag} will be over before the soak of {device} is: it does not count. Gloves on, take "
        "{device} out now and reply {out}.",
        tag=tag,
        device=device,
    )


def void_by_it(device: str) -> Text:
    """For whoever holds the probe."""
    return say(
        "unfit.void",
        "{device}: what it was soaked, wiped or tested with was no good after all. This cleaning "
        "does not count. Take it out, do not use it. Begin again: {clean} {device}.",
        device=device,
    )
