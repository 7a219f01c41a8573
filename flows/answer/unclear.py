"""What was not understood and may be bad news is asked back: nobody thinks it noted (S3, S6, S8).

It stands in one place, behind all that is understood; what holds none of it gets the question.
"""

from flows.answer.draft import Draft
from flows.catalogue import FLOWS
from flows.cycle.interrupt import told_plainly
from flows.cycle.unasked import ASK_FOR_IT
from flows.parts.clinic import Cycle, Thread
from flows.parts.situation import protocol_of
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text, say
from flows.replies.courtesy import ALL_IS_WELL
from flows.replies.in_out import tells_of_a_lack
from flows.replies.numbers import is_figure
from flows.replies.plainly import may_be_damage, may_be_elsewhere, names_a_vessel
from flows.replies.small_talk import news
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import Typed, fold, fold_ours
from flows.strip_test import may_be_put_right
from flows.use.check import awaits_release
from flows.words import ANSWERS, COMMANDS

_ASKS_FOR_A_TAG = frozenset({"topped", "topped_which", "jug_lot", "strips_lot", "code"})
"""Steps whose answer is a tag, or may look like one."""

_SAY_IT_THEMSELVES = ASK_FOR_IT | {"stayed"}

_CAN_BE_TOPPED_UP = ("T", "B")

_BAD_STRIP = frozenset(
    {"PATCHY", "BAD", "FAIL", "FAILS", "FAILED", "NOT", "WRONG", "UNSURE", "DOUBT", "MISTAKE"}
)
_OF_NO_HARM = ALL_IS_WELL | {
    *("WELL", "DRY", "TUB", "BATH", "BOTTLE", "LABELED", "TEST", "TESTING", "TESTED", "POURED"),
    *("POURING", "STILL", "HALF", "LID", "ON"),
}
"""What people say of a thing where nothing is wrong with it."""
_COMMANDED = {
    **dict.fromkeys(("TEST", "TESTING", "TESTED"), "test"),
    **dict.fromkeys(("POURED", "POURING"), "pour"),
    **dict.fromkeys(("CLEAN", "CLEANING", "START"), "clean"),
}
_TAKES = {"pour": ("J", "B")}
"""One pours from a jug or a bottle."""


def may_be_bad_news(draft: Draft, thread: Thread | None) -> Text | None:
    """What to text, where somebody may have told of damage, of a place, or of a container.

    None of a question, and where the open question says it itself. S17: what holds the word that
    is asked for is an answer that was not clear, unless it tells of damage.
    """
    said, cycle = draft.typed, _cycle(draft, thread)
    if said is None or said.asks or is_of_no_harm(draft, thread):
        return None
    device, tag = _device(draft, thread), _container(draft, said, thread)
    is_damage = may_be_damage(said) and (not tags_in(said.words) or _is_of_one(draft, said))
    if thread and cycle and is_damage and not _is_asked_for(thread, "damaged"):
        return what_is_wrong(draft, device)
    tag = tag or _its_bath(said, cycle)
    if tag and cycle and tag == cycle.bath and _has_soaked(cycle):
        return _about_its_own_bath(tag, cycle.device)
    if tag and device:
        return _about_a_thing(tag, device)
    if thread and cycle and _may_have_been_elsewhere(draft, said, thread):
        return what_is_wrong(draft, device)
    return what_is_wrong(draft, device) if _names_a_probe(draft, said, thread) else None


def _its_bath(said: Typed, cycle: Cycle | None) -> str:
    """S4: THE STRIP WAS PATCHY, told of what it soaks or has soaked in; empty for another text."""
    if cycle is None or cycle.bath is None or {"STRIP", "STRIPS"}.isdisjoint(said.words):
        return ""
    strip = protocol_of(cycle).strip
    colours = set(fold(strip.fail_colour).split()) if strip else set()
    fails = _BAD_STRIP | (colours - {"ANY", "ALL", "OR"})
    return "" if fails.isdisjoint(said.words) else cycle.bath


def _is_of_one(draft: Draft, said: Typed) -> bool:
    """Blood in T1 is of the tub; it fell into T2 is of a probe."""
    of_a_probe = {"IT", "PROBE", *map(fold_ours, draft.clinic.devices)}
    return not of_a_probe.isdisjoint(sum(said.lines, ()))


def _names_a_probe(draft: Draft, said: Typed, thread: Thread | None) -> bool:
    """V1 COVER TORN: no list of words knows all that can be wrong with it; its name is enough.

    V1 21.5, where a figure is owed, or V1 by itself says nothing else of it.
    """
    labels, words = set(map(fold_ours, draft.clinic.devices)), sum(said.lines, ())
    if labels.isdisjoint(words) or labels.issuperset(news(words)):
        return False
    is_an_answer = any(map(is_figure, words)) or (thread and holds_its_word(draft, said, thread))
    return thread is None or not is_an_answer


def strip_in_doubt(draft: Draft, thread: Thread | None) -> Text | None:
    """S4: what may put right a strip that was just read; None beside another one's colour.

    Out 2 min early is of no strip, whatever figure stands in it.
    """
    said = draft.typed
    is_of_a_soak = said is not None and not {"OUT", "EARLY"}.isdisjoint(said.words)
    if said is None or said.asks or is_of_a_soak:
        return None
    if thread and (is_to_be_read(thread) or holds_its_word(draft, said, thread)):
        return None
    return may_be_put_right(draft.situation(thread), draft.moment)


def what_is_wrong(draft: Draft, label: str) -> Text:
    """How to say what may have been meant of that probe: by words that are taken where it is now.

    OUT is the old answer to a bell once that is over; IN T1 breaks the soak of what is in T1.
    Beside a use that has just been noted nobody is asked for it again.
    """
    device = draft.clinic.devices[label]
    cycle = draft.clinic.cycles.get(device.cycle or "")
    if device.used_at == draft.moment.now:
        return say(
            "told.unclear.after_use",
            "{device}: the use is noted. Damaged too? {fault} {device}.",
            device=label,
        )
    if awaits_release(draft.clinic, device):
        return say(
            "told.unclear.to_be_released",
            "{device} is covered and waits for {take} {device}. Nothing else is noted. Damaged? "
            "{fault} {device}. Used? {used} {device}. Moved, in doubt? {device} {word}.",
            device=label,
            word=ANSWERS["again"],
        )
    return say(
        "told.unclear",
        "About {device}: nothing is noted yet. Out too early, moved, in doubt? Text {device} "
        "{word}. In a wrong bath? {device} {in}, its tag. Damaged? {fault} {device}. Used? "
        "{used} {device}.",
        device=label,
        word=ANSWERS["again" if cycle and not _has_soaked(cycle) else "moved"],
    )


def _has_soaked(cycle: Cycle) -> bool:
    """In its bath now, or before; MOVED says nothing of a probe that was in none."""
    return cycle.contact is not None or "contact_soak" in cycle.done


def _about_a_thing(tag: str, device: str) -> Text:
    """Never TEST, which may clear what is bad, nor DISCARD, which says that it is used up."""
    if tag.startswith("S"):
        return say(
            "told.unclear.of_strips",
            "About {tag}: nothing is noted yet. Wet, old, not good, in doubt? {fault} {tag}.",
            tag=tag,
        )
    if not tag.startswith(_CAN_BE_TOPPED_UP):
        return say(
            "told.unclear.of_stock",
            "About {tag}: nothing is noted yet. Out of date, not good, in doubt? {fault} {tag}. "
            "Was {device} in it? {device} {in} {tag}.",
            tag=tag,
            device=device,
        )
    return say(
        "told.unclear.of_a_container",
        "About {tag}: nothing is noted yet. Its strip or the bath not good, or in doubt? {fault} "
        "{tag}. Topped up? {topped} {tag}. Was {device} in it? {device} {in} {tag}.",
        tag=tag,
        device=device,
    )


def _about_its_own_bath(tag: str, device: str) -> Text:
    """What soaks in it, or has, was there by right: IN would break its soak."""
    return say(
        "told.unclear.of_its_bath",
        "About {tag}: nothing is noted yet. Its strip or the bath not good, or in doubt? {fault} "
        "{tag}. Topped up? {topped} {tag}. {device} moved? {device} {moved}.",
        tag=tag,
        device=device,
    )


def command_meant(draft: Draft) -> Text | None:
    """S17: T1 TEST, POURED J1, V1 CLEAN are asked back as the command, with its name behind it."""
    said = draft.typed
    if said is None or not is_of_no_harm(draft, None):
        return None
    names = _names(draft, said)
    slugs = [
        slug
        for word in said.words
        if (slug := _COMMANDED.get(word)) and names[0].startswith(_TAKES.get(slug, names[0]))
    ]
    if len(names) != 1 or len(slugs) != 1 or (slugs == ["clean"]) == bool(TAG.fullmatch(names[0])):
        return None
    return say(
        "told.command",
        "Did you mean {word} {tag}? If so, text just that. Nothing is noted yet.",
        word=COMMANDS[slugs[0]],
        tag=names[0],
    )


def is_of_no_harm(draft: Draft, thread: Thread | None) -> bool:
    """S17: V1 IS DONE, T1 LABELLED: a name and words of no harm, where the question stays.

    Where IN, a strip's digit or another word stands beside them, it is no such text.
    """
    said = draft.typed
    if said is None or said.asks or (thread and is_to_be_read(thread)):
        return False
    names = _names(draft, said)
    others = {*said.words} - {*names}
    return bool(names and others) and _OF_NO_HARM.issuperset(others)


def _names(draft: Draft, said: Typed) -> list[str]:
    """The labels and tags in it."""
    labels = set(map(fold_ours, draft.clinic.devices))
    words = dict.fromkeys(sum(said.lines, ()))
    return [each for each in words if each in labels or TAG.fullmatch(each)]


def _device(draft: Draft, thread: Thread | None) -> str:
    """The probe that is named; else what is led here, else any, as an example.

    Of two in one text that which this part of it is addressed to.
    """
    said = draft.typed.words if draft.typed else ()
    lines = {word for line in (draft.typed.lines if draft.typed else ()) for word in line}
    cycle = _cycle(draft, thread)
    here = [*([cycle.device] if cycle else []), *draft.clinic.devices]
    for words in (said, lines):
        named = [each for each in here if fold_ours(each) in words]
        if named:
            return named[0]
    return [*here, ""][0]


def _cycle(draft: Draft, thread: Thread | None) -> Cycle | None:
    return draft.clinic.cycles.get(thread.cycle or "") if thread else None


# -- what was asked for -------------------------------------------------------------------------


def _is_asked_for(thread: Thread, slug: str) -> bool:
    step = FLOWS[thread.top.flow].step(thread.top.step)
    return step is not None and slug in step.answers


def holds_its_word(draft: Draft, said: Typed, thread: Thread) -> bool:
    """Whether a word that its open question asks for stands in the text."""
    words = draft.vocabulary(draft.person).words
    return any(
        _is_asked_for(thread, slug) for slug in words if fold_ours(words[slug]) in said.words
    )


def _container(draft: Draft, said: Typed, thread: Thread | None) -> str:
    """The first tag that nobody asked for; beside no cleaning only of what is known here."""
    tags = [*tags_in(said.words).values()]
    if _cycle(draft, thread) is None:
        tags = [each for each in tags if each in {*draft.clinic.containers, *draft.clinic.strips}]
    if thread is not None:
        tags = [each for each in tags if not _is_expected(draft, said, thread, each)]
    return tags[0] if tags else ""


def _is_expected(draft: Draft, said: Typed, thread: Thread, tag: str) -> bool:
    """Whether that tag belongs to an answer: it is what the question is about, or beside its word.

    T1 23 lacks its IN where IN is asked for.
    """
    top, cycle = thread.top, _cycle(draft, thread)
    if top.step in _ASKS_FOR_A_TAG or told_plainly(draft.situation(thread)):
        return True
    is_of_a_probe = top.flow == "cycle" and names_a_vessel(said, "IN", "INTO")
    if holds_its_word(draft, said, thread) and not is_of_a_probe:
        return True
    if cycle is None or top.flow != "cycle":
        return tag in top.memo.values()
    gives_a_figure = top.step in ASK_FOR_IT and any(map(is_figure, said.words))
    return tag == cycle.bath and (gives_a_figure or top.step == "container")


def _may_have_been_elsewhere(draft: Draft, said: Typed, thread: Thread) -> bool:
    """OUT, INTO, MOVED and the like, said in the middle of a text; a soak's questions say it."""
    is_of_a_probe = thread.top.flow == "cycle" and thread.top.step not in _SAY_IT_THEMSELVES
    is_unread = not holds_its_word(draft, said, thread) and not _is_asked_for(thread, "moved")
    return is_of_a_probe and is_unread and may_be_elsewhere(said) and not tells_of_a_lack(said)
