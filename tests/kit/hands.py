"""A worker's hands and eyes: what they know, do at the sink, and can truly say of it."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from tests.kit.bench import CONTACT, DETERGENT, STRIP_READY, Dip, Stay, Vessel
from tests.kit.carrier import Flight
from tests.kit.shift import Shift

NEVER = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(slots=True)
class Crew:
    """What the people in one room know."""

    owes: dict[str, set[int]] = field(default_factory=dict)
    """Soils that must still be owned up to, by probe."""
    broke: set[str] = field(default_factory=set)
    """Probes that have been out of the bath and back, which nobody has texted yet."""
    timed: set[str] = field(default_factory=set)
    """Probes taken out at the bell, or after 12 minutes by somebody's own timer."""
    ready: set[str] = field(default_factory=set)
    """Probes that the bot has called ready."""
    tub: dict[str, str] = field(default_factory=dict)
    """The bath of which the bot spoke last, by probe."""
    unlabelled: list[Vessel] = field(default_factory=list)
    patients: dict[str, list[str]] = field(default_factory=dict)
    """Patients since the last release, by probe."""
    uses: dict[str, set[int]] = field(default_factory=dict)
    """The same as soils."""

    def is_sorry(self, probe: str) -> bool:
        return probe in self.broke or bool(self.owes.get(probe))


@dataclass(slots=True)
class Hands:
    """One worker."""

    phone: str
    crew: Crew
    probe: str = "V1"
    read: int = 0
    answered: Flight | None = None
    answered_at: datetime = NEVER
    reply: str = ""
    told: dict[tuple[str, str], tuple[datetime, str]] = field(default_factory=dict)
    """When each step was last done on each probe, and what was texted."""
    words: list[str] = field(default_factory=list)
    """What was texted in this cleaning."""
    dips: dict[str, Dip] = field(default_factory=dict)
    seen: dict[datetime, str] = field(default_factory=dict)
    numbers: list[str] = field(default_factory=list)
    slip: str = ""
    is_brief: bool = False


# -- reading ------------------------------------------------------------------------------------


def number_in(body: str) -> str:
    found = re.search(r"\b(?:OUT|RINSED|IN) (\d\d)(?!\d|\.\d)", body)
    return found[1] if found else ""


def with_number(said: str | None, asked: str) -> str | None:
    """The word, and behind it the number with which it was asked for, if it was."""
    found = re.search(rf"\b{said} (\d\d)\b", asked) if said and said.isalpha() else None
    return f"{said} {found[1]}" if found else said


def tag_in(body: str, letter: str) -> str:
    found = re.search(rf"\b{letter}\d+\b", body)
    return found[0] if found else ""


def _bath(hands: Hands, shift: Shift, text: Flight) -> Vessel | None:
    tag = tag_in(text.body, "T") or hands.crew.tub.get(hands.probe, "")
    return shift.bench.labelled(tag)


# -- cleaning -----------------------------------------------------------------------------------


def wipes(*steps: tuple[str, int]) -> Callable[[Hands, Shift, Flight], bool]:
    def does(hands: Hands, shift: Shift, _: Flight) -> bool:
        shift.bench.out(hands.probe, shift.now)
        for what, seconds in steps:
            shift.passes(seconds)
            shift.bench.does(hands.probe, what, shift.now)
        return True

    return does


def begins(hands: Hands, shift: Shift, text: Flight) -> bool:
    """Cleaning from the start: what was owed has been told, or is of no account any more."""
    hands.words.clear()
    hands.crew.broke.discard(hands.probe)
    hands.crew.timed.discard(hands.probe)
    hands.crew.owes.pop(hands.probe, None)
    return wipes(("soap", 8))(hands, shift, text)


_ALL_WIPES = wipes(("soap", 10), ("water", 10), ("disinfectant", 5), ("water again", 70))


def under_brief(hands: Hands, shift: Shift, text: Flight) -> bool:
    begins(hands, shift, text)
    shift.bench.does(hands.probe, "looked", shift.now)
    if shift.bench.is_damaged(hands.probe):
        return True
    _ALL_WIPES(hands, shift, text)
    return under(hands, shift, text)


def under(hands: Hands, shift: Shift, _: Flight) -> bool:
    if shift.bench.is_in(hands.probe, "bath"):
        return False
    shift.passes(10)
    shift.bench.into(hands.probe, "detergent", shift.now)
    return True


def rinses(hands: Hands, shift: Shift, _: Flight) -> bool:
    """Only what comes out of the detergent; what one took out too early oneself goes back in."""
    mine = [stay for stay in shift.bench.stays if stay.probe == hands.probe]
    if not mine or mine[-1].liquid != "detergent":
        return False
    if [stay.liquid for stay in mine[-2:]] == ["detergent"] * 2 or mine[-1].ended:
        _soaks_two_minutes(hands, shift, mine[-1])
    shift.bench.out(hands.probe, shift.now)
    shift.passes(12)
    shift.bench.does(hands.probe, "rinsed", shift.now)
    return True


def _soaks_two_minutes(hands: Hands, shift: Shift, last: Stay) -> None:
    """Whoever has taken it out too early, or put it in once more, goes by their own timer."""
    ended = last.ended or shift.now
    if ended - last.began >= DETERGENT:
        return
    shift.bench.into(hands.probe, "detergent", shift.now)
    began = shift.now if last.ended else last.began
    shift.passes((began + DETERGENT - shift.now).total_seconds())


def dries(hands: Hands, shift: Shift, _: Flight) -> bool:
    if shift.bench.stay(hands.probe):
        return False
    shift.passes(8)
    shift.bench.does(hands.probe, "dried", shift.now)
    return True


def looks(hands: Hands, shift: Shift, _: Flight) -> bool:
    shift.passes(5)
    shift.bench.does(hands.probe, "looked", shift.now)
    return True


# -- the bath -----------------------------------------------------------------------------------


def immerses(hands: Hands, shift: Shift, text: Flight) -> bool:
    vessel = _bath(hands, shift, text)
    if vessel is None or hands.crew.is_sorry(hands.probe):
        return hands.crew.is_sorry(hands.probe)
    others = [s for s in shift.bench.stays if s.vessel is vessel and s.ended is None]
    if any(stay.probe != hands.probe for stay in others) and hands.slip != "crowds":
        return False
    here = shift.bench.stay(hands.probe)
    if here and here.liquid == "detergent":
        return False
    if here and here.vessel is vessel:
        return True
    if shift.bench.is_wet(hands.probe):
        dries(hands, shift, text)
    shift.passes(40 if hands.slip == "early" else 10)
    shift.bench.into(hands.probe, "bath", shift.now, vessel)
    hands.crew.timed.discard(hands.probe)
    return True


def rinses_and_dries(hands: Hands, shift: Shift, text: Flight) -> bool:
    """What IN states for somebody on brief texts; done already where it is in the bath."""
    if shift.bench.is_in(hands.probe, "bath"):
        return True
    return rinses(hands, shift, text) and dries(hands, shift, text)


def warms(hands: Hands, shift: Shift, text: Flight) -> bool:
    vessel = _bath(hands, shift, text)
    if vessel is None:
        return False
    shift.bench.out(hands.probe, shift.now)
    shift.passes(120)
    vessel.celsius, vessel.warmed = Decimal("23.5"), shift.now
    return immerses(hands, shift, text)


def takes_out(hands: Hands, shift: Shift, _: Flight) -> bool:
    if hands.crew.is_sorry(hands.probe) or not _stayed_in(hands, shift):
        return True
    if shift.bench.is_in(hands.probe, "bath"):
        shift.passes(6)
        shift.bench.out(hands.probe, shift.now)
        hands.crew.timed.add(hands.probe)
    return True


def _celsius(hands: Hands, shift: Shift, text: Flight) -> str:
    """As the thermometer shows it in the bath where the probe lies, or has lain."""
    mine = [s.vessel for s in shift.bench.stays if s.probe == hands.probe and s.vessel]
    vessel = mine[-1] if mine and shift.bench.stay(hands.probe) else _bath(hands, shift, text)
    vessel = vessel or (mine[-1] if mine else None)
    return str(vessel.celsius_at(shift.now).quantize(Decimal("0.1"))) if vessel else ""


def bears(hands: Hands, text: Flight) -> str:
    if hands.slip == "older number" and len(hands.numbers) > 1:
        return hands.numbers[-2]
    return number_in(text.body)


def says_in(hands: Hands, shift: Shift, text: Flight) -> str:
    if hands.crew.is_sorry(hands.probe):
        return "AGAIN"
    celsius = _celsius(hands, shift, text)
    return " ".join(["IN", *bears(hands, text).split(), *celsius.split()])


def says_out(hands: Hands, shift: Shift, text: Flight) -> str:
    if hands.crew.is_sorry(hands.probe) or not _stayed_in(hands, shift):
        return "AGAIN"
    measured = _celsius(hands, shift, text) if re.search(r"OUT \d\d \d", text.body) else ""
    number = bears(hands, text) or (hands.numbers[-1] if hands.numbers else "")
    return " ".join(["OUT", *number.split(), *measured.split()])


def _stayed_in(hands: Hands, shift: Shift) -> bool:
    """One who has put it in more than once trusts the bell only if their own timer agrees."""
    if hands.probe in hands.crew.timed:
        return True
    stay = shift.bench.stay(hands.probe)
    if stay is None or stay.liquid != "bath":
        return False
    return not shift.bench.was_in_before(stay) or shift.now - stay.began >= CONTACT


def says_stayed(hands: Hands, shift: Shift, _: Flight) -> str:
    sorry = hands.crew.is_sorry(hands.probe)
    return "MOVED" if sorry or shift.bench.stay(hands.probe) is None else "STAYED"


def soaks(hands: Hands, shift: Shift, _: Flight) -> str | None:
    """Nothing is asked while it is in; a slip may happen all the same."""
    stay, probe = shift.bench.stay(hands.probe), hands.probe
    if stay is None or stay.liquid != "bath":
        return None
    if hands.slip == "lifts it":
        shift.bench.out(probe, shift.now)
        shift.passes(10)
        shift.bench.into(probe, "bath", shift.now, stay.vessel)
        hands.crew.broke.add(probe)
        return None
    spans = {"own timer": CONTACT + timedelta(seconds=10), "eight minutes": timedelta(minutes=8)}
    if hands.slip not in spans:
        return None
    shift.passes(max(0.0, (stay.began + spans[hands.slip] - shift.now).total_seconds()))
    if stay.ended is None:
        shift.bench.out(probe, shift.now)
        (hands.crew.timed if shift.now - stay.began >= CONTACT else hands.crew.broke).add(probe)
    return "OUT" if hands.slip == "eight minutes" else None


# -- strips and liquids -------------------------------------------------------------------------


def dips(hands: Hands, shift: Shift, text: Flight) -> bool:
    tag = tag_in(text.body, "[TBJ]")
    vessel = shift.bench.labelled(tag)
    if vessel is None:
        return False
    shift.passes(5)
    hands.dips[tag] = Dip(vessel, shift.now, vessel.strength)
    return True


def says_dip(_: Hands, __: Shift, text: Flight) -> str:
    asked: list[str] = re.findall(r"\bDIP [JBT]\d+(?: \d\d)?\b", text.body)
    return asked[-1]


def reads_strip(hands: Hands, shift: Shift, text: Flight) -> bool:
    dip = hands.dips.get(tag_in(text.body, "[TBJ]"))
    if dip is None or dip.at in hands.seen:
        return True
    at = dip.at + STRIP_READY + timedelta(seconds=5)
    if hands.slip == "early strip":
        at -= timedelta(seconds=60)
    shift.passes(max(0.0, (at - shift.now).total_seconds()))
    hands.seen[dip.at] = shift.bench.colour(dip, at)
    return True


def says_strip(hands: Hands, _: Shift, text: Flight) -> str | None:
    dip = hands.dips.get(tag_in(text.body, "[TBJ]"))
    digits = re.search(r"(\d) all purple, (\d) any blue .*?(\d) not sure", text.body)
    if digits is None:
        return None
    seen = hands.seen.get(dip.at) if dip else None
    return digits[{"purple": 1, "blue": 2, None: 3}[seen]]


def pours(kind: str, letter: str) -> Callable[[Hands, Shift, Flight], bool]:
    def does(hands: Hands, shift: Shift, text: Flight) -> bool:
        if hands.slip == "later":
            return True
        source = shift.bench.labelled(tag_in(text.body, letter)) if letter else None
        if letter and source is None:
            return False
        shift.passes(40)
        hands.crew.unlabelled.append(shift.bench.pours(source, kind, shift.now))
        return True

    return does


def says_poured(hands: Hands, _: Shift, text: Flight) -> str:
    if hands.slip == "later" and "LATER" in text.body:
        return "LATER"
    return "FILLED" if "FILLED" in text.body else "POURED"


# -- finishing ----------------------------------------------------------------------------------


def flushes(hands: Hands, shift: Shift, _: Flight) -> bool:
    if shift.bench.stay(hands.probe):
        return False
    for _each in range(3):
        shift.passes(62)
        shift.bench.does(hands.probe, "final rinse", shift.now)
    return True


def covers(hands: Hands, shift: Shift, text: Flight) -> bool:
    if shift.bench.stay(hands.probe):
        return False
    if hands.crew.is_sorry(hands.probe):
        return True
    if shift.bench.is_wet(hands.probe):
        dries(hands, shift, text)
        looks(hands, shift, text)
    shift.passes(5)
    shift.bench.does(hands.probe, "covered", shift.now)
    return True


def finishes(hands: Hands, shift: Shift, text: Flight) -> bool:
    acts = (flushes, dries, looks, covers)
    return all(act(hands, shift, text) for act in acts)


def says_seen(well: str, ill: str) -> Callable[[Hands, Shift, Flight], str]:
    """What a look at the probe shows; a slip that is owed is told here too."""

    def says(hands: Hands, shift: Shift, _: Flight) -> str:
        if shift.bench.is_damaged(hands.probe):
            return "DAMAGED"
        return ill if ill and hands.crew.is_sorry(hands.probe) else well

    return says


def says_cover(hands: Hands, _: Shift, __: Flight) -> str:
    return f"FAULT {hands.probe}" if hands.crew.is_sorry(hands.probe) else "COVERED"


def says_codes(hands: Hands, _: Shift, __: Flight) -> str:
    return " ".join(hands.crew.patients.get(hands.probe, [])) or "NONE"
