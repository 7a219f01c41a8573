"""What says of neither of two devices in hand that it is meant (S10, S17)."""

from flows.answer.draft import Draft
from flows.answer.landing import ask_again, begin, cleanings_here, open_here
from flows.answer.misses import miss
from flows.answer.topped import topped_and_named
from flows.answer.unclear import may_be_bad_news, strip_in_doubt
from flows.parts.decision import Saying
from flows.parts.text import Text
from flows.replies.courtesy import HARMLESS, is_courtesy
from flows.replies.numbers import is_figure
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import Typed, fold_ours
from flows.strip_test import put_right

_AT_A_LOSS = HARMLESS | {
    *("HELP", "CALL", "CONTACT", "UNDERSTAND", "KNOW", "DONT", "DON'T", "DO", "DOES", "CAN", "I"),
    *("ME", "MY", "WHAT", "WHEN", "HOW", "LONG", "MUCH", "MANY", "TIME", "LEFT", "MINUTES", "A"),
    *("TO", "OF", "SHALL", "MUST", "SHOULD", "THEN", "THIS", "THAT", "MEAN", "MEANS", "YET"),
}
"""Words of a question, or a cry for help, that tells of nothing."""


def of_neither(draft: Draft, typed: Typed, which: Text) -> None:
    """S4, S6: what names its own strip, and TOPPED T1, are of no cleaning, however many there are.

    But TOPPED T1 may answer a question for just that tag.
    """
    decided = put_right(draft.situation(), draft.moment) or topped_and_named(draft)
    if decided:
        begin(draft, decided)
        return
    doubt = strip_in_doubt(draft, None)
    if doubt:
        draft.say(Saying(doubt))
    elif is_courtesy(typed, draft.name, draft.our_words()):
        _both_again(draft)
    elif _is_at_a_loss(draft, typed):
        _miss(draft)
        _both_again(draft)
    else:
        unclear = may_be_bad_news(draft, None) if _is_of_a_container(draft, typed) else None
        if not _says_anything(draft, typed):
            _miss(draft)
        lacks = unclear is None and which.slug == "hearing.which"
        draft.say(Saying(unclear or which, lacks=lacks))


def _is_of_a_container(draft: Draft, typed: Typed) -> bool:
    """S6, S8: T1 TOPPED, T2 NOT: of no probe, and no answer to either question."""
    topped = fold_ours(draft.vocabulary(draft.person).word("topped"))
    known = {*draft.clinic.containers, *draft.clinic.strips}
    named = tags_in(typed.words)
    others = {*typed.words} - named.keys() - {topped}
    is_known = not known.isdisjoint(named.values())
    return is_known and bool(others) and draft.our_words().isdisjoint(others)


def _miss(draft: Draft) -> None:
    miss(draft, open_here(draft, draft.phone, draft.person)[0], "which")


def _both_again(draft: Draft) -> None:
    """What is asked of each, or how long it still soaks; what was asked last comes last."""
    for each, _ in cleanings_here(draft)[::-1]:
        ask_again(draft, each)


def _is_at_a_loss(draft: Draft, typed: Typed) -> bool:
    """HOW MUCH TIME LEFT asks for it; LEFT by itself is a command."""
    told = draft.our_words().intersection(typed.words)
    return _AT_A_LOSS.issuperset(typed.words) and told <= {
        fold_ours(draft.vocabulary(draft.person).word("left"))
    }


def _says_anything(draft: Draft, typed: Typed) -> bool:
    """A word of ours, a figure or a tag: it lacks but its name."""
    ours = draft.our_words()
    return any(each in ours or is_figure(each) or TAG.fullmatch(each) for each in typed.words)
