"""S1, once more and on its own: what the raw events of a cycle must show before a release.

Written from the rule, not from the code that enforces it: nothing of `flows.rules` is used.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

from flows.parts import events as e
from flows.parts.clinic import Clinic, Kind
from flows.parts.events import Event, Stamped
from flows.walk import Room


@dataclass(frozen=True)
class Published:
    """What a product's soak and strip are held to."""

    contact: timedelta
    coldest: Decimal
    strip_from: timedelta
    strip_until: timedelta
    activated: bool = False
    hottest: Decimal | None = None
    evidence: frozenset[str] = frozenset()
    """What takes a strip's place, where there is none."""


PUBLISHED = {
    "opa_055": Published(
        timedelta(minutes=12), Decimal(20), timedelta(seconds=90), timedelta(seconds=121)
    ),
    "ga_30": Published(
        timedelta(minutes=25),
        Decimal(25),
        timedelta(seconds=120),
        timedelta(seconds=152),
        activated=True,
    ),
    "hp_75": Published(
        timedelta(minutes=30), Decimal(20), timedelta(minutes=15), timedelta(seconds=931)
    ),
    "chlorine_01": Published(
        timedelta(minutes=20),
        Decimal(20),
        timedelta(0),
        timedelta(0),
        hottest=Decimal(30),
        evidence=frozenset(
            {
                "source_in_date",
                "source_strength_read",
                "amounts_measured",
                "water_boiled_and_cooled",
                "clear_when_used",
                "mixed_today",
                "used_once",
            }
        ),
    ),
}
"""OPA 0.55 %: CDC/HICPAC 2008, Table 4; its strip from memory, product instructions: dip 1 s,
read after 90 s, within 30 s. Glutaraldehyde 3.0 %: FDA 510(k) K974062, 1998; its strip K172472,
2017: dip 2 s, read at 120 s. Hydrogen peroxide 7.5 %: CDC/HICPAC 2008, Table 4; its strip
K972035, 1997: read 15 min after immersion. Dip 1 s and within 30 s: common practice. Chlorine
0.1 %: Reference Manual hosted by the IARC Screening Group, Table C-1, 20 min, boiled water; its
20 C, its 30 C, and one use, are common practice, none published."""

STRAIGHT_BACK = timedelta(minutes=5)
NEAR = Decimal(2)
WET = timedelta(minutes=1)
DETERGENT = timedelta(minutes=2)
LONGEST = timedelta(minutes=60)
"""Source of these: common practice, none published."""

WASHED = ("wipe_detergent", "wipe_water", "wipe_disinfectant", "wipe_rinse", "mix", "under")
BEFORE_IN = (*WASHED, "rinse", "dry", "container")
AFTER_OUT = ("final_rinse", "final_dry", "final_inspect", "cover")


@dataclass
class Found:
    """What the events of one cycle have shown so far, the clock's own jumps taken off."""

    device: str
    inspected: bool = False
    done: dict[str, datetime] = field(default_factory=dict)
    under_since: datetime | None = None
    washed: bool = False
    bath: str = ""
    bath_since: datetime | None = None
    into: tuple[datetime, e.Immersed] | None = None
    jumped: timedelta = timedelta(0)
    out: tuple[datetime, e.TakenOut] | None = None
    spoilt: list[str] = field(default_factory=list)
    broke: datetime | None = None
    was_in: list[str] = field(default_factory=list)
    """Every liquid it has been in since it was last cleaned from the start, soak or none."""
    soaked_in: list[str] = field(default_factory=list)

    def again(self) -> None:
        """Cleaned from the start: only the inspection still counts."""
        self.done, self.washed, self.under_since = {}, False, None
        self.bath, self.bath_since, self.into, self.out = "", None, None, None
        self.broke, self.was_in, self.soaked_in = None, [], []


def found(entries: Sequence[Stamped], cycle: str, device: str) -> Found:
    """Read the whole record, cycle by cycle, for what it says of one."""
    seen = Found(device)
    for each in entries:
        event = each.event
        if getattr(event, "cycle", None) == cycle:
            _of_cycle(seen, each.at, event)
        elif getattr(event, "device", None) == device:
            _of_device(seen, event)
        elif isinstance(event, e.ClockStepped) and seen.out is None:
            seen.jumped += max(event.step, timedelta(0))
    return seen


def _of_device(seen: Found, event: Event) -> None:
    if isinstance(event, e.DeviceUsed | e.UseWithoutCode) and not event.ready:
        seen.spoilt.append("used meanwhile")
    if isinstance(event, e.Quarantined):
        seen.spoilt.append("quarantined")


def _of_cycle(seen: Found, at: datetime, event: Event) -> None:
    if isinstance(event, e.CycleBegan):
        seen.spoilt.clear()
        if event.for_repair:
            seen.spoilt.append("for repair")
    elif isinstance(event, e.CleaningRestarted):
        seen.again()
    elif isinstance(event, e.StepDone):
        seen.done[event.what] = at
        seen.inspected |= event.what == "inspect"
    elif isinstance(event, e.DetergentSoakBegan):
        seen.under_since, seen.jumped = at, timedelta(0)
    elif isinstance(event, e.DetergentSoakEnded):
        since = seen.under_since or at
        seen.washed |= min(event.lasted, at - since - seen.jumped) >= DETERGENT
    elif isinstance(event, e.CycleAbandoned | e.CycleVoided):
        seen.spoilt.append("ended")
    else:
        _of_soak(seen, at, event)


def _of_soak(seen: Found, at: datetime, event: Event) -> None:
    if isinstance(event, e.BathChosen):
        if event.bath != seen.bath:
            seen.bath_since = at
        seen.bath = event.bath
    elif isinstance(event, e.SoakBroken):
        seen.into = seen.out = None
        seen.broke = at
    elif isinstance(event, e.PutInBath):
        seen.was_in.append(event.bath)
        seen.broke = None
    elif isinstance(event, e.Immersed):
        if seen.broke and at - seen.broke - seen.jumped > STRAIGHT_BACK:
            seen.spoilt.append("out too long")
        seen.broke = None
        seen.was_in.append(event.bath)
        seen.soaked_in.append(event.bath)
        seen.into, seen.out, seen.jumped = (at, event), None, timedelta(0)
    elif isinstance(event, e.TakenOut):
        seen.out = (at, event)


Check = Callable[[Found, Sequence[Stamped]], list[str]]


def problems(entries: Sequence[Stamped], cycle: str, device: str) -> list[str]:
    """Why this cycle has not earned a release, by the raw events; empty where it has."""
    seen = found(entries, cycle, device)
    said = list(seen.spoilt)
    said += [] if seen.inspected else ["not inspected"]
    said += [f"no {what}" for what in (*BEFORE_IN, *AFTER_OUT) if what not in seen.done]
    said += [] if seen.washed else ["detergent"]
    said += _wiped(entries, cycle) if "wipe_disinfectant" in seen.done else []
    if seen.into is None or seen.out is None:
        return [*said, "no soak"]
    held_to = _published(seen, entries)
    bath = _bath(seen, entries, held_to)
    return [*said, *_soak(seen, held_to), *bath, *_elsewhere(seen, entries), *_order(seen)]


def _elsewhere(seen: Found, entries: Sequence[Stamped]) -> list[str]:
    """A broken soak goes on in its own bath alone, and in no liquid but the right one."""
    assert seen.into
    poured = [each.event for each in entries if isinstance(each.event, e.Poured)]
    holds = {each.tag: each.product for each in poured}
    own = holds.get(seen.into[1].bath)
    return [
        *(["soaked in two baths"] if len(set(seen.soaked_in)) > 1 else []),
        *(["was in another liquid"] if any(holds.get(tag) != own for tag in seen.was_in) else []),
    ]


def _published(seen: Found, entries: Sequence[Stamped]) -> Published:
    """What the liquid that it went into is held to."""
    assert seen.into
    into = seen.into[1]
    poured = [each.event for each in entries if isinstance(each.event, e.Poured)]
    filled = [each.product for each in poured if each.tag == into.bath]
    return PUBLISHED[filled[-1] if filled else "opa_055"]


def _wiped(entries: Sequence[Stamped], cycle: str) -> list[str]:
    """Handle and cable: with what was good then, and as long as it was left wet."""
    stated = [
        (place, each.at, each.event.container)
        for place, each in enumerate(entries)
        if isinstance(each.event, e.StepDone)
        and (each.event.cycle, each.event.what) == (cycle, "wipe_disinfectant")
    ]
    place, at, tag = stated[-1]
    before = [each.event for each in entries[:place]]
    made = [
        (nth, each)
        for nth, each in enumerate(before)
        if isinstance(each, e.JugOpened | e.Poured | e.Mixed) and each.tag == tag
    ]
    if not made:
        return ["wiped with nobody knows what"]
    nth, container = made[-1]
    mixed = container.strength if isinstance(container, e.Mixed) else ""
    needs = not mixed and PUBLISHED[container.product].activated
    line = {tag, container.source if isinstance(container, e.Poured) else tag}
    return [
        *([] if at + WET < container.discard_by else ["wiped with what is out of date"]),
        *(["wiped with what may not be used"] if _is_spoilt(before[nth:], tag) else []),
        *(["wiped with what is recalled"] if _is_recalled(before, container) else []),
        *([] if _activated(before) & line or not needs else ["wiped, not active"]),
        *([] if mixed in {"", "0.1 %"} else ["wiped with what is mixed for something else"]),
        *(["wiped with bleach"] if container.product.startswith("chlorine_") else []),
        *(["wiped with a bath"] if getattr(container, "kind", "") == Kind.BATH else []),
    ]


def _is_spoilt(events: Sequence[Event], tag: str) -> bool:
    """Whether it has been thrown away, condemned, or held and not freed by a strip of its own."""
    spoilt = False
    for each in events:
        if isinstance(each, e.ContainerDiscarded | e.ContainerCondemned | e.ContainerHeld):
            spoilt |= each.tag == tag
        elif isinstance(each, e.StripRead) and (each.container, each.outcome) == (tag, "pass"):
            spoilt = False
    return spoilt


def _is_recalled(events: Sequence[Event], container: e.JugOpened | e.Poured | e.Mixed) -> bool:
    marks = [each.mark for each in events if isinstance(each, e.Recalled) and each.what == "lot"]
    return container.lot in marks


def _activated(events: Sequence[Event]) -> set[str]:
    return {each.tag for each in events if isinstance(each, e.JugActivated)}


def _soak(seen: Found, held_to: Published) -> list[str]:
    assert seen.into
    assert seen.out
    (began, into), (ended, out) = seen.into, seen.out
    real = ended - began - seen.jumped
    warm_out = out.celsius is not None and out.celsius >= held_to.coldest
    measured = warm_out or (out.celsius is None and into.celsius > held_to.coldest + NEAR)
    hottest = max(into.celsius, out.celsius or into.celsius)
    long = real > LONGEST and "inspect_after" not in seen.done
    return [
        *([] if min(real, out.lasted) >= held_to.contact else ["contact time"]),
        *([] if out.number == into.number else ["another number"]),
        *([] if into.celsius >= held_to.coldest and measured else ["too cold"]),
        *([] if held_to.hottest is None or hottest <= held_to.hottest else ["too hot"]),
        *(["too long and not inspected"] if long else []),
    ]


def _bath(seen: Found, entries: Sequence[Stamped], held_to: Published) -> list[str]:
    """In date, passed by a strip that no other soak has used, and never condemned or held."""
    assert seen.into
    assert seen.out
    (began, into), (ended, out) = seen.into, seen.out
    before = [each.event for each in entries if each.at <= began]
    read = [each for each in before if isinstance(each, e.StripRead)]
    own = [each for each in read if each.test == into.strip_test and each.container == into.bath]
    filled = [each for each in before if isinstance(each, e.Poured) and each.tag == into.bath]
    gone = {each.tag for each in before if isinstance(each, e.ContainerDiscarded)}
    others = [
        each
        for each in before
        if isinstance(each, e.Immersed)
        and each.strip_test == into.strip_test
        and each.device != seen.device
    ] + _others_in_it_since(seen, entries, own)
    active = _activated(before)
    strips = [
        *([] if own and own[-1].outcome == "pass" else ["no strip"]),
        *([] if own and began < (own[-1].good_until or began) else ["no strip any more"]),
        *(
            []
            if own and _was_read_in_time(own[-1], entries, held_to)
            else ["strip not read in time"]
        ),
        *(["strip of another soak"] if others else []),
    ]
    return [
        *(_without_strip(seen, before, held_to) if held_to.evidence else strips),
        *([] if filled and ended <= filled[-1].discard_by else ["out of date"]),
        *([] if not held_to.activated or active else ["never activated"]),
        *(["topped up"] if filled and filled[-1].topped_up else []),
        *(["thrown away"] if into.bath in gone else []),
        *([] if into.bath == out.bath == seen.bath else ["another bath"]),
    ]


def _others_in_it_since(
    seen: Found, entries: Sequence[Stamped], own: Sequence[e.StripRead]
) -> list[e.PutInBath]:
    """Who was put in by mistake between the strip and the soak: the strip is from before that."""
    assert seen.into
    began, into = seen.into
    read = next((each.at for each in entries if own and each.event == own[-1]), began)
    return [
        each.event
        for each in entries
        if isinstance(each.event, e.PutInBath)
        and each.event.bath == into.bath
        and each.event.device != seen.device
        and read <= each.at <= began
    ]


def _without_strip(seen: Found, before: list[Event], held_to: Published) -> list[str]:
    """All that takes a strip's place, of a bath that nothing else has been in."""
    assert seen.into
    bath = seen.into[1].bath
    stated = [each for each in before if isinstance(each, e.EvidenceStated) and each.bath == bath]
    soaks = [each for each in before if isinstance(each, e.Immersed) and each.bath == bath]
    others = [each for each in before if isinstance(each, e.PutInBath) and each.bath == bath]
    into = [*soaks, *(each for each in others if each.device != seen.device)]
    return [
        *([] if stated and held_to.evidence <= set(stated[-1].stated) else ["evidence"]),
        *([] if len(into) == 1 else ["a bath used twice"]),
    ]


def _was_read_in_time(read: e.StripRead, entries: Sequence[Stamped], held_to: Published) -> bool:
    """All of the good colour, and seen in its window, by the entries' own times."""
    dipped = [
        each.at
        for each in entries
        if isinstance(each.event, e.StripDipped) and each.event.test == read.test
    ]
    at = next(each.at for each in entries if each.event == read)
    jumps = [
        each.event.step
        for each in entries
        if isinstance(each.event, e.ClockStepped) and dipped and dipped[-1] <= each.at <= at
    ]
    age = at - dipped[-1] - sum((max(step, timedelta(0)) for step in jumps), timedelta(0))
    return read.seen == "pass" and held_to.strip_from <= age <= held_to.strip_until


def _order(seen: Found) -> list[str]:
    assert seen.into
    assert seen.out
    began, ended = seen.into[0], seen.out[0]
    early = [what for what in AFTER_OUT if seen.done.get(what, ended) < ended]
    late = [what for what in ("dry", "container") if seen.done.get(what, began) > began]
    tub = seen.done.get("container", began)
    return [
        *(f"{what} before OUT" for what in early),
        *(f"{what} after IN" for what in late),
        *(["the tub of another bath"] if seen.bath_since and tub < seen.bath_since else []),
    ]


def contradictions(room: Room) -> frozenset[str]:
    """What speaks against the cycles now open, so that a walk tells such moments apart."""
    return frozenset(
        problem
        for cycle in room.clinic.cycles.values()
        for problem in problems(room.entries, cycle.id, cycle.device)
        if not problem.startswith("no ")
    )


def open_cycles(clinic: Clinic) -> tuple[str, ...]:
    return tuple(clinic.cycles)
