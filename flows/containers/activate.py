"""A jug that works only once it has been activated or mixed: when that was (S5)."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from flows.calculations.check_code import labelled_tag
from flows.containers.contents import contents
from flows.containers.doubts import is_not_sure
from flows.containers.limits import limit
from flows.containers.opened import day_order, no_later_than_twins
from flows.parts.clinic import Container
from flows.parts.decision import BACK, DONE, Decision, Next, Saying, Turn, go
from flows.parts.events import ContainerCondemned, JugActivated
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step, hands
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry
from flows.replies import NotUnderstood
from flows.replies.dates import day_gone_by
from flows.replies.gone_by import tells_of_before
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE, Typed, fold
from flows.rules.container_life import Decided, Refused, counts_from, life_when_activated
from flows.rules.found_unfit import ACTIVATION_UNKNOWN
from flows.rules.good_to import good_to, good_to_on_label
from flows.rules.strip import is_sound
from flows.rules.twins import Opened, out_of_use, twins_of

_OF_BEFORE = frozenset({"ALREADY", "BEFORE", "DAYS", "WEEK", "WEEKS", "MONTH", "MONTHS", "LONG"})
BEGINNING = datetime(1970, 1, 1, tzinfo=UTC)


def _tag(situation: Situation) -> str:
    return situation.frame.memo["source"]


def _chemistry(situation: Situation) -> Chemistry:
    """S5: of what is in the jug, whatever this site has chosen since it was asked about."""
    jug = situation.clinic.containers.get(_tag(situation))
    return situation.chemistry(jug.product) if jug else situation.protocol_here.chemistry


def _ask_activate(situation: Situation) -> Text:
    return say(
        "containers.activate",
        "Gloves, goggles, air. {source}: all activator in, lid on, mix as labelled. Just "
        "done: {activated}. Before: date, like {example}. Unsure: {unsure}. Not now: "
        "{later}.",
        source=_tag(situation),
        example=f"{situation.local_day(situation.open.asked_at):%y%m%d}",
    )


def _ask_activate_again(situation: Situation) -> Text:
    return say(
        "containers.activate.again",
        "{source}: activated just now: {activated}. Before: the date written on it, like "
        "{example}. Not sure: {unsure}. No activator, or not now: {later}.",
        source=_tag(situation),
        example=f"{situation.local_day(situation.open.asked_at):%y%m%d}",
    )


_AS_ASKED = "ACTIVATED"
"""In English the question says it so, where the word to reply is shorter."""
_JUST = frozenset({"JUST"})
_SINCE = frozenset({_AS_ASKED, "SINCE", "IS", "WAS", "IT", *_JUST})
"""What people say before the day. WAS ACTIVATED, J1 IS ACTIVE without one may be of any day."""


def _read_activate(situation: Situation) -> str | date | NotUnderstood:
    """A word and nothing that may change it, or the whole date.

    S5: ACTIVATED 3 WEEKS AGO is no ACTIVE. A month alone would be read as its last day, the
    kindest; a day by which it would be over, or that is to come, is asked back if it may be
    another.
    """
    said = typed(situation).without(*_own_tag(situation))
    word = _word(situation, said.without(*_JUST))
    if isinstance(word, str):
        return NotUnderstood("word") if _is_a_state(situation, word) else word
    active = situation.vocabulary.word("activated")
    on = said.without(active, *_SINCE)
    if said.asks or not any(each.isdecimal() for each in "".join(on.words)):
        return word
    today = situation.local_day(situation.open.asked_at)
    lives = timedelta(days=_chemistry(situation).activated_life_days or 0)
    return day_gone_by(on, day_order(situation), since=today - lives, today=today)


def _is_a_state(situation: Situation, word: str) -> bool:
    """J1 ACTIVE says how it is, ACTIVE J1 what was done."""
    return word == "activated" and typed(situation).words[0] in _own_tag(situation)


def _word(situation: Situation, said: Typed) -> str | NotUnderstood:
    it = {"IT"} if _JUST.issubset(typed(situation).words) else set()
    if said.without(*POLITE, *it).words == (_AS_ASKED,) and not said.asks:
        return "activated"
    if is_not_sure(replace(situation, typed=said)):
        return "unsure"
    return word_of(replace(situation, typed=said), ("activated", "unsure", "later"))


def was_active_before(situation: Situation) -> bool:
    """IT WAS ACTIVATED 4 WEEKS AGO, J1 WAS ACTIVE ALREADY."""
    words = {*typed(situation).words}
    is_of_it = words & {_AS_ASKED, fold(situation.vocabulary.word("activated"))}
    is_of_before = words & _OF_BEFORE or tells_of_before(words)
    has_a_day = any(each.isdecimal() for each in "".join(words - {*tags_in(tuple(words))}))
    return bool(is_of_it and (is_of_before or has_a_day)) and not typed(situation).asks


def _own_tag(situation: Situation) -> list[str]:
    """J1 ACTIVE: of another jug than is asked about it is no answer."""
    named = tags_in(typed(situation).words)
    return [word for word, tag in named.items() if tag == _tag(situation)]


def _after_activate(situation: Situation, said: str | date, moment: Moment) -> Decision:
    """S5, S8: of two who were asked the one counts who doubts it, or who tells the earlier day."""
    jug = situation.clinic.containers.get(_tag(situation))
    if jug is None or not is_sound(jug, moment.now):
        return Decision(then=BACK)
    if said in {"unsure", "later"}:
        is_later = said == "later" and not situation.frame.memo.get("doubted")
        return _later(situation, jug) if is_later else in_doubt(jug)
    asked = situation.first_asked
    counts = asked if isinstance(said, str) else _from(situation, said, moment)
    if isinstance(counts, Refused):
        return _still_to_come(jug)
    if jug.activated_at and (jug.activated_at <= counts or isinstance(said, str)):
        return Decision(then=BACK)
    twin = out_of_use(_may_be_activated(situation, jug), situation.clinic, moment.now)
    if twin:
        return Decision(says=(Saying(_may_be(jug.tag, twin.tag)),))
    return _activated(situation, jug, counts, moment)


def _later(situation: Situation, jug: Container) -> Decision:
    """Without its activator it is no disinfectant, and no worse for that.

    In a cleaning once the detergent is over; by then another jug is asked for, or none.
    """
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    text = say(
        "containers.activate.later",
        "All right: nothing is noted of {source}, and until it is active nothing is poured from "
        "it. Later: {pour} {source}.",
        source=jug.tag,
    )
    if cycle is None:
        return Decision(says=(Saying(text),), then=DONE)
    first = situation.open.frames[0]
    waits = Next(Turn.RESTART, "await_detergent", memo=first.memo)
    then = waits if cycle.detergent else go("jug", kind="jug")
    return Decision(says=(Saying(text),), then=then)


def _from(situation: Situation, day: date, moment: Moment) -> datetime | Refused:
    """S5: from the first minute of that day, whenever its opening was told."""
    return counts_from(day, BEGINNING, situation.zone, moment.now)


def _activated(situation: Situation, jug: Container, at: datetime, moment: Moment) -> Decision:
    """S5: its life runs from then; no other of its dates moves later by it."""
    chemistry = _chemistry(situation)
    own = life_when_activated(Decided(jug.discard_by, jug.because), at, chemistry, situation.zone)
    life, why = no_later_than_twins(jug.tag, own, _may_be_activated(situation, jug))
    activated = JugActivated(jug.tag, at, life.moment, life.because)
    if life.moment <= moment.now:
        return Decision(
            events=(activated,), says=(Saying(_run_out(situation, jug, life)),), then=BACK
        )
    text = say(
        "containers.label.activated",
        "Write on it: {label} {contents}, activated {day}, good to {good_to} ({limit}). Name too, "
        "strike the old date.",
        label=labelled_tag(jug.tag),
        contents=contents(chemistry.title, jug.volume_ml),
        day=situation.local_day(at),
        good_to=good_to_on_label(life.moment, situation.zone),
        limit=limit(life.because),
    )
    return Decision(events=(activated,), says=(*why, Saying(text)), then=BACK)


def _may_be_activated(situation: Situation, jug: Container) -> list[Opened]:
    """S5: under which tags it may have been; where it has a day already, what is told counts."""
    return [] if jug.activated_at else twins_of(situation.clinic, jug)


def _may_be(tag: str, twin: str) -> Text:
    """S5: it may have been activated under another tag: the earlier of the two days counts."""
    return say(
        "containers.activate.twin",
        "{other} is out of use, and no lot tells {tag} from it. Another jug? Throw {other} away, "
        "text {discard} {other}, then answer again. Else {unsure}.",
        tag=tag,
        other=twin,
    )


def _run_out(situation: Situation, jug: Container, life: Decided) -> Text:
    return say(
        "containers.activate.over",
        "{tag}: activated so long ago, it was good to {good_to} only. Do not use it; label it, "
        "throw it away, then text {discard} {tag}.",
        tag=jug.tag,
        good_to=good_to(life.moment, situation.zone),
    )


def in_doubt(jug: Container) -> Decision:
    """S8: no strip shows whether it was activated: what nobody can vouch for is not used."""
    text = say(
        "containers.activate.unsure",
        "Then {tag} is not for use: no strip shows whether it is active. Label it, throw it "
        "away, then text {discard} {tag}.",
        tag=jug.tag,
    )
    condemned = ContainerCondemned(jug.tag, ACTIVATION_UNKNOWN)
    return Decision(events=(condemned,), says=(Saying(text),), then=BACK)


def _still_to_come(jug: Container) -> Decision:
    text = say(
        "containers.activate.future",
        "That day is still to come. When was {source} activated?",
        source=jug.tag,
    )
    return Decision(says=(Saying(text),))


ACTIVATE = Step(
    name="activate",
    asks=_ask_activate,
    again=_ask_activate_again,
    asks_brief=_ask_activate,
    reads=_read_activate,
    decides=_after_activate,
    answers=("activated", "unsure", "later"),
    at_least=hands(15),
    anew=True,
    ages=True,
)
