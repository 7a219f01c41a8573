"""First aid at once, whatever was asked and in whatever words it is called for (S20)."""

from flows.answer.draft import Draft
from flows.answer.landing import ask_again, begin, open_here
from flows.answer.unclear import may_be_bad_news
from flows.catalogue import FIRST_AID
from flows.cycle.interrupt import told_plainly
from flows.parts.decision import Saying
from flows.replies.hurt import hurts, words_of_hurt
from flows.replies.typed import Typed
from flows.use import spill


def help_first(draft: Draft, typed: Typed, command: str) -> Typed | None:
    """Answer with first aid where somebody may be hurt; hand back what is still to be heard.

    A false alarm costs a text. What else was told plainly is heard; of the rest the open question
    is put again, as no answer is sure beside a splash. A command is obeyed all the same.
    """
    is_called = command in FIRST_AID
    if command and not is_called:
        if hurts(typed, command):
            begin(draft, spill(draft.situation(), draft.moment))
        return typed
    hurt = typed.words[:1] if is_called else words_of_hurt(typed)
    if not hurt:
        return typed
    begin(draft, spill(draft.situation(), draft.moment))
    draft.typed = typed.without(*hurt)
    if told_plainly(draft.situation()):
        return draft.typed
    mine = [] if is_called else open_here(draft, draft.phone, draft.person)
    unclear = may_be_bad_news(draft, mine[0]) if mine else None
    if unclear:
        draft.say(Saying(unclear))
    elif mine:
        ask_again(draft, mine[0])
    return None
