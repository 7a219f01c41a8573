"""The detergent soak with its bell, then rinse and dry."""

from datetime import datetime, timedelta
from decimal import Decimal

from flows.calculations.detergent import OWN_MEASURE, one_batch
from flows.calculations.measuring import measure_as_written
from flows.cycle.asking import act, never, stated, step_on
from flows.cycle.begin import out_of_use
from flows.cycle.wipes import is_owed, solution_first, wet_time, wiped_in_vain, wiped_with
from flows.parts.clinic import Bell
from flows.parts.decision import Decision, Saying, go
from flows.parts.events import DetergentSoakBegan, DetergentSoakEnded
from flows.parts.moment import Moment
from flows.parts.reading import one_of, typed
from flows.parts.situation import Situation
from flows.parts.step import Step, hands
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.numbers import whole_numbers
from flows.rules.amount_words import dose, volume
from flows.rules.container_life import has_uses_left, lasts_a_soak
from flows.rules.soak import DETERGENT_MARGIN, LATE, clock_time, is_complete, lasted, soaks_before
from flows.rules.strip import is_sound


def _label(situation: Situation) -> str:
    return situation.cycle.device


def concentrate(situation: Situation) -> Text:
    """For one batch, in ml or the site's own measure, as MIX tells it."""
    own = measure_as_written(situation.site.way(OWN_MEASURE))
    return dose(one_batch(situation.protocol.detergent, own))


def bath_is_sound(situation: Situation, moment: Moment) -> bool:
    """S5: whether the bath this cycle has chosen may still be used, to the end of a soak."""
    bath = situation.clinic.containers.get(situation.cycle.bath or "")
    return (
        bath is not None
        and is_sound(bath, moment.now)
        and has_uses_left(soaks_before(bath, situation.cycle), situation.protocol.chemistry)
        and lasts_a_soak(bath.discard_by, situation.protocol.bell_after, moment.now)
    )


# -- the detergent soak -------------------------------------------------------------------------

MIX = act(
    "mix",
    "mixed",
    "under",
    asks=lambda s: say(
        "cycle.mix",
        "{device}: mix fresh detergent, {dose} to {volume} water, and label it. One batch for "
        "one probe. Reply {mixed}.",
        device=_label(s),
        dose=concentrate(s),
        volume=volume(Decimal(s.protocol.detergent.soak_volume_ml)),
    ),
    again=lambda s: say(
        "cycle.mix.again",
        "{device}: fresh detergent solution mixed and labelled? Reply {mixed}.",
        device=_label(s),
    ),
)


def _ask_under(situation: Situation) -> Text:
    return say(
        "cycle.under",
        "{device}: wipe the probe with the solution, put it in to the line, shake off bubbles. "
        "Plug stays dry. Reply {under}.",
        device=_label(situation),
    )


def _ask_under_brief(situation: Situation) -> Text:
    return say(
        "cycle.under.brief",
        "{device}: unplug, inspect. Handle, cable: soap, water, {wipe_with} for {span}, water. "
        "Mix, wipe, immerse. {under}, or {damaged}.",
        device=_label(situation),
        wipe_with=wiped_with(situation),
        span=wet_time(situation),
    )


def _ask_under_again(situation: Situation) -> Text:
    """S1: where the wipe is stated with this answer, it is asked for too, and with what."""
    if is_owed(situation.cycle):
        return say(
            "cycle.under.brief.again",
            "{device}: handle, cable wiped with {wipe_with} for {span}, then water? In the "
            "detergent to the line, no bubbles? Reply {under}.",
            device=_label(situation),
            wipe_with=wiped_with(situation),
            span=wet_time(situation),
        )
    return say(
        "cycle.under.again",
        "{device}: is it in the detergent, to the line, no bubbles? Reply {under}.",
        device=_label(situation),
    )


def _after_under(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "damaged":
        return out_of_use(situation, said)
    cycle = situation.cycle
    in_vain = wiped_in_vain(situation, moment, "under") if is_owed(cycle) else None
    if in_vain:
        return in_vain
    due = moment.now + situation.protocol.detergent.soak_for + DETERGENT_MARGIN
    number = moment.two_digits("detergent", never=frozenset(cycle.numbers))
    began = DetergentSoakBegan(cycle.id, cycle.device, due, number)
    return Decision(events=(*stated(situation, "under"), began), then=go("bath"))


def _under_takes(situation: Situation) -> timedelta:
    """The wiping of handle and cable is stated with it on brief texts: it cannot be quicker."""
    if situation.who.level == "coach":
        return timedelta(seconds=10)
    return wet_time(situation) + timedelta(seconds=20)


def _wipe_is_prepared(situation: Situation, moment: Moment) -> Decision | None:
    """Where the wipe is stated with this answer, what it is done with is seen to first."""
    return solution_first(situation, moment, "under") if is_owed(situation.cycle) else None


UNDER = Step(
    name="under",
    asks=_ask_under,
    again=_ask_under_again,
    asks_brief=_ask_under_brief,
    reads=one_of("under", "damaged"),
    decides=_after_under,
    answers=("under", "damaged"),
    at_least=_under_takes,
    skips=_wipe_is_prepared,
    lapsed=_wipe_is_prepared,
)


# -- waiting for the detergent's bell -----------------------------------------------------------


def _ask_wait(situation: Situation) -> Text:
    soak = situation.cycle.detergent
    if situation.cycle.bath is None:
        return _ask_wait_again(situation)
    return say(
        "cycle.await_detergent",
        "{tag} is good for {device}. Leave {device} in the detergent: the bell rings at {time}.",
        tag=situation.cycle.bath or "",
        device=_label(situation),
        time=clock_time(soak.due if soak else situation.open.asked_at),
    )


def _ask_wait_again(situation: Situation) -> Text:
    soak = situation.cycle.detergent
    return say(
        "cycle.await_detergent.again",
        "{device} is in the detergent until {time}. Wait for the bell.",
        device=_label(situation),
        time=clock_time(soak.due if soak else situation.open.asked_at),
    )


def _read_nothing(_: Situation) -> NotUnderstood:
    return NotUnderstood("word")


def _detergent_is_over(situation: Situation, _: Moment) -> Decision | None:
    soak = situation.cycle.detergent
    return None if soak and soak.rung is None else detergent_rang(situation)


def detergent_rang(situation: Situation) -> Decision:
    """The bell has gone and hands are free: the text that asks next carries the number (S2)."""
    soak = situation.cycle.detergent
    number = soak.number if soak else None
    return Decision(then=go("rinse", number=number))


AWAIT_DETERGENT = Step(
    name="await_detergent",
    asks=_ask_wait,
    again=_ask_wait_again,
    asks_brief=_ask_wait,
    reads=_read_nothing,
    decides=never,
    skips=_detergent_is_over,
    patience=None,
)


def ring_detergent(situation: Situation, bell: Bell, late: timedelta) -> Decision:
    """Two minutes are up: the probe comes out, unless bath and strip are still in hand."""
    said = (Saying(_late(situation, bell, late)),) if late > LATE else ()
    if situation.frame.flow == "cycle" and situation.frame.step == "await_detergent":
        return Decision(says=said, then=detergent_rang(situation).then)
    text = say(
        "cycle.detergent.busy",
        "{device}: detergent time is up; it may stay in while you finish the bath. "
        "Go on with the bath and strip.",
        device=situation.cycle.device,
    )
    return Decision(says=(*said, Saying(text, bell=bell.id)))


def _late(situation: Situation, bell: Bell, late: timedelta) -> Text:
    """S11: that it is late, and the true time."""
    soak = situation.cycle.detergent
    return say(
        "cycle.detergent.late",
        "{device}: this bell is {late} late; it has been in the detergent {span}.",
        device=_label(situation),
        late=late,
        span=bell.due + late - (soak.began if soak else bell.due),
    )


# -- rinse and dry before the soak --------------------------------------------------------------


def _ask_rinse(situation: Situation) -> Text:
    return say(
        "cycle.rinse",
        "{device}: detergent time is up. Take it out, rinse it 3 times, fresh water each time. "
        "Then reply {rinsed} {number}.",
        device=_label(situation),
        number=situation.open.number or 0,
    )


def _ask_rinse_again(situation: Situation) -> Text:
    return say(
        "cycle.rinse.again",
        "{device}: rinsed 3 times? Reply {rinsed} {number}.",
        device=_label(situation),
        number=situation.open.number or 0,
    )


_THREE_TIMES = ("3", "THREE", "3X", "X", "TIMES", "X3")
"""As the question says it; a bell number has two digits."""


def read_numbered(word: str, situation: Situation) -> int | NotUnderstood:
    """A word and the open bell number: RINSED 72."""
    said = typed(situation).without(*_THREE_TIMES)
    numbers = whole_numbers(said)
    bare = said.without(*(each for each in said.words if each.isdecimal()))
    meant = choose(bare, {situation.vocabulary.word(word): word})
    if isinstance(meant, NotUnderstood):
        return meant
    if not numbers:
        return NotUnderstood("bell number")
    number = situation.open.number
    return numbers[0] if numbers == (number,) else NotUnderstood("wrong number")


def detergent_was_long_enough(situation: Situation, ended: datetime) -> bool:
    """S2: by the evidence; where no soak is on record it was not."""
    soak = situation.cycle.detergent
    return soak is not None and is_complete(soak, ended, situation.protocol.detergent.soak_for)


def detergent_ended(situation: Situation, ended: datetime) -> tuple[DetergentSoakEnded, ...]:
    """The detergent soak as proved; nothing where none is running any more."""
    cycle = situation.cycle
    soak = cycle.detergent
    if soak is None:
        return ()
    return (DetergentSoakEnded(cycle.id, cycle.device, lasted(soak, ended), soak.number),)


def _after_rinse(situation: Situation, _: int, moment: Moment) -> Decision:
    ended = situation.sent_at or moment.now
    if not detergent_was_long_enough(situation, ended):
        return step_on("under")
    events = (*detergent_ended(situation, ended), *stated(situation, "rinse"))
    return Decision(events=events, then=go("dry"))


RINSE = Step(
    name="rinse",
    asks=_ask_rinse,
    again=_ask_rinse_again,
    reads=lambda s: read_numbered("rinsed", s),
    decides=_after_rinse,
    answers=("rinsed",),
    at_least=hands(5),
)

DRY = act(
    "dry",
    "dry",
    "container",
    asks=lambda s: say(
        "cycle.dry",
        "{device}: dry it all over with a fresh lint-free towel. Water thins the bath. "
        "Reply {dry}.",
        device=_label(s),
    ),
    again=lambda s: say(
        "cycle.dry.again", "{device}: dried all over? Reply {dry}.", device=_label(s)
    ),
    at_least=hands(5),
)


def _container_is_settled(situation: Situation, moment: Moment) -> Decision | None:
    if not bath_is_sound(situation, moment):
        return step_on("bath")
    return step_on("immerse") if "container" in situation.cycle.done else None


CONTAINER = act(
    "container",
    "tub",
    "immerse",
    asks=lambda s: say(
        "cycle.container",
        "{tag}: its tub never held detergent, or was washed, rinsed and dried before filling? "
        "Then reply {tub}. If not, text {discard} {tag}.",
        tag=s.cycle.bath or "",
    ),
    again=lambda s: say(
        "cycle.container.again",
        "{tag}: a clean tub, no detergent in it? Reply {tub}. If not: {discard} {tag}.",
        tag=s.cycle.bath or "",
    ),
    skips=_container_is_settled,
)
