"""Put into another liquid than its own bath, or into its own that is not fit (S3, S4, S5, S21)."""

from dataclasses import dataclass

from flows.cycle.broken import bath_of, uses_left
from flows.parts.clinic import Clinic, Container, Kind
from flows.parts.decision import Decision, Next, Saying, go, restart
from flows.parts.events import CleaningRestarted, Event, PutInBath
from flows.parts.moment import Moment
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.plainly import names_a_vessel, says_plainly
from flows.replies.typed import fold
from flows.rules.container_life import lasts_a_soak
from flows.rules.soak import broken_from_outside, taken_for
from flows.rules.strip import BOTTLE_DAILY, is_sound, pass_of


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """IN with the tag of another liquid than its bath, IN T2 21.5; *bath* None if unknown here."""

    tag: str
    bath: Container | None


def named_elsewhere(situation: Situation) -> Elsewhere | None:
    """What was named, before IN or behind it, where it is not the bath of this cycle."""
    for named in tags_named(situation, behind=0):
        if isinstance(named, Container) and named.tag != situation.cycle.bath:
            return Elsewhere(named.tag, named)
        if isinstance(named, str) and named[0] != "S":
            return Elsewhere(named, None)
    return None


def is_said_in_words(situation: Situation) -> bool:
    """S3: IT IS IN T2 23: IN right before a tag, and small words; no question, no denial."""
    said, word = typed(situation), fold(situation.vocabulary.word("in"))
    bare = said.without(*situation.clinic.devices)
    return names_a_vessel(bare, word) and says_plainly(bare, word)


def was_in(situation: Situation, tag: str, because: str) -> PutInBath:
    """S7: that it was in that liquid is true, whatever comes of it."""
    return PutInBath(situation.cycle.id, situation.cycle.device, tag, because)


def put_elsewhere(situation: Situation, said: Elsewhere, moment: Moment) -> Decision:
    """S3, S21: cleaned from the start, unless it was a bath as good as its own."""
    in_use = in_use_by_another(situation, said.bath, moment)
    if in_use:
        return in_use
    spoilt = _spoilt_by(situation, said.tag, said.bath, moment)
    if spoilt:
        return spoilt
    if situation.frame.step != "immerse":
        was = situation.cycle.contact or situation.frame.step in {"warm", "back_in"}
        why = (_not_its_own if was else _not_now)(situation, said.tag)
        return _cleaned_again(situation, said.tag, "elsewhere", why)
    return _take_it_out(situation, said.tag, said.bath, moment)


def put_in_unfit(situation: Situation, moment: Moment) -> Decision:
    """S4, S5: its own bath is out of date, failed, held, or has no strip for it any more."""
    bath, tag = bath_of(situation), situation.cycle.bath or ""
    spoilt = _spoilt_by(situation, tag, bath, moment)
    return spoilt or _take_it_out(situation, tag, bath, moment)


def put_in_too_early(situation: Situation, bath: Container, moment: Moment) -> Decision:
    """S4: dry and in its own bath before all was asked: out of it again, and that comes first.

    It is the same use, on the same strip, as if it had been too cold; nobody else's.
    """
    in_use = in_use_by_another(situation, bath, moment)
    spoilt = in_use or _spoilt_by(situation, bath.tag, bath, moment)
    return spoilt or Decision(
        (was_in(situation, bath.tag, "too_early"),),
        (Saying(_too_early(situation, bath)),),
        go(situation.frame.step),
    )


def not_back(situation: Situation, why: Text) -> Decision:
    """S3: it was put back into its bath, and that takes it no more."""
    return _cleaned_again(situation, situation.cycle.bath or "", "not_back", why)


def _cleaned_again(situation: Situation, tag: str, because: str, why: Text) -> Decision:
    cycle = situation.cycle
    again = CleaningRestarted(cycle.id, cycle.device, because)
    return Decision(
        (was_in(situation, tag, because), again), (Saying(why),), _from_the_start(situation)
    )


def _from_the_start(situation: Situation) -> Next:
    """S13: with its inspection, where nobody has stated that yet or one is owed once more."""
    cycle = situation.cycle
    inspected = "inspect" in cycle.done and not cycle.inspect_again
    return restart("wipe_detergent" if inspected else "inspect")


def _spoilt_by(
    situation: Situation, tag: str, bath: Container | None, moment: Moment
) -> Decision | None:
    """What nothing that was in it goes on from; None where it is a bath that might be its own."""
    product = situation.protocol.chemistry
    if bath is None:
        return _cleaned_again(situation, tag, "unknown", _is_unknown(situation, tag))
    if bath.product != product.name:
        return _cleaned_again(situation, tag, "other_product", _holds_another(situation, tag))
    if bath.kind is not Kind.BATH:
        return _cleaned_again(situation, tag, "no_bath", _is_no_bath(situation, tag))
    if not is_sound(bath, moment.now) or not uses_left(situation, bath):
        return _cleaned_again(situation, tag, "not_for_use", _is_not_for_use(situation, tag))
    other = taken_for(situation.clinic, tag, situation.cycle.id)
    if other:
        return _cleaned_again(situation, tag, "taken", _is_taken(situation, tag, other))
    return None


def _take_it_out(
    situation: Situation, tag: str, bath: Container | None, moment: Moment
) -> Decision:
    """The right liquid, but not so far: out of it again, and what it lacks comes first."""
    cycle, protocol = situation.cycle, situation.protocol
    because, why = "elsewhere", _not_so_far(situation, tag)
    if bath and not lasts_a_soak(bath.discard_by, protocol.bell_after, moment.now):
        because, why = "too_short", _too_short(situation, tag)
    elif bath and pass_of(situation.clinic, bath, cycle.id, protocol, moment.now) is None:
        because, why = "no_strip", _no_strip(situation, tag)
    return Decision((was_in(situation, tag, because),), (Saying(why),), go("bath"))


def soak_disturbed(clinic: Clinic, bath: Container, moment: Moment) -> tuple[Event, ...]:
    """S21: what soaks in a bath is void once anything else is put in; nothing where none does.

    S12: left in past the maximum it is inspected before it is cleaned again.
    """
    other = clinic.cycles.get(bath.in_use_by or "")
    return broken_from_outside(other, "second_device", moment.now) if other else ()


def in_use_by_another(
    situation: Situation, bath: Container | None, moment: Moment
) -> Decision | None:
    """S21: one device per bath: a second one voids the first soak, and does not begin its own."""
    cycle = situation.cycle
    if bath is None or bath.in_use_by in {None, cycle.id}:
        return None
    other = situation.clinic.cycles[bath.in_use_by or ""]
    text = say(
        "cycle.bath.in_use",
        "{tag} is in use for {other}: one probe a bath. Take {device} out, use another bath. The "
        "soak of {other} is void too.",
        tag=bath.tag,
        other=other.device,
        device=cycle.device,
    )
    return Decision(
        events=(
            *soak_disturbed(situation.clinic, bath, moment),
            was_in(situation, bath.tag, "in_use"),
            CleaningRestarted(cycle.id, cycle.device, "second_device"),
        ),
        says=(Saying(text),),
        then=_from_the_start(situation),
    )


# -- the true reason ----------------------------------------------------------------------------


def _is_unknown(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.unknown",
        "{tag} is not known here: nobody can say what it holds. Take {device} out: it must be "
        "cleaned from the start.",
        tag=tag,
        device=situation.cycle.device,
    )


def _holds_another(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.product",
        "{tag} does not hold {product}. Take {device} out: it must be cleaned from the start.",
        tag=tag,
        product=situation.protocol.chemistry.title,
        device=situation.cycle.device,
    )


def _is_no_bath(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.no_bath",
        "{tag} is no bath. Take {device} out: it must be cleaned from the start. Pour nothing "
        "from {tag} any more.",
        tag=tag,
        device=situation.cycle.device,
    )


def _is_not_for_use(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.not_for_use",
        "{tag} is NOT FOR USE. Take {device} out: it must be cleaned from the start, then soaked "
        "in another bath.",
        tag=tag,
        device=situation.cycle.device,
    )


def _is_taken(situation: Situation, tag: str, other: str) -> Text:
    """Where the site tests the bottle its strip counts for every bath of it, all day."""
    if situation.protocol.strip_policy == BOTTLE_DAILY:
        return say(
            "cycle.elsewhere.taken.daily",
            "{tag} was made ready for {other}. Take {device} out: it must be cleaned from the "
            "start.",
            tag=tag,
            other=other,
            device=situation.cycle.device,
        )
    return say(
        "cycle.elsewhere.taken",
        "{tag} was made ready for {other}, and its strip does not count any more. Take {device} "
        "out: it must be cleaned from the start.",
        tag=tag,
        other=other,
        device=situation.cycle.device,
    )


def _not_its_own(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.moved",
        "{device} was in {source} and is in {tag} now: that is no whole soak. Take it out: it "
        "must be cleaned from the start.",
        device=situation.cycle.device,
        source=situation.cycle.bath or "",
        tag=tag,
    )


def _not_now(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.not_now",
        "{tag}: {device} does not go in there now. Take it out: it must be cleaned from the "
        "start.",
        tag=tag,
        device=situation.cycle.device,
    )


def _too_early(situation: Situation, bath: Container) -> Text:
    return say(
        "cycle.elsewhere.too_early",
        "Too early: take {device} out of {tag} again. This comes first:",
        device=situation.cycle.device,
        tag=bath.tag,
    )


def _not_so_far(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.not_yet",
        "{device} was to go in another bath than {tag}. Take {device} out again; I ask for what "
        "is missing first.",
        device=situation.cycle.device,
        tag=tag,
    )


def _too_short(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.too_short",
        "{tag} may not be used for {device}: its time runs out. Take {device} out.",
        tag=tag,
        device=situation.cycle.device,
    )


def _no_strip(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.elsewhere.no_strip",
        "{tag} may not be used for {device} yet: it has no strip that counts for it. Take "
        "{device} out.",
        tag=tag,
        device=situation.cycle.device,
    )
