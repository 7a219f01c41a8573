"""Which facts and commands one text holds: each line of its own, and with the name first (S7)."""

from dataclasses import dataclass, replace
from itertools import pairwise

from flows.answer.as_it_stands import without_what_stands
from flows.answer.by_name import each_by_name
from flows.answer.clauses import Spoken, clauses, is_a_fact, is_bad_news_alone
from flows.answer.draft import Draft
from flows.answer.in_one_bath import in_one_bath
from flows.answer.of_the_answer import named_by_it
from flows.catalogue import FIRST_AID
from flows.cycle.interrupt import told_plainly
from flows.replies.by_device import without_denied
from flows.replies.hurt import words_of_hurt
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.plainly import may_be_damage
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, Typed, fold_ours
from flows.words import COMMANDS

Words = tuple[str, ...]

_AROUND = POLITE | {
    *("I", "WE", "IT", "IS", "WAS", "HAS", "HAVE", "HAD", "BEEN", "JUST", "ALREADY", "THE", "A"),
    *("PROBE", "PATIENT", "ON", "WITH", "FOR", "AND", "THERE", "TODAY", "SORRY", "CODE", "NR"),
}
"""What people say around USED or FAULT that leaves it what it is."""
_SOILED = frozenset({"SOILED", "DIRTY", "BLOOD", "BLOODY", "STAINED"})
OF_A_USE = (
    _SOILED
    | _AROUND
    | {"CABLE", "HANDLE", "SOME", "BIT", "LITTLE", "VERY", "CLEANING", "NEEDS", "CLEAN"}
)
"""What is seen on a probe that has just been used, and is no damage: it is cleaned now."""
_BEFORE_IT = frozenset({"SOME", "VERY", "LITTLE", "BIT"})


_SAID_OF_THINGS = frozenset({"clean", "used"})
_THINGS = frozenset(
    {"GLOVE", "GLOVES", "TOWEL", "TOWELS", "CLOTH", "WATER", "TUB", "BATH", "BOTTLE", "BRUSH"}
    | {"COVER", "DRAPE", "DETERGENT", "SOAP", "SINK", "HANDS", "BLEACH", "DISINFECTANT", "OPA"}
)
_OF_A_PROBE = frozenset({"IT", "PROBE", "PROBES", "DEVICE", "PATIENT", "PATIENTS", "HER", "HIM"})

_KINDS = {"P": ("topped",), "B": ("in",), "O": ("out", "moved", "stained"), "D": ("damaged",)}


@dataclass(frozen=True, slots=True)
class _Ours:
    """Our words, as they are typed here."""

    commands: frozenset[str]
    used: str
    fault: str
    discard: str
    facts: frozenset[str]
    labels: frozenset[str]
    spoken: Spoken

    @classmethod
    def of(cls, draft: Draft) -> "_Ours":
        words = draft.vocabulary(draft.person).words
        commands = frozenset(fold_ours(words[slug]) for slug in COMMANDS)
        used, fault = fold_ours(words["used"]), fold_ours(words["fault"])
        labels = frozenset(map(fold_ours, draft.clinic.devices))
        discard = fold_ours(words["discard"])
        kinds = {"K": commands, "L": labels, "F": (fault,), "U": (used,)}
        kinds |= {
            letter: {fold_ours(words[slug]) for slug in slugs} for letter, slugs in _KINDS.items()
        }
        spoken = Spoken.of(kinds, map(fold_ours, words.values()))
        return cls(commands, used, fault, discard, frozenset({used, fault}), labels, spoken)


def command_of(draft: Draft, typed: Typed) -> str:
    """Which command the first word is, by its slug; empty for none."""
    words = draft.vocabulary(draft.person).words
    commands = {fold_ours(words[slug]): slug for slug in COMMANDS}
    command = commands.get(typed.words[0], "") if typed.words else ""
    return "" if command in _SAID_OF_THINGS and _is_of_a_thing(draft, typed.words[1:]) else command


def _is_of_a_thing(draft: Draft, words: Words) -> bool:
    """CLEAN GLOVES ON, USED A NEW TOWEL: of no probe, and of no patient."""
    labels = {*map(fold_ours, draft.clinic.devices)}
    may_be_of_a_probe = any(each in labels | _OF_A_PROBE or _is_code(each) for each in words)
    return not may_be_of_a_probe and not _THINGS.isdisjoint(words)


def told_apart(draft: Draft, typed: Typed) -> tuple[Typed, ...]:
    """The same text as the texts that it could have been sent as; mostly it is one.

    A line that begins no text of its own belongs to what stands above it. An answer is heard
    last: what is told beside it may contradict it.
    """
    if typed.asks or len(typed.words) <= 1:
        return (typed,)
    return without_what_stands(draft, typed, _parts(draft, typed))


def _parts(draft: Draft, typed: Typed) -> tuple[Typed, ...]:
    each_its_own = each_by_name(draft, typed)
    if each_its_own:
        return each_its_own
    ours = _Ours.of(draft)
    lines = _groups(draft, typed, ours)
    if len(lines) > 1 and not _begins(draft, lines[0], ours):
        lines[1:] = named_by_it(draft, lines[1:], lines[0], ours.facts)
    lines = [_without_denied(line, ours) for line in lines]
    each_of = (in_one_bath(draft, line) or _of_each(draft, line, ours) for line in lines)
    told = [clauses(each, ours.spoken) for several in each_of for each in several]
    facts = [
        fact
        for found, rest in told
        for fact in (named_by_it(draft, found, rest, ours.facts) if rest else found)
    ]
    groups = [*facts, *(rest for _, rest in told if rest)]
    said = [part for group in groups for part in _parted(_name_behind(group, ours), ours)]
    first = len(facts)
    if len(said) > first + 1 and not _begins(draft, said[first], ours):
        said = [*said[:first], *said[first + 1 :], said[first]]
    apart = (replace(typed, words=words) for words in _uses_together(said, ours))
    return tuple(sorted(apart, key=lambda each: not _asks_for_first_aid(draft, each)))


def _asks_for_first_aid(draft: Draft, typed: Typed) -> bool:
    """S20: it comes before whatever else was told with it."""
    return command_of(draft, typed) in FIRST_AID or bool(words_of_hurt(typed))


def begins_anew(draft: Draft, typed: Typed) -> bool:
    """Whether it is a command, or tells something of a probe or a bath: no mere answer."""
    ours = _Ours.of(draft)
    return _begins(draft, typed.words, ours) or is_a_fact(typed.words, ours.spoken)


def _without_denied(line: Words, ours: _Ours) -> Words:
    """USED V1 0412, NOT V2: of V2 nothing is told; where nothing is left, as it stands."""
    if ours.facts.isdisjoint(line):
        return line
    left = without_denied(line, ours.labels.__contains__)
    is_told = not ours.labels.isdisjoint(left) and not ours.facts.isdisjoint(left)
    return left if is_told else line


def _groups(draft: Draft, typed: Typed, ours: _Ours) -> list[Words]:
    groups: list[Words] = []
    for line in _lines_said(typed):
        if groups and not (_begins(draft, line, ours) or is_bad_news_alone(line, ours.spoken)):
            groups[-1] += line
        else:
            groups.append(line)
    return groups


def _lines_said(typed: Typed) -> list[Words]:
    """Its lines, a signature apart."""
    count, said = 0, []
    for line in typed.lines:
        if count < len(typed.words):
            said.append(line)
        count += len(line)
    return said


def _begins(draft: Draft, line: Words, ours: _Ours) -> bool:
    if _name_behind(line, ours)[0] in ours.commands:
        return True
    said = replace(draft.situation(), typed=Typed(" ".join(line), (line,), line))
    return not ours.labels.isdisjoint(line) and told_plainly(said) is not None


def _name_behind(words: Words, ours: _Ours) -> Words:
    """USED V1 0412 for V1 USED 0412, or I USED V1 ON 0412: what is told is the same."""
    if words[-1] in {ours.discard, ours.fault} and all(map(TAG.fullmatch, words[:-1])):
        return (words[-1], *words[:-1])
    at = next((n for n, word in enumerate(words) if word in ours.facts), None)
    if at is None or words[0] in ours.commands - ours.facts:
        return words
    may_be_of_a_tag = words[at] == ours.fault and any(map(TAG.fullmatch, words))
    if ours.labels.isdisjoint(words) and not may_be_of_a_tag:
        return words
    before, after = words[:at], words[at + 1 :]
    if not all(_may_stand_before(word, words[at], ours) for word in before):
        return words
    names = _joined(before, ours)
    rest = tuple(word for word in before if word not in ours.labels | _AROUND)
    told = (*names, *rest, *after)
    return (words[at], *(_codes_alone(told, ours) if words[at] == ours.used else told))


def _may_stand_before(word: str, fact: str, ours: _Ours) -> bool:
    return word in ours.labels | _AROUND or (fact == ours.used and _is_code(word))


def _is_code(word: str) -> bool:
    return isinstance(patient_code([word]), PatientCode)


def _codes_alone(words: Words, ours: _Ours) -> Words:
    """ON PATIENT 0412: without what stands around it, where nothing else was said.

    A letter by itself may be part of a code.
    """
    kept = [each for each in pairwise((*words, "")) if not _is_around(*each, ours)]
    told = tuple(word for word, _ in kept)
    is_clear = all(
        word in ours.labels | {"AND"} or len(word) == 1 or _is_code(word) for word in told
    )
    return told if is_clear else words


def _is_around(word: str, after: str, ours: _Ours) -> bool:
    """V1 AND V2 0412 is another text than V1 V2 0412."""
    joins = word == "AND" and after in ours.labels
    return word in _AROUND and len(word) > 1 and not joins


def _joined(words: Words, ours: _Ours) -> Words:
    """The names among them, and AND between two."""
    names = tuple(word for word in words if word in ours.labels)
    joins = len(names) > 1 and "AND" in words
    return tuple(sum(((each, "AND") for each in names), ())[:-1]) if joins else names


# -- several facts on one line ------------------------------------------------------------------


def _of_each(draft: Draft, words: Words, ours: _Ours) -> list[Words]:
    """V1 V2 DAMAGED is told of both; of a soak or a bath it may be of one of them."""
    labels = [word for word in dict.fromkeys(words) if word in ours.labels]
    bare = tuple(dict.fromkeys(word for word in words if word not in ours.labels | {"AND"}))
    if len(labels) <= 1 or not bare:
        return [words]
    said = replace(draft.situation(), typed=Typed(" ".join(bare), (bare,), bare))
    is_of_both = told_plainly(said) in {"damaged", "stained"}
    return [(label, *bare) for label in labels] if is_of_both else [words]


def _parted(words: Words, ours: _Ours) -> list[Words]:
    """USED V1 0412 FAULT V1 is two facts; FAULT alone at the end is of what was named last."""
    if words[0] not in ours.facts:
        return [words]
    starts = [at for at in range(len(words)) if at == 0 or _is_another(words, at, ours)]
    parts: list[Words] = []
    for start, end in pairwise([*starts, len(words)]):
        part = words[start:end]
        if words[0] == ours.used and start and _is_of_a_use(part):
            parts[-1] = _until(parts[-1])
            continue
        named = [word for word in words[:start] if word in ours.labels][-1:]
        is_named = start == 0 or _names_its_own(part, ours)
        parts.append(part if is_named else _named(part, named, ours))
    return parts


def _until(part: Words) -> Words:
    """USED V1 0412 SOME BLOOD: without what belongs to what is let be."""
    while part and part[-1] in _BEFORE_IT:
        part = part[:-1]
    return part


def _is_of_a_use(part: Words) -> bool:
    return not _SOILED.isdisjoint(part) and OF_A_USE.issuperset(part)


def _names_its_own(part: Words, ours: _Ours) -> bool:
    """FAULT T1 beside USED V1 0412 is of the tub."""
    return not ours.labels.isdisjoint(part) or any(map(TAG.fullmatch, part[1:2]))


def _named(part: Words, label: list[str], ours: _Ours) -> Words:
    return (part[0], *label, *part[1:]) if part[0] in ours.facts else (*label, *part)


def _is_another(words: Words, at: int, ours: _Ours) -> bool:
    """A fact of its own, or what may be damage: USED V1 0412 CRACKED."""
    if words[0] == ours.used and may_be_damage(Typed("", (), (words[at],))):
        return True
    if words[at] not in ours.facts:
        return False
    after = words[at + 1 : at + 2]
    is_of_a_patient = words[at] == ours.used and any(map(_is_code, after))
    is_named = any(each in ours.labels or TAG.fullmatch(each) for each in after)
    return not after or is_named or is_of_a_patient


def _uses_together(said: list[Words], ours: _Ours) -> list[Words]:
    """S16: uses are told as one, so that their codes are asked for one by one.

    They come before a fault that is told with them: it was found in that use, or after it.
    """
    uses = [each for each in said if each[0] == ours.used and not ours.labels.isdisjoint(each)]
    if not uses:
        return said
    first = next(at for at, each in enumerate(said) if each[0] in ours.facts)
    together = (ours.used, *(word for each in uses for word in each[1:]))
    before, behind = said[:first], said[first:]
    return [*before, together, *(each for each in behind if each not in uses)]
