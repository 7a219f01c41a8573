"""What a site sets otherwise than published, with the reason it owes for what is laxer."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from bot.protocols import CHEMISTRY, SITE, as_chosen, choices_of, figures_of, selection_for, today
from bot.registers.draft import Draft
from bot.registers.rows import Reading, Row, closing, listed, one_of
from bot.store.people import digest_of
from flows.calculations.chlorine import was_mixed_before
from flows.calculations.chlorine_source import source_as_written
from flows.calculations.measuring import ML, Measure, measure_as_written
from flows.calculations.usage import strips_as_written, volume_as_written
from flows.parts.clinic import AT_HAND, Choice, Clinic, Cycle
from flows.parts.decision import KeptText
from flows.parts.events import SiteChoiceMade
from flows.parts.situation import protocol_of
from flows.protocols import protocol_for
from flows.protocols.compare import refusal_as_typed
from flows.protocols.fields import SOAKS
from flows.protocols.model import Problem, Product, SiteChoice
from flows.protocols.reasons import says_too_little
from flows.protocols.versions import changed_since
from flows.rules.found_unfit import outlives
from flows.rules.recall import FIGURE, asks_no_more, undercuts
from flows.rules.shorter_lives import shorter_lives

CHOICE = ("product", "key", "value", "reason")

OWN_WAYS = {"strip_timing": ("proved", "own_watch")}
"""S4: about no product: whether a strip's time is what the texts prove, or what the worker's own
watch says. The first is what holds where nothing is chosen; any other needs a reason."""

OWN_DAY: Mapping[str, tuple[Callable[[str], object | None], str]] = {
    "opens_at": (closing, "08:00"),
    "morning_text": (one_of(("on", "off")), "on or off"),
    "strips_in_bottle": (strips_as_written, "50"),
    "jug_volume": (volume_as_written, "5 L"),
    "bottle_volume": (volume_as_written, "0.5 L"),
}
"""When its day begins, whether it wants to hear of it, and what its containers hold."""


def _of_liquid(written: str) -> Measure | None:
    """The detergent's concentrate is poured: what is marked in grams measures none of it."""
    own = measure_as_written(written)
    return own if own and own.unit == ML.unit else None


OWN_AMOUNTS: Mapping[str, tuple[Callable[[str], object | None], str]] = {
    "chlorine_source": (source_as_written, "bleach 3.5 %, bleach 12 degrees or powder 70 %"),
    "chlorine_measure": (measure_as_written, "cup 50 ml or spoon 15 g"),
    "detergent_measure": (_of_liquid, "cap 5 ml"),
}
"""What MIX counts with: what the site's chlorine is made of, and its own cap, spoon or scoop."""


def choose(draft: Draft, row: Row) -> None:
    """S15: the record gets the reason's salted digest; the words can be erased."""
    reading = Reading(row, CHOICE)
    product = reading.read("product", str, f"the name of a product, or {SITE}")
    key = reading.read("key", str, "the name of a figure")
    value = reading.read("value", str, "the figure with its unit, as in a protocol file")
    reason = " ".join(row.cells.get("reason", "").split())
    choice = SiteChoice(product, key, value, reason)
    problems = reading.problems or _against(draft, row, choice)
    draft.problems += problems
    if problems:
        return
    salt = draft.moment.ident(f"salt/choice/{product}/{key}")
    digest = digest_of(salt, reason) if reason else ""
    if reason:
        draft.texts.append(KeptText(digest, salt, reason))
    before = draft.clinic
    draft.happen(SiteChoiceMade(product, key, value, digest))
    draft.remarks += _tested_again(before, draft.clinic, draft.moment.now)
    draft.remarks += _in_vain(before, draft.clinic)
    if draft.shelf.product(product):
        _shorten(draft, as_chosen(draft.clinic, product))


def _tested_again(before: Clinic, since: Clinic, now: datetime) -> Iterator[str]:
    """S4: what was passed by the figure of before."""
    counted = {tag: each.passed for tag, each in before.containers.items() if each.passed}
    tags = [
        tag
        for tag, passed in counted.items()
        if now < passed.good_until and since.containers[tag].passed != passed
    ]
    if tags:
        yield f"Passed by the figure of before, and to be tested again: {', '.join(tags)}."


def _in_vain(before: Clinic, since: Clinic) -> Iterator[str]:
    """S1: which cycles no work makes up for it any more."""
    for each in since.cycles.values():
        if not each.for_repair and _is_lost(each, since) and not _is_lost(each, before):
            yield (
                f"{each.device} is being cleaned and will not be released: no work makes up for "
                "this change. Whoever cleans it hears so with the next text, and begins again."
            )


def _is_lost(cycle: Cycle, clinic: Clinic) -> bool:
    todays = today(clinic)(clinic.devices[cycle.device].model)
    return bool(changed_since(protocol_of(cycle), todays))


def _shorten(draft: Draft, product: Product) -> None:
    """S5: a shorter life counts for what stands here too, on every label."""
    now = draft.moment.now
    shorter = [*shorter_lives(draft.clinic, product, draft.zone, now)]
    for each in shorter:
        draft.happen(each)
    ends = {tag: at for each in shorter for tag, at in _with_it(draft, each.tag)}
    over = [tag for tag, at in ends.items() if at <= now]
    sooner = [tag for tag in ends if tag not in over]
    if over:
        draft.remarks.append(
            f"Over by it, from now on: {', '.join(over)}. The phones are told DO NOT USE."
        )
    if sooner:
        draft.remarks.append(
            f"Good for a shorter time by it: {', '.join(sooner)}. The phones are told what to "
            "write on the labels."
        )


def _with_it(draft: Draft, tag: str) -> Iterator[tuple[str, datetime]]:
    """When it ends, and what was poured from it and ends with it."""
    one = draft.clinic.strips.get(tag) or draft.clinic.containers[tag]
    yield tag, one.discard_by
    for each in outlives(draft.clinic, tag):
        if each.fitness in AT_HAND:
            yield each.tag, one.discard_by


def _against(draft: Draft, row: Row, choice: SiteChoice) -> list[Problem]:
    if choice.product == SITE:
        return _against_way(row, choice) or _mixed_before(draft, row, choice)
    return _against_product(draft, row, choice)


def _against_way(row: Row, choice: SiteChoice) -> list[Problem]:
    own = {**OWN_AMOUNTS, **OWN_DAY}
    if choice.key in own:
        reads, example = own[choice.key]
        reason = f"is {choice.value}; write it like {example}"
        return [] if reads(choice.value) else [Problem(row.where, "value", reason)]
    if choice.key not in OWN_WAYS:
        known = [*OWN_WAYS, *own]
        return [Problem(row.where, "key", f"is {choice.key}; {listed(known)}")]
    ways = OWN_WAYS[choice.key]
    if choice.value not in ways:
        return [Problem(row.where, "value", f"is {choice.value}; {listed(ways)}")]
    if choice.value == ways[0]:
        return []
    if not choice.reason:
        return [Problem(row.where, "reason", f"is missing; add one or say {ways[0]}")]
    too_little = says_too_little(choice.reason)
    reason = f"is {too_little}, or say {ways[0]}"
    return [Problem(row.where, "reason", reason)] if too_little else []


def _mixed_before(draft: Draft, row: Row, choice: SiteChoice) -> list[Problem]:
    """S1: of what MIX refuses for a soak the site's chlorine is not made."""
    source = source_as_written(choice.value) if choice.key == "chlorine_source" else None
    soaked_in = [each for each in draft.shelf.chemistries.values() if each.soaks == SOAKS[0]]
    mixed_to = max(each.mixed_to_percent or Decimal(0) for each in soaked_in)
    if source is None or not was_mixed_before(source.percent, Fraction(mixed_to)):
        return []
    reason = (
        f"is {choice.value}, weaker than any bleach or powder as bought: no bath of {mixed_to} % "
        "is made of what was mixed before; give the strength on the bottle as bought, like "
        "bleach 3.5 %"
    )
    return [Problem(row.where, "value", reason)]


def _against_product(draft: Draft, row: Row, choice: SiteChoice) -> list[Problem]:
    """What stands against a figure or a disinfectant, beside all that the site chose before."""
    reason = _undercut(draft, choice)
    if reason:
        return [Problem(row.where, "value", reason)]
    made = Choice(choice.product, choice.key, choice.value, choice.reason)
    choices = (*choices_of(draft.clinic), made)
    if choice.key == CHEMISTRY and choice.product not in draft.shelf.devices:
        reason = f"is {choice.product}; a disinfectant is chosen for {listed(draft.shelf.devices)}"
        return [Problem(row.where, "product", reason)]
    models = [choice.product] if choice.key == CHEMISTRY else [*draft.shelf.devices]
    product = draft.shelf.product(choice.product) if choice.key != CHEMISTRY else None
    problems = list(refusal_as_typed(product, choice)) if product else []
    for model in models:
        found = protocol_for(selection_for(model, choices), figures_of(choices), draft.shelf)
        problems += found if isinstance(found, list) else []
    return [
        Problem(row.where, f"{each.file.removesuffix('.toml')}.{each.key}", each.reason)
        for each in dict.fromkeys(problems)
    ]


def _undercut(draft: Draft, choice: SiteChoice) -> str:
    """S18: a recalled figure does not come back by a choice, nor one laxer than its successor."""
    product = draft.shelf.product(choice.product)
    figures = [each for each in draft.clinic.recalls.values() if each.what == FIGURE]
    about = [each for each in figures if (each.product, each.mark) == (choice.product, choice.key)]
    if product is None or not about:
        return ""
    try:
        value = product.table[choice.key].kind.reads(choice.value)
    except ValueError:
        return ""
    chosen = replace(product, **{choice.key: value})
    if any(asks_no_more(each, chosen) for each in about):
        return f"is {choice.value}, which is recalled or laxer than what is; ask more"
    floor = next((each.instead for each in about if undercuts(each, chosen)), "")
    laxer = f"is {choice.value}, laxer than {floor}, which a recall put in place; ask as much"
    return laxer if floor else ""
