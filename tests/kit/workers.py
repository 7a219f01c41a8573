"""Health workers who are honest, hurried or muddled; what they do, and what they then text.

What an honest worker attests, and this holds for all three:

- A word is texted only for an act of one's own hands, on this probe, in this cleaning: SOAPED
  after wiping with detergent, FLUSHED after three rinses, TUB for a clean tub, and so on. For
  somebody on brief texts UNDER, IN and COVERED are texted when all that was asked with them is
  done.
- A hurried one texts the word first and does the act at once after it, before reading on: UNDER
  up to 10 s before, IN with the probe still in hand up to 45 s before. COVERED is never early.
- Whoever has put it in more than once trusts a bell only if the own timer says 12 minutes too.
- OUT is texted when the probe came out or is coming out; OUT with the bell's number only when it
  stayed in until the bell's text was read, or 12 minutes by one's own timer. Taken out sooner, it
  is texted as OUT alone or AGAIN. A hurried one takes it out at 8 minutes, and texts OUT then.
- Strips are timed by one's own watch: read after 95 s, by a hurried one up to 60 s too early; the
  colour is texted as it was seen.
- Nobody puts a probe that is wet with water in a bath or under a cover, and nobody says RINSED of
  what came out of no detergent, or came out of it too soon.
- A temperature is read in the bath as the text is written.
- Slips (a bare hand on the probe, lifted out and put back) are owned up to at the first question
  that leaves room for it: AGAIN, STAINED, MOVED, UNSURE, or FAULT where there is no other word.
- A muddled one answers the text that was read last, which may be an old one; repeats a word said
  earlier in this same cleaning; bears the number of an older text; mistypes; texts twice; puts a
  probe in a bath that holds another; uses a probe that is not ready, and says so.
- Nobody ever lies on purpose. Colleagues in one room tell each other what they know.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from hypothesis import strategies as st

from tests.kit.carrier import LATE, PROMPT, Flight, Trip, trips, unusual
from tests.kit.hands import (
    NEVER,
    Hands,
    bears,
    begins,
    covers,
    dips,
    dries,
    finishes,
    flushes,
    immerses,
    looks,
    number_in,
    pours,
    reads_strip,
    rinses,
    rinses_and_dries,
    says_codes,
    says_cover,
    says_dip,
    says_in,
    says_out,
    says_poured,
    says_seen,
    says_stayed,
    says_strip,
    soaks,
    tag_in,
    takes_out,
    under,
    under_brief,
    warms,
    wipes,
    with_number,
)
from tests.kit.shift import Shift

SLIPS = (
    "early",
    "typo",
    "twice",
    "older word",
    "older number",
    "own timer",
    "eight minutes",
    "lifts it",
    "touches it",
    "crowds",
    "early strip",
    "no answer",
    "later",
)


@dataclass(frozen=True, slots=True)
class Turn:
    """One look at the phone, and what comes of it."""

    slip: str = ""
    pause_s: int = 2
    answer: Trip = PROMPT
    hearing: Trip = PROMPT
    old: int = 0
    """How many texts back a muddled one reads."""

    def __repr__(self) -> str:
        return unusual(self)


def turns() -> st.SearchStrategy[Turn]:
    """Most looks at the phone are steady; few choices each, so that hours fit in one example."""
    steady = st.just(Turn())
    slow = st.builds(Turn, pause_s=st.sampled_from((10, 30, 120, 400, 900)))
    carried = st.builds(Turn, answer=trips(), hearing=trips())
    slipped = st.builds(
        Turn,
        slip=st.sampled_from(SLIPS),
        pause_s=st.sampled_from((2, 60)),
        answer=trips(),
        hearing=trips(),
        old=st.sampled_from((0, 0, 0, 1, 2)),
    )
    hurried = st.builds(Turn, slip=st.just("early"), hearing=trips())
    too_soon = st.builds(
        Turn, slip=st.sampled_from(("eight minutes", "lifts it")), answer=st.sampled_from(LATE)
    )
    return st.one_of(steady, steady, slow, carried, slipped, hurried, too_soon)


@dataclass(frozen=True, slots=True)
class Duty:
    """What a text asks for: *does* is False where it cannot be done; *says* is the answer."""

    says: Callable[[Hands, Shift, Flight], str | None]
    does: Callable[[Hands, Shift, Flight], bool] = lambda _, __, ___: True
    may_be_early: bool = False
    first: Callable[[Hands, Shift, Flight], bool] = lambda _, __, ___: True
    """What comes before, even where the word is texted early."""


def word(said: str) -> Callable[[Hands, Shift, Flight], str | None]:
    return lambda _, __, ___: said


def _nothing(_: Hands, __: Shift, ___: Flight) -> None:
    return None


def _tests_the_strips(_: Hands, shift: Shift, __: Flight) -> bool:
    shift.passes(100)
    return True


DUTIES: Mapping[str, Duty] = {
    "cycle.codes": Duty(says_codes),
    "cycle.cautions": Duty(word("READY")),
    "cycle.inspect": Duty(says_seen("SOUND", ""), looks),
    "cycle.wipe_detergent": Duty(word("SOAPED"), begins, may_be_early=True),
    "cycle.wipe_water": Duty(word("WATER"), wipes(("water", 8)), may_be_early=True),
    "cycle.wipe_disinfectant": Duty(word("WET"), wipes(("disinfectant", 8)), may_be_early=True),
    "cycle.wipe_rinse": Duty(word("WIPED"), wipes(("water again", 65)), may_be_early=True),
    "cycle.mix": Duty(word("MIXED"), may_be_early=True),
    "cycle.under": Duty(word("UNDER"), under, may_be_early=True),
    "cycle.under.brief": Duty(says_seen("UNDER", ""), under_brief),
    "cycle.await_detergent": Duty(_nothing),
    "cycle.rinse": Duty(lambda h, _, t: f"RINSED {bears(h, t)}", rinses, may_be_early=True),
    "cycle.dry": Duty(word("DRY"), dries, may_be_early=True),
    "cycle.container": Duty(word("TUB")),
    "cycle.immerse": Duty(says_in, immerses, may_be_early=True),
    "cycle.immerse.brief": Duty(says_in, immerses, may_be_early=True, first=rinses_and_dries),
    "cycle.warm": Duty(says_in, warms),
    "cycle.broken": Duty(says_in, immerses, may_be_early=True),
    "cycle.broken.unproved": Duty(says_in, immerses, may_be_early=True),
    "cycle.soaking": Duty(soaks),
    "cycle.soaking.number": Duty(says_out, takes_out, may_be_early=True),
    "cycle.soaking.temperature": Duty(says_out, takes_out),
    "cycle.bell": Duty(says_out, takes_out, may_be_early=True),
    "cycle.bell.late": Duty(says_out, takes_out, may_be_early=True),
    "cycle.bell.measure": Duty(says_out, takes_out, may_be_early=True),
    "cycle.left.over": Duty(says_out, takes_out),
    "cycle.maximum": Duty(says_out, takes_out),
    "cycle.bell.elsewhere": Duty(lambda _, __, t: f"TAKE {t.body[:2]}"),
    "cycle.inspect_after": Duty(says_seen("SOUND", ""), looks),
    "cycle.final_rinse": Duty(word("FLUSHED"), flushes, may_be_early=True),
    "cycle.final_dry": Duty(word("DRIED"), dries, may_be_early=True),
    "cycle.final_inspect": Duty(says_seen("GOOD", "STAINED"), looks),
    "cycle.cover": Duty(says_cover, covers),
    "cycle.cover.brief": Duty(says_seen("COVERED", "STAINED"), finishes),
    "cycle.stayed": Duty(says_stayed),
    "strip.dip": Duty(says_dip, dips, may_be_early=True),
    "strip.read": Duty(says_strip, reads_strip),
    "containers.fill.bath": Duty(says_poured, pours("bath", "B")),
    "containers.fill.bottle": Duty(says_poured, pours("bottle", "J")),
    "containers.jug.expiry": Duty(word("270331"), pours("jug", "")),
    "containers.strips.expiry": Duty(word("270331")),
    "containers.lot": Duty(word("L7")),
    "containers.strips.check": Duty(word("GOOD"), _tests_the_strips),
    "use.code": Duty(word("0499")),
    "lift.check": Duty(says_seen("LIFTED", "")),
    "cycle.released": Duty(_nothing),
    "cycle.abandoned": Duty(_nothing),
    "cycle.quarantine": Duty(_nothing),
    "cycle.taken": Duty(_nothing),
    "cycle.not_released": Duty(_nothing),
}
"""What each text asks of hands, by its slug; `cycle.x.again` asks what `cycle.x` does."""

COME_OUT = frozenset(
    {
        "cycle.bath.in_use",
        "cycle.disturbed",
        "cycle.elsewhere.moved",
        "cycle.elsewhere.no_bath",
        "cycle.elsewhere.no_strip",
        "cycle.elsewhere.not_for_use",
        "cycle.elsewhere.not_yet",
        "cycle.elsewhere.product",
        "cycle.elsewhere.taken",
        "cycle.elsewhere.too_short",
        "cycle.elsewhere.unknown",
        "cycle.voided",
    }
)


def duty_of(text: Flight, *, is_brief: bool = False) -> Duty | None:
    """A reminder asks somebody on brief texts for all that the first text did."""
    brief = DUTIES.get(f"{plain(text.slug)}.brief") if is_brief else None
    return brief or DUTIES.get(text.slug) or DUTIES.get(plain(text.slug))


def plain(slug: str) -> str:
    """The step that a text asks about, in whichever words."""
    return slug.removesuffix(".again").removesuffix(".brief")


# -- one look at the phone ----------------------------------------------------------------------


def works(hands: Hands, shift: Shift, turn: Turn) -> None:
    """Read, do what was asked, and answer."""
    shift.hearing, hands.slip = turn.hearing, turn.slip
    shift.passes(turn.pause_s)
    text = _last_question(hands, shift, turn.old)
    if text is None or turn.slip == "no answer":
        return
    if text is hands.answered:
        _waits(hands, shift, turn)
        return
    _knows(hands, text)
    if turn.slip == "touches it" and shift.bench.stay(hands.probe) is None:
        touched = shift.soils(hands.probe, "touched")
        hands.crew.owes.setdefault(hands.probe, set()).add(touched)
    _fulfils(hands, shift, text, turn)


def _last_question(hands: Hands, shift: Shift, old: int) -> Flight | None:
    texts = shift.phones.get(hands.phone, [])
    for text in texts[hands.read :]:
        _notices(hands, shift, text)
    hands.read = len(texts)
    asking = [text for text in texts if duty_of(text)]
    return asking[max(-len(asking), -1 - old)] if asking else None


def _notices(hands: Hands, shift: Shift, text: Flight) -> None:
    """What a text tells, without an answer."""
    label = tag_in(text.body, "V")
    if text.slug in COME_OUT and label:
        shift.bench.out(label, shift.now)
    if text.slug in {"cycle.released", "use.ready"}:
        hands.crew.ready.add(label)
    if text.slug == "cycle.released":
        hands.crew.patients.pop(label, None)
    if text.slug in {"use.check.not_ready", "cycle.quarantine"}:
        hands.crew.ready.discard(label)
    if text.slug == "containers.label":
        _labels(hands, shift, text)
    if text.slug == "containers.fill.gone":
        _throws_away(hands)
    if number_in(text.body):
        hands.numbers.append(number_in(text.body))


def _labels(hands: Hands, shift: Shift, text: Flight) -> None:
    """On what was poured last and bears no label; a label is never written twice."""
    tag = tag_in(text.body, "[JBT]")
    kind = {"J": "jug", "B": "bottle", "T": "bath"}.get(tag[:1])
    fit = [vessel for vessel in hands.crew.unlabelled if vessel.kind == kind]
    if fit and shift.bench.labelled(tag) is None:
        fit[-1].tag = tag
        hands.crew.unlabelled.remove(fit[-1])


def _throws_away(hands: Hands) -> None:
    """What it came from is not for use: what was poured is gone, and so is that it was done."""
    hands.crew.unlabelled.clear()
    poured = [key for key in hands.told if key[0].startswith("containers.fill")]
    for key in poured:
        del hands.told[key]


def _knows(hands: Hands, text: Flight) -> None:
    label, tub = tag_in(text.body, "V"), tag_in(text.body, "T")
    if label and text.slug.startswith("cycle."):
        hands.probe = label
    if tub and text.slug in {"cycle.container", "cycle.immerse", "cycle.immerse.brief"}:
        hands.crew.tub[hands.probe] = tub


def _waits(hands: Hands, shift: Shift, turn: Turn) -> None:
    """It has been answered: time passes, and the answer goes out once more if nothing comes."""
    newest = shift.phones[hands.phone][-1]
    if newest.slug in ASKED_BACK and newest.arrives >= hands.answered_at:
        _says_it_again(hands, shift, newest, turn)
    elif turn.slip == "older word" and hands.words:
        texts(hands, shift, hands.words[turn.old % len(hands.words)], turn.answer)
    elif turn.slip == "twice" or turn.pause_s >= 400:
        texts(hands, shift, hands.reply, turn.answer)
    elif hands.answered and hands.answered.slug.startswith("cycle.soaking"):
        duty = duty_of(hands.answered, is_brief=hands.is_brief)
        said = duty.says(hands, shift, hands.answered) if duty and hands.slip else None
        texts(hands, shift, said, turn.answer)
    _until_something_comes(hands, shift)


ASKED_BACK = frozenset(
    f"hearing.{what}" for what in ("near", "number", "too_soon", "said_before", "which", "unit")
)


def _says_it_again(hands: Hands, shift: Shift, asked: Flight, turn: Turn) -> None:
    """The act is done by now: the same answer, with the probe's name where that was asked."""
    text = hands.answered
    duty = duty_of(text, is_brief=hands.is_brief) if text else None
    if text is None or duty is None or duty.says is _nothing:
        return
    label = f"{hands.probe} " if asked.slug == "hearing.which" else ""
    said = with_number(duty.says(hands, shift, text), text.body)
    hands.answered_at = shift.now
    texts(hands, shift, f"{label}{said}" if said else None, turn.answer)


def _until_something_comes(hands: Hands, shift: Shift) -> None:
    """Nobody stares at a phone: it is looked at again when it has sounded, or a while later."""
    for _ in range(8):
        if len(shift.phones.get(hands.phone, [])) > hands.read:
            return
        shift.passes(30)


def _fulfils(hands: Hands, shift: Shift, text: Flight, turn: Turn) -> None:
    duty = duty_of(text, is_brief=hands.is_brief)
    if duty is None:
        return
    told = _has_told(hands, shift, text)
    if told:
        texts(hands, shift, told, turn.answer)
        hands.answered, hands.answered_at = text, shift.now
        shift.passes(3)
        return
    if not duty.first(hands, shift, text):
        return
    early = turn.slip == "early" and duty.may_be_early and not hands.crew.is_sorry(hands.probe)
    said = with_number(duty.says(hands, shift, text), text.body) if early else None
    texts(hands, shift, said, turn.answer)
    if not duty.does(hands, shift, text):
        return
    if not early:
        said = with_number(duty.says(hands, shift, text), text.body)
        texts(hands, shift, _typed(said, turn.slip), turn.answer)
    if turn.slip == "twice":
        texts(hands, shift, said, PROMPT)
    hands.answered, hands.answered_at, hands.reply = text, shift.now, said or ""
    hands.told[plain(text.slug), hands.probe] = (shift.now, hands.reply)
    shift.passes(3)


def _has_told(hands: Hands, shift: Shift, text: Flight) -> str:
    """Asked again for an act that was done and told, and nothing since: the word once more."""
    when, said = hands.told.get((plain(text.slug), hands.probe), (NEVER, ""))
    if hands.crew.is_sorry(hands.probe) or shift.bench.touched(hands.probe) > when:
        return ""
    return said if said.isalpha() else ""


def _typed(said: str | None, slip: str) -> str | None:
    if slip != "typo" or not said or len(said) < 3:
        return said
    return said[0] + said[2] + said[1] + said[3:]


OWNS_UP = frozenset({"AGAIN", "STAINED", "MOVED", "DAMAGED", "UNSURE", "OUT", "FAULT"})


def texts(hands: Hands, shift: Shift, said: str | None, trip: Trip) -> None:
    """Send it, if there is something to say; a word that owns up tells what is owed."""
    if not said:
        return
    probe = hands.probe
    first = said.split()[0]
    tells = set(hands.crew.owes.get(probe, ())) if first in OWNS_UP else set()
    if first in {"DAMAGED", "FAULT"}:
        tells |= {s.number for s in shift.bench.soils if s.probe == probe and s.what == "damage"}
    if first in {"USED", "FAULT"} or first.isdecimal():
        tells |= hands.crew.uses.get(probe, set())
    if first == "AGAIN" or said == "OUT":
        hands.crew.broke.discard(probe)
    if first.isalpha() and first not in {"POURED", "FILLED", "COVERED", "FAULT", "TAKE"}:
        hands.words.append(said)
    shift.sends(hands.phone, said, trip, frozenset(tells))


def uses_it(hands: Hands, shift: Shift, code: str, trip: Trip) -> None:
    """On a patient; and it is said, ready or not."""
    if shift.bench.stay(hands.probe):
        return
    soil = shift.soils(hands.probe, "patient", code)
    hands.crew.ready.discard(hands.probe)
    hands.crew.patients.setdefault(hands.probe, []).append(code)
    hands.crew.uses.setdefault(hands.probe, set()).add(soil)
    texts(hands, shift, f"USED {hands.probe} {code}", trip)
