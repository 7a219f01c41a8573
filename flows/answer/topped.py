"""TOPPED in a text that answers nothing: whose it is, and whether it may be a double (S6, S10)."""

from flows.answer.doubted import digest_of, has_just_said
from flows.answer.draft import Draft
from flows.answer.landing import open_here
from flows.containers.topped_unasked import asks_for_one, topped_unasked
from flows.parts.decision import Decision


def topped(draft: Draft) -> Decision | None:
    """S10: without its tag it may be the double of what was answered to a pour."""
    typed = draft.typed
    doubled = typed is not None and has_just_said(draft, digest_of(typed))
    return topped_unasked(draft.situation(), draft.moment, doubled=doubled)


def topped_and_named(draft: Draft) -> Decision | None:
    """Only what says by its tag what it is of, where no question asks for just that tag."""
    if any(map(asks_for_one, open_here(draft, draft.phone, draft.person))):
        return None
    decided = topped(draft)
    return decided if decided and decided.events and not decided.opens else None
