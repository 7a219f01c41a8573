"""A label told otherwise than noted: an earlier date counts, the rest is asked (S5, S18)."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from flows.calculations.calendar import end_of_day
from flows.containers.behind_open import told_with_it
from flows.containers.label import lot_on_label
from flows.containers.opened import day_order
from flows.parts.clinic import AT_HAND, Kind, bare_lot
from flows.parts.decision import Decision, Saying, told
from flows.parts.events import JugOpened, LifeShortened, StripBottleOpened
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.dates import printed_date
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import POLITE
from flows.rules.container_life import EXPIRY
from flows.rules.good_to import good_to
from flows.rules.twins import Opened, ends_no_later

RIGHTED_WITHIN = timedelta(minutes=2)
"""So soon a date without a tag can be that of the label that was just written. Source: common
practice, none published."""

ABOUT = "label/"
"""S15: what the free text of such a doubt is about; the tag stands behind it."""

_AROUND = POLITE | {
    *("SORRY", "OOPS", "WRONG", "MISTAKE", "CORRECTION", "ACTUALLY", "NO", "DATE", "THE", "IS"),
    *("WAS", "IT", "ITS", "I", "MEANT", "JUG", "BOTTLE", "STRIPS", "NUMBER"),
}
"""What people say around a date that they had meant."""
_OF_A_LABEL = frozenset(
    {"DATE", "LOT", "BATCH", "LABEL", "EXP", "EXPIRY", "EXPIRES", "EXPIRE", "OPENED"}
)


def told_otherwise(
    situation: Situation, one: Opened, words: Sequence[str], moment: Moment
) -> Decision | None:
    """OPEN J1 260331: what stood behind the tag; None where it tells of no label.

    S5: an earlier date counts at once, for what may be that very one too; a later moves nothing.
    S18: a lot by which it may be recalled, and what cannot be read, are for the desk, which hears
    the words.
    """
    left = [each for each in words if each not in _AROUND]
    read = told_with_it(left, lambda run: _day(situation, run, moment)) if left else None
    if read is None:
        return _in_doubt(situation, one, moment) if _tells(words) else None
    is_lot = not read.lot or bare_lot("".join(read.lot)) == bare_lot(one.lot)
    doubt = Decision() if is_lot else _in_doubt(situation, one, moment)
    ends = end_of_day(read.day, situation.zone)
    if ends < one.discard_by:
        shortened = LifeShortened(one.tag, ends, EXPIRY)
        may_be_it = ends_no_later(situation.clinic, one, shortened)
        return replace(doubt, events=(shortened, *may_be_it, *doubt.events))
    return doubt if doubt.says else told(that_date_stays(situation, one))


def label_told(situation: Situation, moment: Moment) -> Decision | None:
    """The same without OPEN: J1 EXPIRES 260331; so soon after its label DATE or 260331 alone.

    Beside a question a day may be another, that of its activation: it must be said of what.
    """
    said = typed(situation).words
    words = [word for before, word in pairwise(["", *said]) if (before, word) != ("A", "LOT")]
    things: dict[str, Opened] = {**situation.clinic.containers, **situation.clinic.strips}
    tags = [*tags_in(words).values()]
    one = things.get(tags[0]) if tags else _just_opened(situation, moment)
    left = [word for word in words if not TAG.fullmatch(word)]
    is_label = one is not None and getattr(one, "kind", Kind.JUG) is Kind.JUG
    if one is None or not is_label or one.fitness not in AT_HAND or typed(situation).asks:
        return None
    days = [each for each in left if each not in _AROUND | _OF_A_LABEL]
    is_asked = situation.thread is not None or not days
    is_day = not is_asked and isinstance(_day(situation, days, moment), date)
    tells = is_day or not _OF_A_LABEL.isdisjoint(left)
    return told_otherwise(situation, one, left, moment) if tells else None


def _just_opened(situation: Situation, moment: Moment) -> Opened | None:
    kinds = (JugOpened, StripBottleOpened)
    opened = situation.told_here(kinds, moment.now - RIGHTED_WITHIN)
    tag = getattr(opened[-1], "tag", "") if opened else ""
    return situation.clinic.containers.get(tag) or situation.clinic.strips.get(tag)


def _day(situation: Situation, run: Sequence[str], moment: Moment) -> date | NotUnderstood:
    said = replace(typed(situation), words=tuple(run))
    today = situation.local_day(moment.now)
    return printed_date(said, day_order(situation), today=today)


def _tells(words: Sequence[str]) -> bool:
    has_figures = any(letter.isdecimal() for word in words for letter in word)
    return has_figures or not _OF_A_LABEL.isdisjoint(words)


def _in_doubt(situation: Situation, one: Opened, moment: Moment) -> Decision:
    """S15, S18: nothing that was noted is changed by it; the words are kept for the contact."""
    free, kept = keep_said(
        situation, f"{ABOUT}{one.tag}", typed(situation).text, moment, codes=True
    )
    text = say(
        "containers.other_label",
        "{tag} is noted with lot {lot}, good to {good_to}. Is it earlier? {open} {tag} and its "
        "date. Your contact is told. Not sure? {discard} {tag}.",
        tag=one.tag,
        lot=lot_on_label(one.lot),
        good_to=good_to(one.discard_by, situation.zone),
    )
    return Decision(events=(free,), says=(Saying(text),), kept=(kept,))


def that_date_stays(situation: Situation, one: Opened) -> Text:
    """S5: a date never moves later by a word."""
    return say(
        "containers.open.known",
        "{tag} is open already. It is good to {good_to}: that date stays.",
        tag=one.tag,
        good_to=good_to(one.discard_by, situation.zone),
    )
