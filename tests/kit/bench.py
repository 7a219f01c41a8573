"""What hands and liquids really did: a physical log, and why a probe does not deserve release.

Nothing here knows the flows or their rules: it holds only what is published or what the trade
does, so that a release can be judged from outside. The bot never sees it.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

CONTACT = timedelta(minutes=12)
LEAST_CELSIUS = Decimal(20)
MEC = Decimal("0.30")
REUSE_LIFE = timedelta(days=14)
"""OPA 0.55 %: 12 min at 20 C, MEC 0.3 %, 14 days of reuse. Source: CDC/HICPAC, Guideline for
Disinfection and Sterilization in Healthcare Facilities, 2008, Table 4; FDA 510(k) K991487."""

FRESH = Decimal("0.55")
STRIP_SHOWS = Decimal("0.32")
"""A strip turns wholly purple only somewhat above the MEC. Source: from memory."""

STRIP_READY = timedelta(seconds=90)
STRIP_FADES = timedelta(seconds=120)
"""Purple is complete after 90 s (source: from memory) and fades later (source: from memory)."""

DETERGENT = timedelta(minutes=2)
"""Source: common practice, none published."""

FINAL_RINSES = 3
"""Source: from memory, product instructions."""

COOLS_A_MINUTE = Decimal("0.1")
COLDEST = Decimal(17)
"""A bath in a cool room. Source: common practice, none published."""

SPENT_BY_A_SOAK = Decimal("0.94")
"""What a soak leaves of a strength: more is lost than in life, and not so much that one soak of
which no text has arrived takes a bath from a passing strip to below its MEC."""

WIPES = ("soap", "water", "disinfectant", "water again")


@dataclass(slots=True)
class Vessel:
    """A jug, bottle or tub with disinfectant; its *tag* is what somebody wrote on it, if so."""

    kind: str
    strength: Decimal
    born: datetime
    """When its liquid first left the jug: the reuse life counts from there."""
    tag: str = ""
    celsius: Decimal = Decimal("22.5")
    warmed: datetime | None = None
    in_use_by: set[str] = field(default_factory=set)

    def celsius_at(self, now: datetime) -> Decimal:
        minutes = Decimal((now - (self.warmed or self.born)) // timedelta(seconds=6)) / 10
        return max(self.celsius - COOLS_A_MINUTE * minutes, COLDEST)


@dataclass(slots=True)
class Stay:
    """A probe in a liquid; *strength* and *celsius* are what the bath truly had as it went in."""

    probe: str
    liquid: str
    began: datetime
    vessel: Vessel | None = None
    strength: Decimal = Decimal(0)
    celsius: Decimal = Decimal(0)
    ended: datetime | None = None
    clean_gloves: bool = True


@dataclass(frozen=True, slots=True)
class Act:
    """Something done to a probe: a wipe, a rinse, dried, looked, covered."""

    at: datetime
    probe: str
    what: str


@dataclass(frozen=True, slots=True)
class Soil:
    """What undoes all cleaning: a patient, a bare hand, a repair, being new; or damage."""

    number: int
    at: datetime
    probe: str
    what: str
    patient: str = ""


@dataclass(slots=True)
class Dip:
    vessel: Vessel
    at: datetime
    strength: Decimal


@dataclass(slots=True)
class Bench:
    """The truth of one clinic."""

    vessels: list[Vessel] = field(default_factory=list)
    stays: list[Stay] = field(default_factory=list)
    acts: list[Act] = field(default_factory=list)
    soils: list[Soil] = field(default_factory=list)

    # -- what happens -----------------------------------------------------------------------

    def does(self, probe: str, what: str, now: datetime) -> None:
        self.acts.append(Act(now, probe, what))
        if what in {"soap", "final rinse"}:
            self._spends(probe)

    def _spends(self, probe: str) -> None:
        """A use of a bath is over once its probe is rinsed, or cleaned anew; straight back in
        is the same use."""
        for vessel in self.vessels:
            if probe in vessel.in_use_by:
                vessel.in_use_by.remove(probe)
                vessel.strength *= SPENT_BY_A_SOAK

    def soils_it(self, probe: str, what: str, now: datetime, patient: str = "") -> Soil:
        soil = Soil(len(self.soils), now, probe, what, patient)
        self.soils.append(soil)
        return soil

    def into(self, probe: str, liquid: str, now: datetime, vessel: Vessel | None = None) -> None:
        """Put it in; where it already lies in just that, nothing changes."""
        here = self.stay(probe)
        if here and here.liquid == liquid and here.vessel is vessel:
            return
        self.out(probe, now)
        stay = Stay(probe, liquid, now, vessel)
        if vessel:
            stay.strength, stay.celsius = vessel.strength, vessel.celsius_at(now)
            vessel.in_use_by.add(probe)
        self.stays.append(stay)

    def out(self, probe: str, now: datetime, *, clean_gloves: bool = True) -> None:
        stay = self.stay(probe)
        if stay is None:
            return
        stay.ended, stay.clean_gloves = now, clean_gloves

    def was_in_before(self, stay: Stay) -> bool:
        """Whether it had been in that bath already since it was last dried."""
        dried = [act.at for act in self.acts if (act.probe, act.what) == (stay.probe, "dried")]
        return any(
            other.probe == stay.probe and other.vessel is stay.vessel and other is not stay
            for other in self.stays
            if dried and other.began >= dried[-1]
        )

    def pours(self, source: Vessel | None, kind: str, now: datetime) -> Vessel:
        """Into an empty, washed, dry vessel, that nobody has labelled yet."""
        strength = source.strength if source else FRESH
        born = source.born if source and source.kind != "jug" else now
        vessel = Vessel(kind, strength, born, warmed=now)
        self.vessels.append(vessel)
        return vessel

    # -- what can be seen -------------------------------------------------------------------

    def stay(self, probe: str) -> Stay | None:
        """Where it lies now, if in a liquid."""
        return next((s for s in self.stays if s.probe == probe and s.ended is None), None)

    def is_in(self, probe: str, liquid: str) -> bool:
        stay = self.stay(probe)
        return stay is not None and stay.liquid == liquid

    def touched(self, probe: str) -> datetime:
        """When anything was last done to it."""
        acts = [act.at for act in self.acts if act.probe == probe]
        soils = [soil.at for soil in self.soils if soil.probe == probe]
        stays = [stay.ended or stay.began for stay in self.stays if stay.probe == probe]
        return max([*acts, *soils, *stays])

    def is_wet(self, probe: str) -> bool:
        """With water, since it was last dried or in the bath."""
        acts = [act.what for act in self.acts if act.probe == probe]
        water = [what for what in acts if what in {"rinsed", "final rinse", "dried"}]
        return water[-1:] not in ([], ["dried"])

    def labelled(self, tag: str) -> Vessel | None:
        """The vessel on which *tag* is written, the last one where there are two."""
        return next((v for v in reversed(self.vessels) if v.tag == tag), None)

    def colour(self, dip: Dip, now: datetime) -> str:
        """What a strip shows: too early or too late it is not purple all over."""
        in_time = STRIP_READY <= now - dip.at <= STRIP_FADES
        return "purple" if in_time and dip.strength >= STRIP_SHOWS else "blue"

    def is_damaged(self, probe: str, unheard: Collection[int] = ()) -> bool:
        known = [s for s in self.soils if s.probe == probe and s.number not in unheard]
        last = [s.what for s in known if s.what in {"damage", "repair"}]
        return last[-1:] == ["damage"]

    def soiled(self, probe: str, unheard: Collection[int] = ()) -> datetime | None:
        """When it was last soiled, apart from what nobody has told yet."""
        return max(
            (s.at for s in self.soils if s.probe == probe and s.number not in unheard),
            default=None,
        )


def in_bath(bench: Bench, probe: str, now: datetime) -> timedelta:
    """The longest unbroken time in a bath since its handle was last wiped with soap."""
    soaped = [act.at for act in bench.acts if (act.probe, act.what) == (probe, "soap")]
    spans = [
        (stay.ended or now) - stay.began
        for stay in bench.stays
        if (stay.probe, stay.liquid) == (probe, "bath") and soaped and stay.began >= soaped[-1]
    ]
    return max(spans, default=timedelta(0))


def why_not_deserved(
    bench: Bench, probe: str, now: datetime, unheard: Collection[int] = ()
) -> list[str]:
    """Why *probe* is not fit for a patient now; empty where it is.

    *unheard* are soils that no text that has arrived has told: the bot cannot know of them.
    """
    since = bench.soiled(probe, unheard)
    if since is None:
        return ["never looked at"]
    baths = [
        stay
        for stay in bench.stays
        if (stay.probe, stay.liquid) == (probe, "bath")
        and stay.began >= since
        and stay.ended
        and stay.ended <= now
    ]
    candidates = [list(_wrong_with(bench, stay, since)) for stay in baths]
    reasons = min(candidates, key=len, default=["no bath since it was soiled"])
    damaged = ["damaged"] if bench.is_damaged(probe, unheard) else []
    afloat = ["still in a liquid"] if bench.stay(probe) else []
    return [*damaged, *afloat, *reasons]


def _wrong_with(bench: Bench, bath: Stay, since: datetime) -> Iterator[str]:
    """All that is wrong with a cleaning that rests on this stay in the bath."""
    yield from _before(bench, bath, since)
    yield from _in_the_bath(bench, bath)
    yield from _after(bench, bath)


def _times(bench: Bench, probe: str, what: str) -> list[datetime]:
    return [act.at for act in bench.acts if act.probe == probe and act.what == what]


def _before(bench: Bench, bath: Stay, since: datetime) -> Iterator[str]:
    for wipe in WIPES:
        if not any(since <= at <= bath.began for at in _times(bench, bath.probe, wipe)):
            yield f"handle and cable not wiped with {wipe}"
    soaks = [
        stay.ended
        for stay in bench.stays
        if stay.probe == bath.probe
        and stay.liquid == "detergent"
        and stay.ended
        and since <= stay.began
        and stay.ended <= bath.began
        and stay.ended - stay.began >= DETERGENT
    ]
    if not soaks:
        yield "not two minutes in detergent"
        return
    rinsed = [at for at in _times(bench, bath.probe, "rinsed") if soaks[0] <= at <= bath.began]
    dried = [at for at in _times(bench, bath.probe, "dried") if at <= bath.began]
    if not rinsed:
        yield "not rinsed after the detergent"
    elif not any(at >= rinsed[-1] for at in dried):
        yield "not dry before the bath"


def _in_the_bath(bench: Bench, bath: Stay) -> Iterator[str]:
    vessel, ended = bath.vessel, bath.ended
    if vessel is None or ended is None:
        yield "no bath"
        return
    if ended - bath.began < CONTACT:
        yield f"only {ended - bath.began} in the bath"
    if bath.strength < MEC:
        yield f"the bath had {bath.strength:.3f} %"
    if ended >= vessel.born + REUSE_LIFE:
        yield "the bath was out of date"
    if bath.celsius - COOLS_A_MINUTE * (CONTACT // timedelta(minutes=1)) < LEAST_CELSIUS:
        yield "the bath was too cold"
    if not bath.clean_gloves:
        yield "taken out with used gloves"
    if any(_together(other, bath) for other in bench.stays):
        yield "another probe was in its bath"


def _together(one: Stay, other: Stay) -> bool:
    if one is other or one.vessel is not other.vessel or one.probe == other.probe:
        return False
    far = max(one.began, other.began) + timedelta(days=1)
    return one.began < (other.ended or far) and other.began < (one.ended or far)


def _after(bench: Bench, bath: Stay) -> Iterator[str]:
    """Counted from when it last came out of any liquid."""
    ended = max(s.ended for s in bench.stays if s.probe == bath.probe and s.ended)
    rinses = [at for at in _times(bench, bath.probe, "final rinse") if at >= ended]
    if len(rinses) < FINAL_RINSES:
        yield f"{len(rinses)} final rinses"
        return
    dried = [at for at in _times(bench, bath.probe, "dried") if at >= rinses[-1]]
    if not dried:
        yield "not dried after the last rinse"
        return
    if not any(at >= dried[0] for at in _times(bench, bath.probe, "looked")):
        yield "not looked over"
    if not any(at >= dried[0] for at in _times(bench, bath.probe, "covered")):
        yield "not covered"
