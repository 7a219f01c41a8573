"""IN where nobody asked for it: it was in a bath, or it may have been (S3, S4, S8)."""

import re
from dataclasses import replace

from flows.cycle.broken import bath_of, clean_again
from flows.cycle.disinfect import in_english
from flows.cycle.elsewhere import (
    Elsewhere,
    in_use_by_another,
    is_said_in_words,
    named_elsewhere,
    put_elsewhere,
    put_in_too_early,
    was_in,
)
from flows.cycle.soaking import SecondIn, second_in
from flows.parts.clinic import Container, Kind
from flows.parts.decision import AGAIN, Decision, Saying, go
from flows.parts.events import BathChosen, PutInBath
from flows.parts.moment import Moment
from flows.parts.reading import one_of, typed
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.numbers import is_figure
from flows.replies.plainly import says_plainly
from flows.replies.put_in import Said, said_in, tells_a_reading
from flows.replies.tags import TAG
from flows.replies.typed import fold

ASK_FOR_IT = frozenset({"immerse", "warm", "back_in", "soaking"})
"""Steps that read IN themselves, and ask back what is not clear of it."""

BEFORE_ITS_INSPECTION = frozenset({"codes", "cautions"})


def says_it_is_in(situation: Situation) -> bool:
    """S3: whether a text says that a probe was put in, in the words of whoever sent it."""
    return _told(situation) is Said.IN


def may_say_it_is_in(situation: Situation) -> bool:
    """S8: the same, or whether that is open."""
    return _told(situation) is not Said.NOTHING


def _told(situation: Situation) -> Said:
    return Said.IN if is_said_in_words(situation) else said_in(in_english(situation))


def in_unasked(situation: Situation, moment: Moment) -> Decision | None:
    """What follows of IN at a step that does not ask for it; None where the step is to be asked.

    S4: in a bath it has used the strip there, and what was in one out of its turn is cleaned from
    the start. After the soak it is asked back: a carrier may have brought the IN of that one late.
    """
    if situation.frame.step in ASK_FOR_IT or not may_say_it_is_in(situation):
        return None
    elsewhere = named_elsewhere(situation)
    if elsewhere:
        return _in_another(situation, elsewhere, moment)
    if situation.cycle.contact:  # whether it stayed in is being asked
        return None
    if "contact_soak" in situation.cycle.done:
        return _asked_whether_again(situation)
    return _in_its_own(situation, moment)


def _asked_whether_again(situation: Situation) -> Decision | None:
    step = situation.frame.step
    return None if step == IN_AGAIN.name else Decision(then=go(IN_AGAIN.name, back=step))


def _in_its_own(situation: Situation, moment: Moment) -> Decision | None:
    bath = bath_of(situation) or _being_tested(situation) or _chosen_before(situation)
    if bath is None or _means_the_detergent(situation):
        return None
    if _may_mean_its_answer(situation) or not says_it_is_in(situation):
        return Decision(says=(Saying(_is_it_in(situation, bath)),), then=AGAIN)
    if situation.frame.step == "container":
        return put_in_too_early(situation, bath, moment)
    return put_elsewhere(situation, Elsewhere(bath.tag, bath), moment)


def _in_another(situation: Situation, said: Elsewhere, moment: Moment) -> Decision:
    """S9, S20: uses owed and cautions are asked for all the same."""
    if situation.cycle.contact:
        return second_in(situation, SecondIn(None, said), moment)
    moved = put_elsewhere(situation, said, moment)
    is_new = situation.open.frames[0].step in BEFORE_ITS_INSPECTION
    return replace(moved, then=go(situation.frame.step)) if is_new else moved


def _being_tested(situation: Situation) -> Container | None:
    """The bath that a strip of this very cleaning is to judge."""
    tested = situation.clinic.containers.get(situation.frame.memo.get("container", ""))
    return tested if tested and tested.kind is Kind.BATH else None


def _chosen_before(situation: Situation) -> Container | None:
    """S4: the bath that it was to go into before it was begun anew: hands may be quicker."""
    history = situation.history(situation.cycle.id)
    chosen = [each.event.bath for each in history if isinstance(each.event, BathChosen)]
    return situation.clinic.containers.get(chosen[-1]) if chosen else None


def told_and_not_taken(situation: Situation) -> tuple[PutInBath, ...]:
    """S4: IN where it is asked for, that lacks its number or its reading: it has used the strip.

    It soaks nothing, and is asked for again; whatever begins instead has a strip of its own.
    """
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    is_asked = cycle is not None and situation.frame.step in ASK_FOR_IT - {"soaking"}
    if cycle is None or not is_asked or cycle.bath is None or cycle.been_in == cycle.bath:
        return ()
    said = situation.typed
    if said is None or (said.asks and not any(map(is_figure, said.words))):  # IN NOW? asks leave
        return ()
    plain = replace(situation, typed=replace(said, asks=False))
    told = _says_so_plainly(plain, asked_beside=said.asks)
    return (was_in(plain, cycle.bath, "told"),) if told else ()


def _says_so_plainly(situation: Situation, *, asked_beside: bool) -> bool:
    """IN 23, WHEN OUT? tells it, and asks for more; IN 23 STILL WET tells it, and tells more."""
    said = in_english(situation).without(*situation.clinic.devices)
    enough = {Said.IN, Said.MAYBE} if asked_beside or tells_a_reading(said) else {Said.IN}
    return said_in(said) in enough or says_plainly(said, "IN")


def _means_the_detergent(situation: Situation) -> bool:
    """Where it is in the detergent, only a temperature or a tag says that it is not."""
    return situation.cycle.detergent is not None and not _tells_which_or_how_warm(situation)


def _may_mean_its_answer(situation: Situation) -> bool:
    """PUT IT IN THE TUB, where TUB is asked for."""
    asked = fold(situation.vocabulary.word("tub"))
    is_asked = situation.frame.step == "container" and asked in typed(situation).words
    return is_asked and not _tells_which_or_how_warm(situation)


def _tells_which_or_how_warm(situation: Situation) -> bool:
    words = in_english(situation).words
    return any(TAG.fullmatch(word) or re.search("[0-9]", word) for word in words)


def _is_it_in(situation: Situation, bath: Container) -> Text:
    return say(
        "cycle.is_it_in",
        "Is {device} in {tag} already? If it is, text {in} {tag}. If not, nothing is noted:",
        device=situation.cycle.device,
        tag=bath.tag,
    )


# -- after its soak -----------------------------------------------------------------------------


def _ask_in_again(situation: Situation) -> Text:
    return say(
        "cycle.in_again",
        "{device}: its soak is over. Was it put in a bath again? If it was, or you are not sure: "
        "{again}. If not: {none}.",
        device=situation.cycle.device,
    )


def _read_in_again(situation: Situation) -> str | NotUnderstood:
    """S8: IN said once more is a yes."""
    said_again = says_it_is_in(situation) and named_elsewhere(situation) is None
    return "again" if said_again else one_of("none", "again")(situation)


def _after_in_again(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "none":
        return Decision(then=go(situation.frame.memo["back"]))
    return in_its_bath_again(situation, moment)


def in_its_bath_again(situation: Situation, moment: Moment) -> Decision:
    """S4, S21: it has used its bath's strip once more; what soaks there by now is void."""
    in_use = in_use_by_another(situation, bath_of(situation), moment)
    if in_use:
        return in_use
    again = clean_again(situation, "in_again", moment)
    put = was_in(situation, situation.cycle.bath or "", "in_again")
    return replace(again, events=(put, *again.events))


IN_AGAIN = Step(
    name="in_again",
    asks=_ask_in_again,
    again=_ask_in_again,
    asks_brief=_ask_in_again,
    reads=_read_in_again,
    decides=_after_in_again,
    answers=("none", "again"),
)
