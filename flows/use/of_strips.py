"""USED AN OLD STRIP: a use of no probe; of strips it is told in another word (S4, S8)."""

from flows.parts.decision import Decision, told
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.replies import NotUnderstood
from flows.replies.patient_code import patient_code
from flows.replies.tags import tags_in

_STRIPS = frozenset({"STRIP", "STRIPS"})
_OF_A_PROBE = frozenset({"PROBE", "DEVICE", "PATIENT", "PATIENTS", "IT"})


def use_of_strips(situation: Situation) -> Decision | None:
    """How to tell it of the strips that are meant; None for what may be a use of a probe."""
    words = typed(situation).words
    tag = _which(situation, words)
    may_be_of_a_probe = not _OF_A_PROBE.isdisjoint(words) or any(map(_is_code, words))
    if not tag or _STRIPS.isdisjoint(words) or may_be_of_a_probe:
        return None
    text = say(
        "use.of_strips",
        "{subject}: nothing is noted. Strips wet, old, of another kind? {fault} {subject}. Used "
        "up? {discard} {subject}. A probe was used? {used} and its name.",
        subject=tag,
    )
    return told(text)


def _which(situation: Situation, words: tuple[str, ...]) -> str:
    """Those that are named; else those of the test that is going on here, else any."""
    known = situation.clinic.strips
    named = [each for each in tags_in(words).values() if each in known]
    testing = [each.top.memo.get("strips", "") for each in situation.threads_here]
    return next((each for each in (*named, *testing, *known) if each in known), "")


def _is_code(word: str) -> bool:
    return not isinstance(patient_code([word]), NotUnderstood)
