"""Out before its bell, and perhaps why: straight back in, or from the start (S3)."""

from dataclasses import replace

from flows.cycle.broken import broken, clean_again
from flows.parts.decision import Decision, Saying
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.out_and_more import tells_more
from flows.replies.plainly import may_be_damage
from flows.replies.touched import was_touched


def out_early(situation: Situation, moment: Moment) -> Decision:
    """S3, S8: what was told beside it is said to be not noted; it may be why it came out.

    What fell, was touched or may be damaged goes from the start, whatever comes of that.
    """
    said = typed(situation)
    if not tells_of_more(situation):
        return broken(situation, "early_out", moment)
    is_worse = was_touched(said) or may_be_damage(said)
    decided = (clean_again if is_worse else broken)(situation, "early_out", moment)
    return replace(decided, says=(Saying(_only_that_it_is_out(situation)), *decided.says))


def tells_of_more(situation: Situation) -> bool:
    """Whether a word stands beside OUT that may tell of harm."""
    cycle = situation.cycle
    return tells_more(typed(situation), cycle.device, cycle.bath or "")


def nothing_of_that(situation: Situation) -> Text:
    """S8: at the bell OUT with bad news beside it ends no soak; the number by itself does."""
    return say(
        "cycle.out_and_more.at_the_bell",
        "Nothing of that is noted. {device} damaged? {fault} {device}. {tag} or its strip not "
        "good? {fault} {tag}. Topped up? {topped} {tag}. Not under? {device} {again}.",
        device=situation.cycle.device,
        tag=situation.cycle.bath or "",
    )


def _only_that_it_is_out(situation: Situation) -> Text:
    return say(
        "cycle.out_and_more",
        "Only that {device} came out is noted. Damaged? {fault} {device}. Used? {used} {device}. "
        "{tag} or its strip not good? {fault} {tag}. Topped up? {topped} {tag}.",
        device=situation.cycle.device,
        tag=situation.cycle.bath or "",
    )
