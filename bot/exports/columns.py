"""The columns of a cycle's row, each with its meaning: the data dictionary is made of these."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bot.exports.figures import iso, seconds, yes_no
from bot.exports.in_words import corrected
from bot.record.written import Written
from bot.reports.facts import Facts, Found

Reads = Callable[[Facts], str]


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    meaning: str
    reads: Reads


def _at(facts: Facts, written: Written | None) -> str:
    return iso(facts.timeline.local(written.stamped.at)) if written else ""


def _by(facts: Facts, written: Written | None) -> str:
    return facts.timeline.called(written.stamped.person) if written else ""


def _local(facts: Facts, moment: datetime | None) -> str:
    return iso(facts.timeline.local(moment)) if moment else ""


def _said(found: Found | None, key: str) -> Any:
    """One field of an event; None where there is no such event."""
    return getattr(found[1], key) if found else None


def _text(value: Any) -> str:
    return "" if value is None else str(value)


def _entry(found: Found | None) -> Written | None:
    return found[0] if found else None


def _when(find: Callable[[Facts], Found | None], key: str = "") -> Reads:
    """When an entry was written, or a moment it names."""

    def read(facts: Facts) -> str:
        found = find(facts)
        return _local(facts, _said(found, key)) if key else _at(facts, _entry(found))

    return read


def _field(find: Callable[[Facts], Found | None], key: str) -> Reads:
    return lambda facts: _text(_said(find(facts), key))


def _person(find: Callable[[Facts], Found | None]) -> Reads:
    return lambda facts: _by(facts, _entry(find(facts)))


def _act_at(what: str) -> Reads:
    return lambda facts: _at(facts, facts.done(what))


def _act_by(what: str) -> Reads:
    return lambda facts: _by(facts, facts.done(what))


def _lasted(facts: Facts) -> str:
    return seconds(facts.taken_out[1].lasted) if facts.taken_out else ""


def _detergent_lasted(facts: Facts) -> str:
    return seconds(facts.detergent_lasted) if facts.detergent_lasted is not None else ""


def _use_before(part: int) -> Reads:
    def read(facts: Facts) -> str:
        used = facts.use_before
        if used is None:
            return ""
        return _local(facts, used[0]) if part == 0 else used[1]

    return read


def _activated(facts: Facts) -> str:
    """As it was told; where it was not, it counts from the opening of the jug (S5).

    What is mixed for each soak was mixed as its bath was filled.
    """
    if facts.protocol.chemistry.is_single_use:
        return _local(facts, _said(facts.bath, "poured"))
    if facts.activated:
        return _local(facts, _said(facts.activated, "activated"))
    return _local(facts, _said(facts.jug, "opened")) if _needs_activation(facts) else ""


def _needs_activation(facts: Facts) -> bool:
    return facts.protocol.chemistry.activation_needed


IDENTITY = (
    Column("site", "the site's own id; the department", lambda f: f.timeline.site),
    Column("site_title", "what people call it", lambda f: f.timeline.title),
    Column("cycle", "unique id of this soak and its cycle", lambda f: f.timeline.cycle),
    Column("began_at", "when it began", lambda f: _at(f, f.timeline.began)),
    Column("began_by", "who began it", lambda f: _by(f, f.timeline.began)),
    Column("device", "label on the device", lambda f: f.timeline.device),
    Column("device_model", "its model, as in its protocol file", lambda f: f.model),
    Column("device_title", "what it is", lambda f: f.protocol.device_model.title),
    Column("quantity", "devices in this soak: one a bath, always", lambda _: "1"),
    Column("used_before_at", "when the use before it was reported", _use_before(0)),
    Column("used_before_on", "patient code of that use", _use_before(1)),
)

CLEANING = (
    Column("inspected_at", "looked over for damage and a dry plug", _act_at("inspect")),
    Column("inspected_by", "by whom", _act_by("inspect")),
    Column("cleaning_began_at", "manual cleaning: first wipe stated", _act_at("wipe_detergent")),
    Column("detergent", "detergent", lambda f: f.protocol.detergent.title),
    Column(
        "detergent_ml_per_l",
        "concentrate to a litre of water, by the protocol",
        lambda f: str(f.protocol.detergent.ml_per_litre),
    ),
    Column("detergent_in_at", "put into the detergent", _when(lambda f: f.detergent)),
    Column("detergent_s", "seconds in it, as far as proved", _detergent_lasted),
    Column("rinsed_at", "rinsed of detergent", _act_at("rinse")),
    Column("cleaned_by", "who cleaned it: stated that rinse", _act_by("rinse")),
    Column("dry_before_at", "dry before the soak", _act_at("dry")),
)

SOLUTION = (
    Column("disinfectant", "product and strength", lambda f: f.protocol.chemistry.title),
    Column("disinfectant_lot", "lot on the jug", _field(lambda f: f.jug, "lot")),
    Column("jug", "tag of the maker's container", _field(lambda f: f.jug, "tag")),
    Column(
        "jug_volume_ml",
        "what it held when new; empty where the site had not said",
        _field(lambda f: f.jug, "volume_ml"),
    ),
    Column("jug_expires", "the maker's expiry", _field(lambda f: f.jug, "expires")),
    Column("jug_opened_at", "opened", _when(lambda f: f.jug, "opened")),
    Column("jug_discard_by", "end of its life once open", _when(lambda f: f.jug, "discard_by")),
    Column(
        "activation_needed",
        "whether the product has to be activated or mixed",
        lambda f: yes_no(_needs_activation(f)),
    ),
    Column("activated_at", "activated or mixed; empty where not needed", _activated),
    Column("bottle", "tag of the working bottle", _field(lambda f: f.bottle, "tag")),
    Column(
        "bottle_volume_ml",
        "what fills it to its line; empty where the site had not said",
        _field(lambda f: f.bottle, "volume_ml"),
    ),
    Column("bottle_poured_at", "poured from the jug", _when(lambda f: f.bottle, "poured")),
    Column("bottle_discard_by", "end of its reuse life", _when(lambda f: f.bottle, "discard_by")),
    Column("bath", "tag of the bath", _field(lambda f: f.immersed, "bath")),
    Column("bath_volume_ml", "what it was filled with", _field(lambda f: f.bath, "volume_ml")),
    Column("bath_filled_at", "filled", _when(lambda f: f.bath, "poured")),
    Column(
        "bath_discard_by",
        "its reuse-life date, as it stood at IN",
        _when(lambda f: f.immersed, "bath_discard_by"),
    ),
    Column("bath_discard_because", "which limit came first", _field(lambda f: f.bath, "because")),
)

STRIP = (
    Column("mec", "minimum effective concentration", lambda f: f.protocol.chemistry.mec),
    Column("strip_result", "pass, fail or no_result", _field(lambda f: f.strip_read, "outcome")),
    Column("strip_because", "why no result", _field(lambda f: f.strip_read, "because")),
    Column("strip_in", "what it was dipped in", _field(lambda f: f.strip_read, "container")),
    Column("strip_dipped_at", "dipped", _when(lambda f: f.strip_dipped)),
    Column("strip_read_at", "read", _when(lambda f: f.strip_read)),
    Column("strip_read_by", "by whom", _person(lambda f: f.strip_read)),
    Column(
        "strip_age_proved",
        "no: a carrier may have stretched the time between dip and reading",
        lambda f: yes_no(f.strip_read[1].age_proved) if f.strip_read else "",
    ),
    Column("strip_product", "strip", lambda f: f.protocol.strip.title),
    Column("strip_bottle", "tag of the strip bottle", _field(lambda f: f.strips, "tag")),
    Column("strip_lot", "lot on it", _field(lambda f: f.strips, "lot")),
    Column("strip_opened_at", "opened", _when(lambda f: f.strips, "opened")),
    Column("strip_expires", "printed expiry", _field(lambda f: f.strips, "expires")),
    Column(
        "strip_discard_by", "end of its life once open", _when(lambda f: f.strips, "discard_by")
    ),
    Column(
        "strip_quality_control",
        "its test with good and diluted solution: passed or not",
        lambda f: ("passed" if f.strips_passed else "not passed") if f.strips else "",
    ),
)

SOAK = (
    Column("in_at", "immersed: when IN was handled", _when(lambda f: f.immersed)),
    Column("disinfected_by", "who put it in", _person(lambda f: f.immersed)),
    Column("in_celsius", "bath at IN, C", _field(lambda f: f.immersed, "celsius")),
    Column(
        "minimum_celsius",
        "least, by the protocol, C",
        lambda f: str(f.protocol.chemistry.minimum_temperature_c),
    ),
    Column(
        "out_at",
        "taken out: the earliest the evidence allows",
        _when(lambda f: f.taken_out, "ended"),
    ),
    Column("taken_out_by", "who took it out", _person(lambda f: f.taken_out)),
    Column(
        "out_celsius",
        "bath at OUT, C; asked only when near the minimum at IN",
        _field(lambda f: f.taken_out, "celsius"),
    ),
    Column("contact_s", "seconds of unbroken contact proved, cut off", _lasted),
    Column(
        "contact_needed_s",
        "seconds needed, by the protocol, in a bath so warm",
        lambda f: seconds(f.contact_needed),
    ),
    Column(
        "over_maximum",
        "left in past the maximum",
        lambda f: yes_no(f.taken_out[1].over_maximum) if f.taken_out else "",
    ),
)

FINISH = (
    Column(
        "final_rinses",
        "number and litres, by the protocol",
        lambda f: f"{f.protocol.chemistry.rinse_count} x {f.protocol.chemistry.rinse_volume_l} l",
    ),
    Column("final_rinsed_at", "stated", _act_at("final_rinse")),
    Column("dried_at", "dried", _act_at("final_dry")),
    Column("final_inspected_at", "looked over before cover", _act_at("final_inspect")),
    Column("covered_at", "covered: stored", _act_at("cover")),
    Column("cover", "in what", _field(lambda f: f.released, "cover")),
)

RELEASE = (
    Column(
        "outcome", "open, released, cleaned for repair, abandoned, voided", lambda f: f.outcome
    ),
    Column("outcome_at", "when", _when(lambda f: f.end)),
    Column("because", "why it was abandoned or voided", lambda f: f.because),
    Column("released_at", "all of it looked at and released", _when(lambda f: f.released)),
    Column("released_by", "by whom", _person(lambda f: f.released)),
    Column("release_code", "code on the tag", _field(lambda f: f.released, "code")),
    Column("released_until", "good until", _when(lambda f: f.released, "until")),
    Column("withdrawn_because", "why taken back", _field(lambda f: f.withdrawn, "because")),
    Column(
        "patient_codes",
        "uses on this release, as reported; codes, never names",
        lambda f: " ".join(code for _, code in f.uses_after),
    ),
    Column(
        "used_at",
        "when those were reported",
        lambda f: " ".join(_local(f, at) for at, _ in f.uses_after),
    ),
    Column(
        "trouble",
        "breaks, repeats, faults, quarantine, in order",
        lambda f: "; ".join(f.trouble),
    ),
    Column("for_repair", "cleaned for the repairer only", lambda f: yes_no(f.for_repair)),
    Column("protocol", "SHA-256 of the whole protocol it began with", lambda f: f.fingerprint),
    Column(
        "deviations",
        "where the site asks less than published",
        lambda f: "; ".join(each for each, _ in f.deviations),
    ),
    Column(
        "deviations_because",
        "the site's written reason for each, in their order; (erased) where it has been erased",
        lambda f: "; ".join(because for _, because in f.deviations),
    ),
    Column(
        "corrected",
        "which of its entries, or of those it rests on, a later one corrects",
        lambda f: "; ".join(
            f"entry {entry.seq}: {corrected(f.timeline, entry, seq, said)}"
            for entry, seq, said in f.corrections
        ),
    ),
    Column(
        "entries",
        "numbers of its first and last entry in the site's chain",
        lambda f: f"{f.timeline.entries[0].seq}-{f.timeline.entries[-1].seq}",
    ),
)

COLUMNS = (*IDENTITY, *CLEANING, *SOLUTION, *STRIP, *SOAK, *FINISH, *RELEASE)


def row_of(facts: Facts) -> Iterator[str]:
    """One cycle's cells, in the order of `COLUMNS`."""
    return (column.reads(facts) for column in COLUMNS)
