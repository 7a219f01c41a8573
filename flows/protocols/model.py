"""Chemistry, StripProduct, DeviceModel: frozen, in units, each number with its source.

A figure of None is one that does not exist: no upper limit, no such clock. The fields are listed
again, with how they are written and their limits, in `fields.py`; a test holds the two together.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import timedelta
from decimal import Decimal
from hashlib import sha256
from typing import Any, ClassVar, Self

from flows.protocols.fields import (
    CHEMISTRY,
    COVER,
    DETERGENT,
    DEVICE,
    NO_STRIP,
    REQUIRED,
    STRIP,
    Field,
)
from flows.protocols.figures import frozen


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """Anything with a protocol file. *name* is its stable id and the name of its file."""

    table: ClassVar[Mapping[str, Field]]
    folder: ClassVar[str]

    name: str
    title: str
    sources: tuple[tuple[str, str], ...]
    """For each figure where it comes from, as (key, source)."""

    def source_of(self, key: str) -> str:
        """Where the figure under *key* comes from. Raises KeyError for a key without a source."""
        return dict(self.sources)[key]

    def as_mapping(self) -> dict[str, Any]:
        """JSON-ready, without floats."""
        figures: dict[str, Any] = {key: frozen(getattr(self, key)) for key in self.table}
        return figures | {"sources": dict(self.sources)}

    @classmethod
    def from_mapping(cls, mapping: Mapping[str, Any]) -> Self:
        """What `as_mapping` gave. Raises KeyError or ValueError for anything else."""
        figures = {
            key: field.kind.thaws(mapping[key])
            if key in mapping or field.default is REQUIRED
            else field.default
            for key, field in cls.table.items()
        }
        return cls(**figures, sources=tuple(sorted(mapping["sources"].items())))


@dataclass(frozen=True, slots=True, kw_only=True)
class Chemistry(Product):
    """A disinfectant for soaking by hand. Figures for heated machines are never here."""

    table: ClassVar = CHEMISTRY
    folder: ClassVar = "chemistries"

    contact_time: timedelta
    """At the minimum temperature; ask `contact_time_at` for that in a bath of known warmth."""
    contact_time_warmer: tuple[tuple[Decimal, timedelta], ...] | None
    """Shorter ones, each from a temperature on: only where the published table has them."""
    bell_margin: timedelta
    """Added to the contact time before the bell: people text IN with the probe in hand (S2)."""
    minimum_temperature_c: Decimal
    maximum_temperature_c: Decimal | None
    recheck_within_c: Decimal
    """The bath is measured again at OUT when at IN it was this close to the minimum (S1)."""
    maximum_soak: timedelta
    """Left in longer, the device goes to inspection (S12)."""
    mec: str
    strips: tuple[str, ...]
    strip_policy: str
    """One of STRIP_POLICIES: which liquid is tested, and how often (S4)."""
    strips_each_test: int
    """The least number of strips that one test of this product takes."""
    activation_needed: bool
    activated_life_days: int | None
    jug_open_life_days: int | None
    reuse_life_days: int
    """From the pour into a working bottle or a bath."""
    bath_life: timedelta | None
    """From the filling of the bath, where it is shorter than the reuse life; 24 h is one day."""
    bath_uses_max: int | None
    shelf: str
    jug_store_minimum_c: Decimal
    wipe_wet_time: timedelta
    """How long it is left wet on handle and cable (S1)."""
    rinse_count: int
    rinse_volume_l: Decimal
    """Fresh water for each rinse."""
    rinse_each_for: timedelta
    rinse_water: str
    hazards: tuple[str, ...]
    """Slugs of the cautions said where they bite (S20)."""
    disposal: str
    neutraliser: str | None
    """What makes it harmless before it is poured away, with its grams to a litre and its time."""
    neutraliser_g_per_l: Decimal | None
    neutralise_for: timedelta | None
    soaks: str
    """One of SOAKS: whether a source gives it as the soak of a device at all."""
    single_use_evidence: tuple[str, ...]
    """Slugs of what a cycle has to show in place of a strip, where no strip exists (S4)."""
    mixed_to_percent: Decimal | None
    """What a bath is mixed to here, from a stronger source; None for what comes as it is used."""
    disputes: tuple[tuple[str, str], ...]
    """Open scientific questions as (what is said, source), for whoever chooses a protocol."""

    @property
    def is_single_use(self) -> bool:
        """S4: no strip exists for it: a bath is mixed for one soak, with evidence of its own."""
        return self.strip_policy == NO_STRIP

    def contact_time_at(self, celsius: Decimal) -> timedelta:
        """S2: how long a device soaks in a bath of *celsius*, never less than is published.

        Between two temperatures the longer time holds: 24.9 C is not yet 25 C. No time makes a
        bath good that is under the minimum; that is judged by itself (S17).
        """
        rows = self.contact_time_warmer or ()
        return min([self.contact_time, *(span for warmth, span in rows if warmth <= celsius)])

    def warmth_relied_on_c(self, celsius: Decimal) -> Decimal:
        """S1, S2: the temperature that the contact time in a bath of *celsius* is published for.

        The minimum, or that of the table's row which holds: below it more time is owed.
        """
        rows = self.contact_time_warmer or ()
        reached = (warmth for warmth, _ in rows if warmth <= celsius)
        return max([self.minimum_temperature_c, *reached])


@dataclass(frozen=True, slots=True, kw_only=True)
class StripProduct(Product):
    """A test strip, for the chemistries it names and no other."""

    table: ClassVar = STRIP
    folder: ClassVar = "strips"

    chemistries: tuple[str, ...]
    dip_for: timedelta
    read_after: timedelta
    """From the end of the dip."""
    read_within: timedelta
    """How long the colour may be read from then on; later is no result (S4)."""
    strips_per_test: int
    pass_colour: str
    fail_colour: str
    open_life_days: int
    qc_positive: int
    """Strips from a new bottle that must pass in full-strength solution."""
    qc_negative: int
    """Strips from a new bottle that must fail in solution with as much water again."""
    storage: str
    handling: str | None
    """What is done with it between dip and reading, other than to lay it flat: a sentence."""


NO_STRIP_THERE_IS = StripProduct(
    name="no_strip",
    title="no strip",
    sources=(),
    chemistries=(),
    dip_for=timedelta(0),
    read_after=timedelta(0),
    read_within=timedelta(0),
    strips_per_test=1,
    pass_colour="none",  # noqa: S106  a colour
    fail_colour="none",
    open_life_days=1,
    qc_positive=0,
    qc_negative=0,
    storage="none",
    handling=None,
)
"""What stands in a protocol for which no strip exists: nothing is dipped, nothing read (S4)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceModel(Product):
    """A kind of device, and what its maker allows."""

    table: ClassVar = DEVICE
    folder: ClassVar = "devices"

    chemistries: tuple[str, ...]
    covers: tuple[str, ...]
    immersion_line: str
    maximum_soak: timedelta | None
    """Where the device's maker sets a shorter one than the disinfectant's."""
    unplug_needed: bool
    bath_volume_ml: int
    """What fills a bath to the line with the probe's own bath vessel: for planning and packing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover(Product):
    """What a released device is kept in. *title* is the word for it in texts."""

    table: ClassVar = COVER
    folder: ClassVar = "covers"

    hang_time: timedelta | None
    """How long a release stays good in it; None: until the site closes that day (S9)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Detergent(Product):
    """The enzymatic cleaner."""

    table: ClassVar = DETERGENT
    folder: ClassVar = "detergents"

    ml_per_litre: Decimal
    """Millilitres of concentrate for each litre of water."""
    soak_for: timedelta
    maximum_soak: timedelta
    water_minimum_c: Decimal
    water_maximum_c: Decimal
    one_batch_per_device: bool
    soak_volume_ml: int
    """Water of one batch: what a probe is wiped with and put into."""


@dataclass(frozen=True, slots=True)
class SiteChoice:
    """A figure that a site sets for itself. *value* is written as in a protocol file: '5 min'."""

    product: str
    key: str
    value: str
    reason: str = ""
    source: str = "the site's own choice"


@dataclass(frozen=True, slots=True)
class Selection:
    """Which products are used together, by name."""

    chemistry: str
    strip: str
    device_model: str
    detergent: str


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a protocol does not load: the file, the key, and the rest of the sentence."""

    file: str
    key: str
    reason: str

    def __str__(self) -> str:
        """One line to print."""
        return f"{self.file}: {self.key} {self.reason}."


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleProtocol:
    """Everything a cycle is held to; stored whole with the cycle."""

    chemistry: Chemistry
    strip: StripProduct
    device_model: DeviceModel
    detergent: Detergent
    covers: tuple[Cover, ...]
    deviations: tuple[str, ...] = ()
    """Where the site is laxer than published. The facts only: a reason is free text, and that is
    not kept in entries (S15)."""

    @property
    def strip_policy(self) -> str:
        """One of STRIP_POLICIES (S4)."""
        return self.chemistry.strip_policy

    @property
    def bell_after(self) -> timedelta:
        """From IN to the bell: the contact time and the margin (S2)."""
        return self.chemistry.contact_time + self.chemistry.bell_margin

    def bell_after_at(self, celsius: Decimal) -> timedelta:
        """From IN to the bell in a bath of *celsius*: never later than `bell_after` (S2)."""
        return self.chemistry.contact_time_at(celsius) + self.chemistry.bell_margin

    @property
    def maximum_soak(self) -> timedelta:
        """The disinfectant's or the device's, whichever is shorter (S12)."""
        longest = self.device_model.maximum_soak
        return min(self.chemistry.maximum_soak, longest or self.chemistry.maximum_soak)

    def products(self) -> tuple[Product, ...]:
        """All its products; their names differ."""
        return (self.chemistry, self.strip, self.device_model, self.detergent, *self.covers)

    def as_mapping(self) -> dict[str, Any]:
        """JSON-ready, without floats; spans are whole seconds."""
        return {part.name: _plain(getattr(self, part.name)) for part in fields(self)}

    @classmethod
    def from_mapping(cls, mapping: Mapping[str, Any]) -> Self:
        """What `as_mapping` gave. Raises KeyError or ValueError for anything else."""
        return cls(
            chemistry=Chemistry.from_mapping(mapping["chemistry"]),
            strip=StripProduct.from_mapping(mapping["strip"]),
            device_model=DeviceModel.from_mapping(mapping["device_model"]),
            detergent=Detergent.from_mapping(mapping["detergent"]),
            covers=tuple(Cover.from_mapping(cover) for cover in mapping["covers"]),
            deviations=tuple(mapping["deviations"]),
        )

    def canonical(self) -> str:
        """The one way to write it as JSON: sorted keys, no spaces. Source: RFC 8785."""
        return json.dumps(
            self.as_mapping(), sort_keys=True, separators=(",", ":"), ensure_ascii=False
        )

    def fingerprint(self) -> str:
        """SHA-256 of the canonical JSON, in hexadecimal: two equal ones are the same protocol."""
        return sha256(self.canonical().encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """The protocols at hand, by name: the shipped ones, and what a site has laid beside them."""

    chemistries: Mapping[str, Chemistry]
    strips: Mapping[str, StripProduct]
    devices: Mapping[str, DeviceModel]
    detergents: Mapping[str, Detergent]
    covers: Mapping[str, Cover]

    def product(self, name: str) -> Product | None:
        """The product of that name, of whatever kind."""
        kinds: tuple[Mapping[str, Product], ...] = (
            self.chemistries,
            self.strips,
            self.devices,
            self.detergents,
            self.covers,
        )
        return next((kind[name] for kind in kinds if name in kind), None)


def _plain(value: Any) -> Any:
    if isinstance(value, Product):
        return value.as_mapping()
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    return value
