"""S18: what the phones of a site hear of a recall; the supervisor's words are in `alerts`."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from flows.parts.clinic import Recall
from flows.parts.listed import listed
from flows.parts.text import Text, say
from flows.protocols import shipped
from flows.rules.recall import BECAUSE, FIGURE, LOT, STRIP_LOT


def keep_it(tag: str) -> Text:
    """For whoever has it before them: not for use, and not for the drain either."""
    return say(
        "recall.keep_it",
        "{tag} is RECALLED, DO NOT USE: write that on it, shut it, set it aside, do not pour it "
        "away. Your contact says where it goes; once it is gone {discard} {tag}.",
        tag=tag,
    )


def no_test_of(tag: str) -> Text:
    """What is recalled is not tested any more, and says nothing of anything else."""
    return say(
        "recall.no_test",
        "{tag} is recalled: no test brings it back. Write RECALLED, DO NOT USE on it, set it "
        "aside, take another.",
        tag=tag,
    )


def title_of(recall: Recall) -> str:
    """What people call the product; its name where no file has it any more."""
    product = shipped().product(recall.product)
    return product.title if product else recall.product


def do_not_use(recall: Recall, tags: Sequence[str]) -> Text:
    """For whoever may have some of it at hand; *tags* are the containers here that it touches."""
    if recall.what == FIGURE:
        return _by_figure(recall, tags)
    if recall.what == STRIP_LOT:
        return say(
            "recall.strips",
            "DO NOT USE strips of lot {lot}: recalled. Write RECALLED on them, set them aside. "
            "Test with another lot first what they have passed: {tags}.",
            lot=recall.mark,
            tags=listed(tags),
        )
    if not tags:
        return say(
            "recall.none_here",
            "Lot {lot} of {product} is recalled. Do not open or use it. Write RECALLED, DO NOT "
            "USE on it, set it aside for your contact.",
            lot=recall.mark,
            product=title_of(recall),
        )
    return say(
        "recall.do_not_use",
        "DO NOT USE {tags}: lot {lot} of {product} is recalled. Write RECALLED on it, set it "
        "aside, do not pour it away. Take another lot.",
        tags=listed(tags),
        lot=recall.mark,
        product=title_of(recall),
    )


def _by_figure(recall: Recall, tags: Sequence[str]) -> Text:
    if not tags:
        return say(
            "recall.figure",
            "A figure for {product} was wrong and is changed. Do what my texts say from now on, "
            "not what you know by heart.",
            product=title_of(recall),
        )
    return say(
        "recall.figure.tags",
        "DO NOT USE {tags}: a figure for {product} was wrong, and its date or test with it. Mark "
        "it NOT FOR USE and take a fresh one.",
        tags=listed(tags),
        product=title_of(recall),
    )


def no_longer_ready(recall: Recall, labels: Sequence[str]) -> Text:
    """What was released and is not any more, why, and what to do."""
    if recall.what == FIGURE:
        return say(
            "recall.not_ready.figure",
            "NO LONGER READY: {devices}. A figure for {product} was wrong. Do not use on a "
            "patient; clean again: {clean} {device}.",
            devices=listed(labels),
            product=title_of(recall),
            device=labels[0],
        )
    return say(
        "recall.not_ready",
        "NO LONGER READY: {devices}. Lot {lot} of {product} is recalled. Do not use on a patient; "
        "clean again with another lot: {clean} {device}.",
        devices=listed(labels),
        lot=recall.mark,
        product=title_of(recall),
        device=labels[0],
    )


def this_cleaning_is_void(because: str, device: str) -> Text | None:
    """For whoever holds the probe; None where no recall was the cause."""
    return _VOID[because](device) if because in _VOID else None


def _lot(device: str) -> Text:
    return say(
        "recall.void.lot",
        "{device}: its disinfectant is recalled, so this cleaning does not count. Take it out, do "
        "not use it. Begin again with another lot: {clean} {device}.",
        device=device,
    )


def _strips(device: str) -> Text:
    return say(
        "recall.void.strips",
        "{device}: its strips are recalled, so this cleaning does not count. Take it out, do not "
        "use it. Begin again with other strips: {clean} {device}.",
        device=device,
    )


def _figure(device: str) -> Text:
    return say(
        "recall.void.figure",
        "{device}: a figure I went by was wrong, so this cleaning does not count. Take it out, do "
        "not use it. Begin again: {clean} {device}.",
        device=device,
    )


_VOID: Mapping[str, Callable[[str], Text]] = MappingProxyType(
    {BECAUSE[LOT]: _lot, BECAUSE[STRIP_LOT]: _strips, BECAUSE[FIGURE]: _figure}
)
