"""S1, S8, S9: what earns a release, what ends it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from flows.calculations.calendar import end_of_day, local_day
from flows.calculations.hours import is_open_over_midnight, open_on
from flows.parts.clinic import Device, Person, Site, Standing
from flows.parts.events import (
    BathChosen,
    CleaningRestarted,
    DetergentSoakEnded,
    EvidenceStated,
    Immersed,
    SoakBroken,
    Stamped,
    StepDone,
    TakenOut,
)
from flows.protocols.model import Cover, CycleProtocol
from flows.rules.soak import contact_time, limit_missed, must_measure_again
from flows.rules.strip import BATH_BEFORE_EACH_USE

BEFORE_THE_SOAK = (
    "wipe_detergent",
    "wipe_water",
    "wipe_disinfectant",
    "wipe_rinse",
    "mix",
    "under",
    "rinse",
    "dry",
    "container",
)
AFTER_THE_SOAK = ("final_rinse", "final_dry", "final_inspect", "cover")
"""S1: the acts a release needs, in this very cycle. The order is partial: bath, strip and
temperature may be prepared while the probe is in the detergent."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """A cycle's own entries since it was last cleaned from the start."""

    inspected: bool
    entries: tuple[Stamped, ...]

    def at(self, what: str) -> datetime | None:
        """When the act was last stated."""
        times = [at for at, step in self._stated() if step.what == what]
        return times[-1] if times else None

    def is_covered(self, what: str) -> bool:
        """Whether it was stated with the answer to a later step."""
        return any(step.what == what and step.stated_with for _, step in self._stated())

    def _stated(self) -> list[tuple[datetime, StepDone]]:
        return [(each.at, each.event) for each in self.entries if isinstance(each.event, StepDone)]


def evidence(history: Iterable[Stamped]) -> Evidence:
    """What of a cycle's *history* counts."""
    inspected = False
    since: list[Stamped] = []
    for each in history:
        if isinstance(each.event, CleaningRestarted):
            since = []
            inspected = inspected and not each.event.inspect_again
        if isinstance(each.event, StepDone) and each.event.what == "inspect":
            inspected = True
        since.append(each)
    return Evidence(inspected, tuple(since))


def what_is_missing(
    history: Iterable[Stamped], protocol: CycleProtocol, now: datetime
) -> tuple[str, ...]:
    """S1: what this cycle's entries do not prove, in the order of the work; nothing is earned.

    *protocol* is the stricter of the one it began with and today's. The rows are never asked.
    """
    seen = evidence(history)
    missing = [] if seen.inspected else ["inspect"]
    missing += [what for what in BEFORE_THE_SOAK if seen.at(what) is None]
    missing += _wet_long_enough(seen, protocol)
    missing += _detergent(seen, protocol)
    missing += _soak(seen, protocol)
    missing += [what for what in AFTER_THE_SOAK if not _after_the_soak(seen, what, now)]
    missing += _rinsed_long_enough(seen, protocol)
    return tuple(missing)


def _wet_long_enough(seen: Evidence, protocol: CycleProtocol) -> list[str]:
    """The disinfectant left wet for its wipe time; on brief texts one answer states both ends."""
    wet, wiped = seen.at("wipe_disinfectant"), seen.at("wipe_rinse")
    if wet is None or wiped is None or seen.is_covered("wipe_rinse"):
        return []
    return [] if wiped - wet >= protocol.chemistry.wipe_wet_time else ["wipe_wet_time"]


def _rinsed_long_enough(seen: Evidence, protocol: CycleProtocol) -> list[str]:
    """The final rinses, number times time of each, fit between OUT and what states them."""
    _, out = last_soak(seen)
    rinsed = seen.at("final_rinse")
    if out is None or rinsed is None:
        return []
    least = protocol.chemistry.rinse_count * protocol.chemistry.rinse_each_for
    return [] if rinsed - out[0] >= least else ["final_rinse_time"]


def _detergent(seen: Evidence, protocol: CycleProtocol) -> list[str]:
    soaked = any(
        isinstance(each.event, DetergentSoakEnded)
        and each.event.lasted >= protocol.detergent.soak_for
        for each in seen.entries
    )
    return [] if soaked else ["detergent_soak"]


def last_soak(
    seen: Evidence,
) -> tuple[tuple[datetime, Immersed] | None, tuple[datetime, TakenOut] | None]:
    """The IN and the OUT that belong together, with no break between or after them; or None."""
    into: tuple[datetime, Immersed] | None = None
    out: tuple[datetime, TakenOut] | None = None
    for each in seen.entries:
        if isinstance(each.event, SoakBroken):
            into, out = None, None
        if isinstance(each.event, Immersed):
            into, out = (each.at, each.event), None
        if isinstance(each.event, TakenOut):
            out = (each.at, each.event)
    return into, out


def _soak(seen: Evidence, protocol: CycleProtocol) -> list[str]:
    into, out = last_soak(seen)
    if into is None or out is None:
        return ["contact_soak"]
    (began, immersed), (_, taken) = into, out
    return [
        *_contact(began, immersed, taken, protocol),
        *_in_one_bath(seen),
        *_bath(began, immersed, taken, protocol),
        *_evidence_of(seen, immersed, protocol),
        *_temperature(immersed, taken, protocol),
        *_dry_before(seen, began),
        *_tub(seen, immersed.bath),
        *([] if (seen.at("gloves") or began) > began else ["gloves"]),
        *_after_too_long(seen, taken, protocol),
    ]


def _after_too_long(seen: Evidence, taken: TakenOut, protocol: CycleProtocol) -> list[str]:
    """S12: what was in past the maximum is inspected after its soak."""
    over = taken.over_maximum or taken.lasted > protocol.maximum_soak
    return ["inspect_after"] if over and seen.at("inspect_after") is None else []


def _contact(
    began: datetime, immersed: Immersed, taken: TakenOut, protocol: CycleProtocol
) -> list[str]:
    proved = min(taken.lasted, taken.ended - began)
    owed = contact_time(protocol, immersed.celsius, taken.celsius)
    return [] if proved >= owed else ["contact_soak"]


def _in_one_bath(seen: Evidence) -> list[str]:
    """S3: a soak that broke goes on in its own bath, or after another cleaning."""
    baths = {each.event.bath for each in seen.entries if isinstance(each.event, Immersed)}
    return [] if len(baths) == 1 else ["straight_back"]


def _bath(
    began: datetime, immersed: Immersed, taken: TakenOut, protocol: CycleProtocol
) -> list[str]:
    """The bath in date at IN and at OUT, and passed by a strip whose pass was still good."""
    in_date = began < immersed.bath_discard_by and taken.ended < taken.bath_discard_by
    same = immersed.bath == taken.bath
    passed = began < immersed.strip_good_until and _is_its_own(immersed, protocol)
    return [
        *([] if in_date and same else ["bath"]),
        *([] if passed else ["strip"]),
    ]


def _is_its_own(immersed: Immersed, protocol: CycleProtocol) -> bool:
    """S4: that of the bottle it was poured from counts only where the bottle is what is tested."""
    of_the_bottle = immersed.strip_in not in {"", immersed.bath}
    return not (of_the_bottle and protocol.strip_policy == BATH_BEFORE_EACH_USE)


def _evidence_of(seen: Evidence, immersed: Immersed, protocol: CycleProtocol) -> list[str]:
    """S4: without a strip, all that takes its place, stated of this very bath."""
    stated = {
        slug
        for each in seen.entries
        if isinstance(each.event, EvidenceStated) and each.event.bath == immersed.bath
        for slug in each.event.stated
    }
    return [] if stated >= set(protocol.chemistry.single_use_evidence) else ["evidence"]


def _temperature(immersed: Immersed, taken: TakenOut, protocol: CycleProtocol) -> list[str]:
    """Within the limits at IN; at OUT wherever it was measured, and where it had to be."""
    measured = [each for each in (immersed.celsius, taken.celsius) if each is not None]
    owed = taken.celsius is None and must_measure_again(immersed.celsius, protocol)
    missed = owed or any(limit_missed(each, protocol) is not None for each in measured)
    return ["temperature"] if missed else []


def _dry_before(seen: Evidence, began: datetime) -> list[str]:
    """Water dilutes the bath: dry, and the container too, stated before this very IN."""
    late = [what for what in ("dry", "container") if (seen.at(what) or began) > began]
    return [f"{what}_before" for what in late]


def _tub(seen: Evidence, bath: str) -> list[str]:
    """The container stated for this very bath, not for one that was chosen before it."""
    chosen = None
    for each in seen.entries:
        if isinstance(each.event, BathChosen):
            chosen = (chosen or each.at) if each.event.bath == bath else None
    stated = seen.at("container")
    return ["container"] if chosen and stated and stated < chosen else []


def _after_the_soak(seen: Evidence, what: str, now: datetime) -> bool:
    _, out = last_soak(seen)
    done = seen.at(what)
    return out is not None and done is not None and out[0] <= done <= now


def may_release(person: Person | None) -> bool:
    """S1: by a person who may release."""
    return person is not None and person.may_release


def good_until(cover: Cover, released: datetime, site: Site) -> datetime:
    """S9: the end of the cover's hang time; without one, today's closing, or midnight after it.

    A day that goes on over midnight closes tomorrow.
    """
    if cover.hang_time is not None:
        return released + cover.hang_time
    zone = ZoneInfo(site.zone)
    today = local_day(released, zone)
    opening, closing = open_on(site, today)
    if is_open_over_midnight(site) and released >= opening:
        return closing
    closing = _closing(today, site.closes_at, zone)
    return closing if released < closing else end_of_day(today, zone)


def _closing(day: date, closes_at: str, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time.fromisoformat(closes_at), zone)


def is_ready(device: Device, now: datetime) -> bool:
    """S9: released, and until when has not passed; READY is always a question about now."""
    return (
        device.standing is Standing.RELEASED
        and device.release is not None
        and now < device.release.until
    )


def why_not(device: Device, now: datetime) -> str:
    """Why a device is not ready, as a slug; 'lapsed' where only time has ended it."""
    if device.standing is Standing.RELEASED and not is_ready(device, now):
        return "lapsed"
    return device.why


CAUTIONS_LAST = timedelta(hours=10)
"""S20: cautions are said in full once in a shift. Source: common practice, none published."""


def cautions_due(person: Person, now: datetime) -> bool:
    """S20: whether this person's shift is new."""
    return person.cautions_at is None or now - person.cautions_at >= CAUTIONS_LAST
