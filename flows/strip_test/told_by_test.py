"""TEST FAILED, TEST WAS BLUE: of the strip that is read just now, and no command (S4)."""

from dataclasses import replace

from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text
from flows.replies import NotUnderstood
from flows.replies.tags import tags_in
from flows.strip_test.in_words import FAILS, if_it_looks_so
from flows.strip_test.put_right import may_be_put_right
from flows.strip_test.reading import READ


def told_by_test(situation: Situation, moment: Moment) -> Text | None:
    """What to reply for it, while it is asked for or may be put right; None for a command.

    TEST T2 FAILED is of no strip of T1.
    """
    said = typed(situation)
    tags = tags_in(said.words)
    rest = replace(said, words=said.words[1:]).without(*tags)
    for thread in situation.threads_here:
        if not is_to_be_read(thread) or not {thread.top.memo["container"]} >= {*tags.values()}:
            continue
        why = READ.reads(replace(situation, thread=thread, typed=rest))
        if isinstance(why, NotUnderstood) and why.hint == FAILS:
            return if_it_looks_so(why.near)
    return may_be_put_right(situation, moment) if rest.words else None
