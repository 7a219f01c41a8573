"""Every flow as it is walked, on one page of pictures: FLOWS.md."""

from collections.abc import Iterator

from flows.catalogue import FLOWS
from flows.draw import END, OPENED, Arrow, page
from flows.parts.clinic import Clinic, Level, Thread
from flows.protocols.model import Selection
from flows.walk import Bells, Chance, Edge, Setting, Text, walk
from flows.walk.likeness import step_of
from flows.words import ANSWERS, COMMANDS, ENGLISH

SETTINGS = (
    Setting(),
    Setting(level=Level.BRIEF, stocked=False, may_release=False),
    Setting(
        level=Level.BRIEF,
        stocked=False,
        selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"),
    ),
    Setting(
        level=Level.BRIEF,
        stocked=False,
        selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"),
    ),
)
"""Between them these walks ask every question."""

SPOKEN = {
    "strip_test/read": "a colour",
    "containers/jug": "a date",
    "containers/jug_lot": "a lot",
    "containers/activate": "a date",
    "containers/single_use": "a strength",
    "containers/to_wipe": "a strength",
    "containers/single_use_mixed": "an amount",
    "containers/to_wipe_mixed": "an amount",
    "containers/strips": "a date",
    "containers/topped": "a tag",
    "containers/strips_lot": "a lot",
    "cycle/codes": "codes",
    "use/code": "a code",
}
"""How an answer is called that is no word of the table."""

UNSPOKEN = "..."

BEGIN = frozenset(
    ENGLISH.word(slug) for slug in ("clean", "open", "pour", "mix", "test", "used", "lift", "take")
)
"""Commands that open a conversation."""

TAKE = ENGLISH.word("take")

AT_ANY_TIME = frozenset(ENGLISH.word(slug) for slug in COMMANDS) - BEGIN


def drawn() -> str:
    """FLOWS.md as it should be."""
    return page(FLOWS, [arrow for setting in SETTINGS for arrow in arrows(setting)])


def arrows(setting: Setting) -> Iterator[Arrow]:
    """Every way that is gone from one question to another."""
    for edge in walk(setting.opened(), 1, worth=_is_drawn):
        yield from _of(edge)


def _is_drawn(chance: Chance) -> bool:
    """Answers, commands that begin something where nothing is open, and bells in time."""
    if isinstance(chance.input, Text):
        words = chance.input.body.split()
        return words[:1] not in [[word] for word in AT_ANY_TIME]
    return chance.input == Bells()


def _of(edge: Edge) -> Iterator[Arrow]:
    label = _label(edge)
    before, after = edge.before.clinic, edge.after().clinic
    for thread in before.threads.values():
        if label and label not in BEGIN and _answered(edge, thread, before, after):
            now = after.threads.get(thread.id)
            said = SPOKEN.get(step_of(thread), label) if label == UNSPOKEN else label
            yield Arrow(step_of(thread), step_of(now) if now else END, said)
    for new in after.threads.keys() - before.threads.keys():
        if label in BEGIN and (label == TAKE or not before.threads):
            yield Arrow(OPENED, step_of(after.threads[new]), label)


def _answered(edge: Edge, thread: Thread, before: Clinic, after: Clinic) -> bool:
    """Whether it was this conversation that went on, by its own answer or its own bell."""
    now = after.threads.get(thread.id)
    moved = now is None or now.question != thread.question
    if isinstance(edge.input, Text):
        latest = max(
            (each for each in before.threads.values() if each.phone == edge.input.phone),
            key=lambda each: each.asked_at,
            default=None,
        )
        return moved and latest is not None and latest.id == thread.id
    return moved


def _label(edge: Edge) -> str:
    """The word that was said, or the bell that rang; dots for what has another name."""
    if not isinstance(edge.input, Text):
        bell = edge.before.first_bell()
        return "" if bell.kind == "nudge" else f"bell: {bell.kind}"
    words = [each for each in edge.input.body.split() if each not in edge.before.clinic.devices]
    known = {ENGLISH.word(slug) for slug in ANSWERS} | BEGIN
    return next((word for word in words[:1] if word in known), UNSPOKEN)
