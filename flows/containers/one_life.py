"""STATE T1, STATE S1: the life of one container, as the record has it (S4, S5)."""

from flows.calculations.calendar import end_of_day
from flows.containers.contents import strips_of_no_use_here
from flows.containers.limits import EARLIER_EXPIRY, limit
from flows.containers.why_not import why_not
from flows.parts.clinic import Container, Cycle, Fitness, Kind, StripBottle
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols import shipped
from flows.protocols.model import Chemistry, Product
from flows.rules.amount_words import volume
from flows.rules.container_life import EXPIRY, has_uses_left, is_active
from flows.rules.good_to import good_to
from flows.rules.recall import set_aside
from flows.rules.recall_words import keep_it
from flows.rules.soak import is_out
from flows.rules.strip import FREED_BY_A_STRIP, is_sound, is_usable


def life_of(situation: Situation, container: Container, moment: Moment) -> tuple[Text, Text]:
    """Where it comes from and until when; whether it is for use, and what it was used for."""
    return _origin(situation, container), _use(situation, container, moment)


def life_of_strips(situation: Situation, bottle: StripBottle, moment: Moment) -> tuple[Text, Text]:
    """The same of a bottle of strips."""
    return _strips(situation, bottle), _strips_use(situation, bottle, moment)


def is_for_use(situation: Situation, container: Container, moment: Moment) -> bool:
    """S5: in date, neither held nor condemned, and with a soak left where soaks are counted.

    S4: what was mixed for one soak goes with the cleaning that it was mixed for.
    """
    product = product_here(situation, container.product)
    if product is None and container.kind is not Kind.MIXED:
        return False
    is_bath = container.kind is Kind.BATH and not container.in_use_by
    if (
        is_bath
        and isinstance(product, Chemistry)
        and not _has_a_soak(situation, container, product)
    ):
        return False
    return is_sound(container, moment.now)


def _has_a_soak(situation: Situation, bath: Container, product: Chemistry) -> bool:
    mixed_for = _mixed_for(situation, bath)
    return has_uses_left(bath.uses, product) and (bool(mixed_for) or not product.is_single_use)


def _mixed_for(situation: Situation, bath: Container) -> Cycle | None:
    """Whose soak its pass, or what was stated in place of one, is for; None once that is over."""
    used_by = bath.passed.used_by if bath.passed else None
    return situation.clinic.cycles.get(used_by or "")


def lacks_its_activator(situation: Situation, container: Container) -> bool:
    """S5: a jug of which nobody has said that its activator went in: nothing is poured from it."""
    product = product_here(situation, container.product)
    return isinstance(product, Chemistry) and not is_active(container, product)


def has_pass(container: Container, moment: Moment) -> bool:
    """S4: a strip that has passed and that no soak has used yet."""
    passed = container.passed
    return passed is not None and passed.used_by is None and moment.now < passed.good_until


def product_here(situation: Situation, name: str) -> Product | None:
    """A product as the protocols of today have it."""
    models = {device.model for device in situation.clinic.devices.values()}
    known = (each for model in models for each in situation.today(model).products())
    return next((each for each in known if each.name == name), None)


def _origin(situation: Situation, container: Container) -> Text:
    """What it is, of which lot, what it came from and when; until when, and by which limit."""
    product, vessel = what_is_in(situation, container), _vessel(container)
    if container.kind is Kind.MIXED:
        return say(
            "state.mixed",
            "{tag}: {vessel} of {product} {strength}, lot {lot}, mixed {time}. Good to "
            "{good_to}: {limit}.",
            tag=container.tag,
            vessel=vessel,
            product=product,
            strength=container.strength,
            lot=_lot(container.lot),
            time=container.since,
            good_to=good_to(container.discard_by, situation.zone),
            limit=limit(container.because),
        )
    if container.source is None:
        return say(
            "state.jug",
            "{tag}: {vessel} of {product}, lot {lot}, expiry {day}, opened {time}. "
            "Good to {good_to}: {limit}.",
            tag=container.tag,
            vessel=vessel,
            product=product,
            lot=_lot(container.lot),
            day=container.expires or _unknown(),
            time=container.since,
            good_to=good_to(container.discard_by, situation.zone),
            limit=_limit(situation, container),
        )
    return say(
        "state.poured",
        "{tag}: {vessel} of {product}, lot {lot}, poured from {source} {time}. Good to "
        "{good_to}: {limit}.",
        tag=container.tag,
        vessel=vessel,
        product=product,
        lot=_lot(container.lot),
        source=container.source,
        time=container.since,
        good_to=good_to(container.discard_by, situation.zone),
        limit=_limit(situation, container),
    )


def _limit(situation: Situation, thing: Container | StripBottle) -> Text:
    """S5: of one lot the earliest expiry counts, though a later one stands on this label.

    S6: what was poured from a topped-up bottle was topped up itself by nobody.
    """
    ends = end_of_day(thing.expires, situation.zone) if thing.expires else thing.discard_by
    is_earlier = thing.because == EXPIRY and thing.discard_by < ends
    return limit(EARLIER_EXPIRY if is_earlier else thing.because)


def what_is_in(situation: Situation, container: Container) -> str | Text:
    """What it holds, as it is called; of a jug that is mixed from, the source."""
    product = product_here(situation, container.product)
    if container.kind is Kind.JUG and isinstance(product, Chemistry):
        return in_a_jug(product)
    return title_here(situation, container.product)


def in_a_jug(chemistry: Chemistry) -> str | Text:
    """What a jug holds: of what is mixed here it is the source, and no disinfectant yet."""
    if chemistry.is_single_use:
        return say("containers.source", "bleach/powder")
    return chemistry.title


def title_here(situation: Situation, name: str) -> str:
    """How a product is called; its stable name, where no file has it any more."""
    product = product_here(situation, name) or shipped().product(name)
    return product.title if product else name


def _lot(lot: str) -> Text:
    return say("state.lot", "{lot}", lot=lot) if lot else say("state.lot.none", "not noted")


def _unknown() -> Text:
    return say("state.unknown", "not noted")


def _vessel(container: Container) -> Text:
    """What it is, and how much it held at first where that is on the record."""
    kind = _kind(container.kind)
    if container.volume_ml is None:
        return kind
    return say("state.vessel", "{volume} {kind}", volume=volume(container.volume_ml), kind=kind)


def _kind(kind: Kind) -> Text:
    if kind is Kind.BATH:
        return say("state.kind.bath", "bath")
    if kind is Kind.JUG:
        return say("state.kind.jug", "jug")
    if kind is Kind.MIXED:
        return say("state.kind.mixed", "batch")
    return say("state.kind.bottle", "bottle")


def _use(situation: Situation, container: Container, moment: Moment) -> Text:
    """Whether it is for use, its strip, how many have soaked in it, what was poured from it."""
    tag = container.tag
    if not is_for_use(situation, container, moment):
        return not_for_use(situation, container, moment)
    if container.kind is Kind.MIXED:
        return say("state.use.mixed", "{tag}: in date, for what its label says.", tag=tag)
    if container.kind is not Kind.BATH:
        return _source_use(situation, container, moment)
    return _bath_use(situation, container, moment)


def _source_use(situation: Situation, container: Container, moment: Moment) -> Text:
    """A jug or a bottle: what was poured from it; its own strip, where it is tested itself."""
    if lacks_its_activator(situation, container):
        return say(
            "state.use.inactive",
            "{tag}: not noted as activated, so not for use yet: {pour} {tag} leads through it.",
            tag=container.tag,
        )
    if container.passed and has_pass(container, moment):
        return say(
            "state.use.source.passed",
            "{tag}: strip passed {time}, good to {good_to}. Poured from it: {tags}.",
            tag=container.tag,
            time=container.passed.at,
            good_to=good_to(container.passed.good_until, situation.zone),
            tags=listed(_poured_from(situation, container.tag)),
        )
    return say(
        "state.use.source",
        "{tag}: for use. Poured from it: {tags}.",
        tag=container.tag,
        tags=listed(_poured_from(situation, container.tag)),
    )


def _bath_use(situation: Situation, container: Container, moment: Moment) -> Text:
    tag = container.tag
    soaks = _soaks(situation, container)
    if container.in_use_by:
        return _in_use(situation, situation.clinic.cycles[container.in_use_by], tag, soaks)
    product, cycle = product_here(situation, container.product), _mixed_for(situation, container)
    if isinstance(product, Chemistry) and product.is_single_use and cycle:
        return say(
            "state.use.single_use",
            "{tag}: mixed for the next soak of {device} and for no other. No strip exists for it.",
            tag=tag,
            device=cycle.device,
        )
    if container.passed and has_pass(container, moment):
        return say(
            "state.use.passed",
            "{tag}: strip passed {time}, good to {good_to} for one soak. {soaks}",
            tag=tag,
            time=container.passed.at,
            good_to=good_to(container.passed.good_until, situation.zone),
            soaks=soaks,
        )
    return say(
        "state.use.untested",
        "{tag}: no strip has passed in it for the next soak yet. {soaks}",
        tag=tag,
        soaks=soaks,
    )


def _in_use(situation: Situation, cycle: Cycle, tag: str, soaks: Text) -> Text:
    if is_out(situation.clinic, cycle):
        return say(
            "state.use.reading",
            "{tag}: {device} is out of it, and its temperature is still asked for. {soaks}",
            tag=tag,
            device=cycle.device,
            soaks=soaks,
        )
    return say(
        "state.use.in_use",
        "{tag}: {device} is in it. {soaks}",
        tag=tag,
        device=cycle.device,
        soaks=soaks,
    )


def _poured_from(situation: Situation, tag: str) -> list[str]:
    return [
        each.tag
        for each in situation.clinic.containers.values()
        if each.source == tag and each.fitness is not Fitness.DISCARDED
    ]


def _soaks(situation: Situation, container: Container) -> Text:
    """How many, and of how many where the product counts them."""
    product = product_here(situation, container.product)
    if isinstance(product, Chemistry) and product.bath_uses_max is not None:
        return say(
            "state.soaks.of",
            "Soaks so far: {count} of {total} at most.",
            count=container.uses,
            total=product.bath_uses_max,
        )
    return say("state.soaks", "Soaks so far: {count}.", count=container.uses)


def held_for_a_strip(tag: str) -> Text:
    """S4: what shares its origin with something that failed, and what frees it."""
    return say(
        "state.held",
        "{tag}: ON HOLD until a strip of its own passes: {test} {tag}. Until then not for use.",
        tag=tag,
    )


def not_for_use(situation: Situation, container: Container, moment: Moment) -> Text:
    """Why, and what becomes of it."""
    tag = container.tag
    if set_aside(situation.clinic, container):
        return keep_it(tag)
    if container.fitness is Fitness.HELD and moment.now < container.discard_by:
        if container.why in FREED_BY_A_STRIP:
            return held_for_a_strip(tag)
        return say(
            "state.held.contact",
            "{tag}: ON HOLD after two strips without a result. Your contact will look at it. Use "
            "another one.",
            tag=tag,
        )
    if container.fitness is Fitness.DISCARDED:
        return say("state.gone", "{tag}: NOT FOR USE, noted as thrown away.", tag=tag)
    if _is_for_no_probe_here(situation, container, moment):
        return say(
            "state.not_here",
            "{tag}: NOT FOR USE here: no probe of this site is soaked in {product}.",
            tag=tag,
            product=title_here(situation, container.product),
        )
    return say(
        "state.container.not",
        "{tag}: NOT FOR USE: {why}. Throw it away by the maker's sheet, then text {discard} "
        "{tag}.",
        tag=tag,
        why=why_not(container, product_here(situation, container.product), moment),
    )


def _is_for_no_probe_here(situation: Situation, container: Container, moment: Moment) -> bool:
    unknown = product_here(situation, container.product) is None
    return unknown and is_sound(container, moment.now)


# -- strips -------------------------------------------------------------------------------------


def _strips(situation: Situation, bottle: StripBottle) -> Text:
    return say(
        "state.strips",
        "{tag}: {product}, lot {lot}, expiry {day}, opened {time}. Good to {good_to}: {limit}.",
        tag=bottle.tag,
        product=title_here(situation, bottle.product),
        lot=_lot(bottle.lot),
        day=bottle.expires or _unknown(),
        time=bottle.opened,
        good_to=good_to(bottle.discard_by, situation.zone),
        limit=_limit(situation, bottle),
    )


def _strips_use(situation: Situation, bottle: StripBottle, moment: Moment) -> Text:
    tag = bottle.tag
    if set_aside(situation.clinic, bottle):
        return keep_it(tag)
    if bottle.fitness is Fitness.DISCARDED:
        return say("state.gone", "{tag}: NOT FOR USE, noted as thrown away.", tag=tag)
    if is_usable(bottle, moment.now) and not situation.uses(bottle.product):
        return strips_of_no_use_here(tag)
    if is_usable(bottle, moment.now):
        return say(
            "state.strips.good",
            "{tag}: for use. Tested with good and half-strength solution.",
            tag=tag,
        )
    if bottle.fitness is Fitness.GOOD and moment.now < bottle.discard_by:
        return say(
            "state.strips.unchecked",
            "{tag}: NOT FOR USE: not tested yet with good and half-strength solution. Text "
            "{test} {tag}.",
            tag=tag,
        )
    return say(
        "state.strips.not",
        "{tag}: NOT FOR USE. Throw it away, then text {discard} {tag}.",
        tag=tag,
    )
