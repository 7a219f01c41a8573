"""S4: what the phones of a site hear of a failed strip; the supervisor's words are in `alerts`."""

from collections.abc import Sequence

from flows.parts.listed import listed
from flows.parts.text import Text, say


def do_not_use(tag: str) -> Text:
    """For whoever may have it at hand."""
    return say(
        "alert.do_not_use",
        "DO NOT USE {tag}: its strip failed. Devices soaked in it or wiped with it are NOT READY. "
        "Check with {check} and clean again.",
        tag=tag,
    )


def no_longer_ready(tag: str, labels: Sequence[str]) -> Text:
    """What was released and is not any more, why, and what to do."""
    return say(
        "strip.not_ready",
        "NO LONGER READY: {devices}. The strip of {tag} failed. Do not use on a patient; clean "
        "again with another: {clean} {device}.",
        devices=listed(labels),
        tag=tag,
        device=labels[0],
    )


def on_hold(tag: str, held: Sequence[str]) -> Text:
    """What came from the same jug or mix: not for use until a strip of its own has passed."""
    return say(
        "strip.kin_on_hold",
        "ON HOLD, as the strip of {tag} failed: {tags}. Not for use until a strip of its own "
        "passes, like {test} {label}.",
        tag=tag,
        tags=listed(held),
        label=held[0],
    )


def strips_not_good(strips: str, held: Sequence[str]) -> Text:
    """What strips had passed that have failed their own control since."""
    return say(
        "strip.passed_in_vain",
        "ON HOLD, as the strips of {strips} are not good: {tags}. Not for use until a strip of "
        "another bottle passes, like {test} {label}.",
        strips=strips,
        tags=listed(held),
        label=held[0],
    )


def ready_in_vain(strips: str, labels: Sequence[str]) -> Text:
    """What only such strips had cleared of a solution that failed."""
    return say(
        "strip.ready_in_vain",
        "NO LONGER READY: {devices}. Its disinfectant failed; the strips of {strips} that had "
        "cleared it are not good. Clean again: {clean} {device}.",
        devices=listed(labels),
        strips=strips,
        device=labels[0],
    )
