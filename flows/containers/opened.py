"""A new jug or a new bottle of strips: its expiry and its lot, as printed on it (S4, S5)."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from flows.calculations.check_code import labelled_tag
from flows.containers.behind_open import TOLD, TOLD_LOT, Told, told_with_it
from flows.containers.nothing_to_open import STRIPS, nothing_to_open
from flows.containers.opened_before import BEFORE, tells_of_open_before, was_open
from flows.parts.clinic import Batch
from flows.parts.decision import BACK, STAY, Decision, Next, Saying, go
from flows.parts.events import LifeShortened
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.step import Asks, Decides, Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.dates import Order, printed_date
from flows.replies.lots import NAMED, printed_lot
from flows.replies.typed import Typed, fold, tidy
from flows.rules.container_life import LONGEST_SHELF, Decided
from flows.rules.strip import none_exists
from flows.rules.twins import Opened, end_after, ends_before, out_of_use

_DATE = "date"
"""No lot: every lot has a figure in it."""
_NAMES_A_DATE = frozenset({"EXP", "EXPIRY", "EXPIRES", "BBE"})
"""Before a figure it is no lot, but the expiry once more."""
_CORRECTS = frozenset({"SORRY", "OOPS", "WRONG", "ACTUALLY", "MEANT", "MISTAKE"})
"""So is a whole date behind these: what was said before it is the expiry."""
_A_WHOLE_DATE = re.compile("[0-9]{6}|[0-9]{8}")


def expiry_step(name: str, asks: Asks, lot: str) -> Step:
    """The first question: its expiry; then the step called *lot*."""

    def decides(situation: Situation, day: date | str, moment: Moment) -> Decision:
        if isinstance(day, str):
            return was_open(name) if day == BEFORE else nothing_to_open(situation, moment)
        if _is_of_another(situation):
            return Decision(then=go(name))
        if day < situation.local_day(moment.now):
            return _refuse_expired(day)
        first = situation.first_asked.isoformat()
        noted = go(lot, expires=day.isoformat(), since=first)
        return Decision(then=replace(noted, memo={**noted.memo, TOLD: "", TOLD_LOT: ""}))

    def told_already(situation: Situation, moment: Moment) -> Decision | None:
        of = _of_todays(situation, name)
        return of or _taken_as_told(situation, name, decides, moment)

    return Step(
        name=name,
        asks=asks,
        again=asks,
        asks_brief=asks,
        reads=_read_expiry,
        decides=decides,
        answers=("empty",),
        skips=told_already,
        anew=True,
        ages=True,
    )


def _taken_as_told(
    situation: Situation, name: str, decides: Decides, moment: Moment
) -> Decision | None:
    """What stood behind OPEN, as if it had been answered; None where nothing did."""
    said = situation.frame.memo.get(TOLD)
    if not said:
        return None
    told = _told(situation, tidy(said))
    if told is None:
        return Decision(says=(Saying(_one_at_a_time()),), then=go(name, told="", volume_ml=""))
    taken = decides(situation, told.day, moment)
    if taken.then is STAY:
        return replace(taken, then=go(name, told=""))
    rest = {TOLD: "", TOLD_LOT: " ".join(told.lot)}
    return replace(taken, then=replace(taken.then, memo={**taken.then.memo, **rest}))


def _of_todays(situation: Situation, name: str) -> Decision | None:
    """S4: it is asked of what is used when it is put; of strips only where there are any."""
    of = situation.protocol_here.chemistry
    if name == STRIPS and of.is_single_use:
        return Decision(says=(Saying(none_exists(of)),), then=BACK)
    return (
        None if situation.frame.memo.get("of") == of.name else Decision(then=go(name, of=of.name))
    )


def lot_step(name: str, decides: Decides, expiry: str) -> Step:
    """The second: its lot, asked for in the same words for jugs and strips.

    The date as it was read is said back; DATE goes back to the step called *expiry*.
    """

    def decides_or_back(situation: Situation, said: str | date, moment: Moment) -> Decision:
        if said == BEFORE:
            return was_open(expiry)
        if said == _DATE or _is_of_another(situation):
            return Decision(then=go(expiry))
        if isinstance(said, date):
            return _put_right(situation, said, moment, expiry, name)
        expires = date.fromisoformat(situation.frame.memo["expires"])
        if expires < situation.local_day(moment.now):  # since it was told
            return replace(_refuse_expired(expires), then=go(expiry))
        return decides(situation, said, moment)

    return Step(
        name=name,
        asks=_ask_lot,
        again=_ask_lot_again,
        asks_brief=_ask_lot,
        reads=_read_lot,
        decides=decides_or_back,
        answers=("none", "date"),
    )


def _put_right(situation: Situation, day: date, moment: Moment, expiry: str, lot: str) -> Decision:
    """S5: the date told last counts, and it is said back with the lot's question."""
    if day < situation.local_day(moment.now):
        return replace(_refuse_expired(day), then=go(expiry))
    return Decision(then=go(lot, expires=day.isoformat()))


def _told(situation: Situation, said: Typed) -> Told | None:
    """S5: read as the question reads it; what may be two dates is asked for."""

    def reads(run: Sequence[str]) -> date | NotUnderstood:
        return _expiry_in(situation, replace(said, words=tuple(run)))

    return told_with_it(said.words, reads)


def _one_at_a_time() -> Text:
    return say(
        "containers.told.unread",
        "I could not read for certain what stood behind {open}. One at a time, please.",
    )


def _is_of_another(situation: Situation) -> bool:
    """S4: the site has changed its product since the date was asked for: that is asked anew."""
    of = situation.frame.memo.get("of")
    return bool(of) and of != situation.protocol_here.chemistry.name


def _refuse_expired(day: date) -> Decision:
    """S5: what is out of date is not taken into use; its discard is asked for, not claimed."""
    text = say(
        "containers.expired",
        "Expired {day}: do not take it into use. Put it aside for disposal and take another; its "
        "date, please?",
        day=day,
    )
    return Decision(says=(Saying(text),))


def refuse_recalled(situation: Situation, batch: Batch, expiry: str) -> Decision | None:
    """S18: of a recalled lot nothing is taken into use; the step called *expiry* asks for another.

    One without a lot cannot be told from a recalled one.
    """
    recall = situation.clinic.recall_of(batch)
    if recall is None:
        return None
    if not batch.lot:
        text = say(
            "containers.recalled.unknown",
            "Lot {lot} is recalled, and one without a lot cannot be told from it: do not take it "
            "into use. Set it aside for your contact, take another.",
            lot=recall.mark,
        )
        return Decision(says=(Saying(text),), then=go(expiry))
    text = say(
        "containers.recalled",
        "Lot {lot} is recalled: do not take it into use. Write RECALLED, DO NOT USE on it, set "
        "it aside for your contact, take another.",
        lot=recall.mark,
    )
    return Decision(says=(Saying(text),), then=go(expiry))


def refuse_twin(
    situation: Situation, others: Sequence[Opened], moment: Moment, then: Next = STAY
) -> Decision | None:
    """S5: of a lot that stands here and is not for use, none is opened: it may be that very one.

    The question of the lot stays: once that one is thrown away, it said again is no double (S10).
    """
    twin = out_of_use(others, situation.clinic, moment.now)
    if twin is None:
        return None
    text = say(
        "containers.twin",
        "{tag} is out of use, and no lot tells this from it. Is this {tag}? Take another, reply "
        "{date}. Is {tag} thrown away? Text {discard} {tag}, then the lot again.",
        tag=twin.tag,
    )
    return Decision(says=(Saying(text),), then=then)


def no_later_than_twins(
    tag: str, life: Decided, others: Sequence[Opened]
) -> tuple[Decided, tuple[Saying, ...]]:
    """S5: the date that counts for *tag*, and why where it is that of another one of its lot."""
    twin = ends_before(life, others)
    if twin is None:
        return life, ()
    text = say(
        "containers.twin.date",
        "{tag} may be {source}, no lot tells them apart: it has the date of {source}. When "
        "{source} is thrown away text {discard} {source}, before the next is opened.",
        tag=tag,
        source=twin.tag,
    )
    return Decided(twin.discard_by, twin.because), (Saying(text),)


def earlier_for_twins(
    tag: str, life: Decided, batch: Batch, others: Sequence[Opened]
) -> tuple[tuple[LifeShortened, ...], tuple[Saying, ...]]:
    """S5: of one lot the earlier date counts for all: none is used past what was read off one."""
    later = [each.tag for each in end_after(life, batch, others)]
    if not later:
        return (), ()
    text = say(
        "containers.twin.earlier",
        "{tag} is of the same lot as {listed}, and a lot has one expiry: the earlier date, that "
        "of {tag}, counts for all of them. Look at the labels again.",
        tag=tag,
        listed=listed(later),
    )
    shortened = tuple(LifeShortened(each, life.moment, life.because) for each in later)
    return shortened, (Saying(text),)


def _read_expiry(situation: Situation) -> date | str | NotUnderstood:
    """A date as printed on a label, or EMPTY where there is nothing to open."""
    if word_of(situation, ("empty",)) == "empty":
        return "empty"
    return BEFORE if tells_of_open_before(situation) else _expiry_in(situation, typed(situation))


def _expiry_in(situation: Situation, said: Typed) -> date | NotUnderstood:
    """Where two dates are possible the site's habit decides, or nobody."""
    today = _today(situation)
    day = printed_date(said, day_order(situation), today=today)
    is_far = isinstance(day, date) and day - today >= LONGEST_SHELF
    return NotUnderstood("far") if is_far else day


def _today(situation: Situation) -> date:
    return situation.local_day(situation.open.asked_at)


def day_order(situation: Situation) -> Order | None:
    """How dates are written at this site; None where it has not said so."""
    orders: dict[str | None, Order] = {"dmy": "dmy", "mdy": "mdy"}
    return orders.get(situation.site.day_order)


def _read_lot(situation: Situation) -> str | date | NotUnderstood:
    """A lot as printed; NONE where there is none, DATE or another date where its expiry is wrong.

    S10: an answer to another question is no lot, nor is the date that has just been given; what
    may be a date still to come is asked back. NO denies the date as likely as the lot.
    """
    said, words = typed(situation), situation.vocabulary
    if tells_of_open_before(situation):
        return BEFORE
    is_date = said.words[:1] == (fold(words.word(_DATE)),) or _tells_two_dates(situation)
    if is_date or _is_out_of_date(said):
        return _DATE
    if not (_NAMES_A_DATE | _CORRECTS).isdisjoint(said.words):
        day = _expiry_in(situation, said.without("I", *_CORRECTS))
        if isinstance(day, date) and not _answers_another(situation):
            return day
    word = choose(said, {words.word(slug): slug for slug in ("none", _DATE)})
    if word == "none":
        in_full = fold(words.word("none")) in said.words
        return "" if in_full else NotUnderstood("word")
    if word == _DATE:
        return _DATE
    return NotUnderstood("word") if _answers_another(situation) else lot_in(situation, said)


def lot_in(situation: Situation, said: Typed) -> str | NotUnderstood:
    """The lot in these words; what may be something else here is asked back.

    Where the expiry that was noted stands beside it, that is not asked about once more.
    """

    def expiries(words: Sequence[str]) -> tuple[date, ...]:
        read = _expiry_in(situation, replace(said, words=tuple(words)))
        days = read.dates if isinstance(read, NotUnderstood) else (read,)
        return tuple(day for day in days if _today(situation) <= day)

    read = printed_lot(said, _names_here(situation), expiries)
    noted = situation.frame.memo.get("expires")
    if isinstance(read, NotUnderstood) and noted in {day.isoformat() for day in read.dates}:
        return NotUnderstood("lot", near=read.near)
    return read


def _is_out_of_date(said: Typed) -> bool:
    """S5: IT IS EXPIRED, told at the lot: its expiry was noted wrong, or is another one's."""
    is_so = "EXPIRED" in said.words or {"OUT", "OF", "DATE"} <= {*said.words}
    return is_so and not said.asks and "NOT" not in said.words


def _tells_two_dates(situation: Situation) -> bool:
    """270331 NO 260331: two figures of a whole date, and one of them is the expiry as noted."""
    noted = situation.frame.memo.get("expires")
    said = typed(situation)
    runs = [each for each in dict.fromkeys(said.words) if _A_WHOLE_DATE.fullmatch(each)]
    read = [_expiry_in(situation, replace(said, words=(each,))) for each in runs]
    days = {each.isoformat() for each in read if isinstance(each, date)}
    return noted in days and len(days) > 1


def _names_here(situation: Situation) -> frozenset[str]:
    """Tags, with their check letters or not, and devices: no lot, though they look like one."""
    clinic = situation.clinic
    tags = [*clinic.containers, *clinic.strips]
    labels = list(map(labelled_tag, tags))
    joined = [each.replace("-", "") for each in labels]
    return frozenset(map(fold, (*tags, *labels, *joined, *clinic.devices)))


def _answers_another(situation: Situation) -> bool:
    """Whether it begins with a word of ours or a device's name, or is the expiry said again."""
    said = typed(situation)
    ours = {*situation.vocabulary.words.values(), *situation.clinic.devices}
    day = _expiry_in(situation, said)
    said_again = isinstance(day, date) and day.isoformat() == situation.frame.memo.get("expires")
    return said_again or not {*said.words[:1]}.isdisjoint(map(fold, ours))


def _ask_lot(situation: Situation) -> Text:
    told = situation.frame.memo.get(TOLD_LOT)
    if told and fold(told) == fold(situation.vocabulary.word("none")):
        return say(
            "containers.lot.told_none",
            "I noted expiry {day}; {date} if that is wrong. No lot on it, or not readable? Then "
            "reply {none}. Else its lot: letters and figures only.",
            day=date.fromisoformat(situation.frame.memo["expires"]),
        )
    lot = lot_in(situation, tidy(told)) if told else NotUnderstood("word")
    if isinstance(lot, str):
        return say(
            "containers.lot.told",
            "I noted expiry {day}; {date} if that is wrong. Is its lot {lot}? Then reply {word} "
            "{lot}. Else its lot alone; {none} if it has none.",
            day=date.fromisoformat(situation.frame.memo["expires"]),
            lot=lot,
            word=NAMED,
        )
    return say(
        "containers.lot",
        "Its lot number from the label? Letters and figures only; {none} if it has none. I noted "
        "expiry {day}; {date} if that is wrong.",
        day=date.fromisoformat(situation.frame.memo["expires"]),
    )


def _ask_lot_again(situation: Situation) -> Text:
    return say(
        "containers.lot.again",
        "Its lot, 2 to 12 letters and figures? Of a longer one the last 12. Not there, not "
        "readable: {none}. I noted expiry {day}; {date} if that is wrong.",
        day=date.fromisoformat(situation.frame.memo["expires"]),
    )
