"""An answer that hands cannot have earned yet, or that a carrier may have doubled (S10)."""

from datetime import date, timedelta
from hashlib import sha256

from flows.answer.draft import Draft
from flows.answer.landing import ask_again
from flows.cycle.elsewhere import Elsewhere
from flows.parts.clinic import DOUBLED_WITHIN, Thread
from flows.parts.decision import Saying
from flows.parts.events import AnsweredTooSoon, SaidBefore
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies.typed import Typed
from flows.strip_test.said_with_dip import Dipped


def digest_of(typed: Typed) -> str:
    """An answer, its device's label with it, as it can be kept: enough to know it again."""
    return sha256(" ".join(typed.words).encode()).hexdigest()[:8]


def has_just_said(draft: Draft, digest: str) -> bool:
    """S10: whether just that has been taken on this phone so lately that it may be its double."""
    return any(
        said.digest == digest and draft.moment.now - said.at < DOUBLED_WITHIN
        for said in draft.clinic.phones[draft.phone].said
    )


def may_be_a_double(draft: Draft, thread: Thread, step: Step, digest: str) -> bool:
    """S10: an answer that has just been taken elsewhere may have been doubled by a carrier.

    Where it could only break a soak it is taken as said: that is the safe side.
    """
    return not step.repeats and has_just_had(draft, thread, digest)


def has_just_had(draft: Draft, thread: Thread, digest: str) -> bool:
    return not thread.said_before and has_just_said(draft, digest)


def ask_if_meant(draft: Draft, thread: Thread, step: Step) -> None:
    draft.happen(SaidBefore(thread.id, step.name), thread=thread)
    text = say(
        "hearing.said_before",
        "I have just had that text. If you mean it for this question too, send it once more.",
    )
    draft.say(Saying(text, thread=thread.id, question=thread.question), thread)
    ask_again(draft, thread)


def too_soon(draft: Draft, thread: Thread, step: Step, value: object) -> bool:
    """S10: an answer quicker than hands can move is asked about; bad news never is.

    Nor is a date: it is read off a label, and says when something was done before; nor a dip,
    which counts from its own moment, though that was before it was asked for.
    """
    if isinstance(value, date | Elsewhere | Dipped):
        return False
    done = step.done or step.answers[:1]
    if isinstance(value, str) and done and value not in done:
        return False
    least = step.at_least(draft.situation(thread))
    # Of what was sent before it was asked for, as its carrier held what came before it, that
    # says nothing where no time is needed.
    return bool(least) and _elapsed(draft, thread) < least


def _elapsed(draft: Draft, thread: Thread) -> timedelta:
    return (draft.sent_at or draft.moment.now) - thread.asked_at


def ask_whether(draft: Draft, thread: Thread, step: Step) -> None:
    draft.happen(
        AnsweredTooSoon(thread.id, step.name, max(_elapsed(draft, thread), timedelta(0))),
        thread=thread,
    )
    text = _too_quick(draft.typed.words if draft.typed else ())
    draft.say(Saying(text, thread=thread.id, question=thread.question), thread)


def _too_quick(words: tuple[str, ...]) -> Text:
    if len(words) > 1:
        return say(
            "hearing.too_soon.text",
            "That was quick. Take the time it needs. When it is really done, send that text "
            "again.",
        )
    return say(
        "hearing.too_soon",
        "That was quick. Take the time it needs. When it is really done, reply {word} again.",
        word="".join(words)[:9],
    )
