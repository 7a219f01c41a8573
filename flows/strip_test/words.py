"""What a strip is asked for in: its own dip, handling, time and colours, from its file (S4)."""

from collections.abc import Mapping
from types import MappingProxyType

from flows.parts.clinic import Container, Fitness, Kind, StripBottle, Thread
from flows.parts.situation import Situation
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text, Value, say
from flows.protocols.model import StripProduct
from flows.rules.recall import set_aside
from flows.rules.recall_words import no_test_of
from flows.rules.strip import BOTTLE_DAILY

COLOURS: Mapping[str, Text] = MappingProxyType(
    {
        "all purple": say("colour.all_purple", "all purple"),
        "any blue": say("colour.any_blue", "any blue"),
        "yellow": say("colour.yellow", "yellow"),
        "all dark": say("colour.all_dark", "all dark"),
        "white": say("colour.white", "white"),
    }
)
"""The colours of shipped strips, to be translated; a site's own strip keeps its own words."""

HANDLING: Mapping[str, Text] = MappingProxyType(
    {
        "Drain it upright 5 s, pad up; then cover it.": say(
            "handling.upright_covered", "Drain it upright 5 s, pad up; then cover it."
        ),
    }
)
"""What is done with a shipped strip that is not laid flat; the same holds for it."""


def dip(situation: Situation, product: StripProduct, example: str) -> Text:
    """How many, how long, and what is done with them as they are lifted out."""
    values: dict[str, Value] = {
        "tag": _tag(situation),
        "dip_for": product.dip_for,
        "example": example,
        "strip_of": _strip_of(situation, product),
    }
    if product.handling:
        values["handling"] = HANDLING.get(product.handling, product.handling)
    if product.strips_per_test > 1:
        return _dip_several(product, values)
    if product.handling:
        return say(
            "strip.dip.handled",
            "Dry hands. Dip {strip_of} in {tag} for {dip_for}, no stirring. Reply {example} as "
            "you lift it out. {handling}",
            **values,
        )
    return say(
        "strip.dip",
        "Dry hands. Dip {strip_of} in {tag} for {dip_for}, no stirring, and lay it flat. "
        "Reply {example} as you lift it out.",
        **values,
    )


def _dip_several(product: StripProduct, values: dict[str, Value]) -> Text:
    if product.handling:
        return say(
            "strip.dip.several.handled",
            "Dry hands. Dip {strip_of} in {tag} for {dip_for}, no stirring. Lifted out: reply "
            "{example}. Each: {handling}",
            **values,
        )
    return say(
        "strip.dip.several",
        "Dry hands. Dip {strip_of} in {tag} for {dip_for}, no stirring, lay them flat. "
        "Reply {example} as you lift them out.",
        **values,
    )


def _strip_of(situation: Situation, product: StripProduct) -> Text:
    """S4: of which bottle, where another one stands here that it could be taken from."""
    asked, strips = situation.frame.memo.get("strips", ""), situation.clinic.strips.values()
    others = [
        each for each in strips if each.fitness is not Fitness.DISCARDED and each.tag != asked
    ]
    several = product.strips_per_test > 1
    if asked and others and several:
        return say(
            "strip.several_of", "{count} strips of {tag}", count=product.strips_per_test, tag=asked
        )
    if asked and others:
        return say("strip.one_of", "a strip of {tag}", tag=asked)
    if several:
        return say("strip.several", "{count} strips", count=product.strips_per_test)
    return say("strip.one", "a strip")


def dip_again(example: str, strips: str) -> Text:
    """Asked for once more, with the way out where there are none left."""
    return say(
        "strip.dip.again",
        "As the strip leaves the liquid, reply {dip} and where it was dipped: {example}. No "
        "strips left? {discard} {tag}.",
        example=example,
        tag=strips,
    )


def dip_alone(example: str) -> Text:
    """S4: with more words beside it nobody knows when it was dipped, or whether it was."""
    return say(
        "strip.dip.alone",
        "With more words I note no strip. If you lifted it out this moment: reply {example} at "
        "once. Dipped before now? Throw it away and take a new one.",
        example=example,
    )


def not_of_these(tag: str, asked: str) -> Text:
    """S4: the strips that were dipped are not tested, out of use, or of another product."""
    return say(
        "strip.not_of_these",
        "The strips of {tag} judge nothing here: do not read that one. Dip one of {source}, its "
        "time begins then. To test those of {tag}: {test} {tag}.",
        tag=tag,
        source=asked,
    )


def read(situation: Situation, product: StripProduct, first: int) -> Text:
    """When it is read, and what its colours mean; *first* is the digit of a pass."""
    if product.strips_per_test > 1:
        return say(
            "strip.read.several",
            "{tag}: read all {count} strips after {wait_for} by your watch. {digit_a} "
            "{pass_colour} on each, {digit_b} {fail_colour} or patchy on any, {digit_c} not sure.",
            count=product.strips_per_test,
            wait_for=product.read_after,
            **_colours(situation, product, first),
        )
    return say(
        "strip.read",
        "{tag}: read the strip after {wait_for} by your watch. {digit_a} {pass_colour}, {digit_b} "
        "{fail_colour} or patchy, {digit_c} not sure.",
        wait_for=product.read_after,
        **_colours(situation, product, first),
    )


def read_again(situation: Situation, product: StripProduct, first: int) -> Text:
    """The same, once its time has come."""
    if product.strips_per_test > 1:
        return say(
            "strip.read.several.again",
            "{count} strips from {tag}: reply {digit_a} {pass_colour} on each, {digit_b} "
            "{fail_colour} or patchy on any, {digit_c} not sure.",
            count=product.strips_per_test,
            **_colours(situation, product, first),
        )
    return say(
        "strip.read.again",
        "Strip from {tag}: reply {digit_a} {pass_colour}, {digit_b} {fail_colour} or patchy, "
        "{digit_c} not sure.",
        **_colours(situation, product, first),
    )


def passed(situation: Situation, container: Container, until: Text) -> Text:
    """S4: what a pass allows: a soak in that very bath; of what a bath is poured from, none.

    Unless the site tests the bottle daily, which then stands for its baths.
    """
    if container.kind is Kind.BATH:
        return say(
            "strip.passed",
            "{tag} passed: good to {good_to}, for one soak. The date on its label stays as it is.",
            tag=container.tag,
            good_to=until,
        )
    if situation.protocol_here.strip_policy == BOTTLE_DAILY:
        return say(
            "strip.passed.daily",
            "{tag} passed: good to {good_to}, for the baths poured from it. The date on its label "
            "stays as it is.",
            tag=container.tag,
            good_to=until,
        )
    return say(
        "strip.passed.source",
        "{tag} passed. That is no leave to soak: each bath poured from it takes a strip of its "
        "own. The date on its label stays as it is.",
        tag=container.tag,
    )


def no_result(product: StripProduct, reason: Text) -> Text:
    """S4: it may be repeated once, with as many strips as a test takes."""
    if product.strips_per_test > 1:
        return say(
            "strip.no_result.several",
            "No result: {reason} One new test of {count} strips is allowed, timed by your watch.",
            count=product.strips_per_test,
            reason=reason,
        )
    return say(
        "strip.no_result",
        "No result: {reason} One new strip is allowed, timed by your watch.",
        reason=reason,
    )


def another_strip(product: StripProduct) -> Text:
    """S4: nobody knows of which bottle it is, and the one that was asked for is not good now."""
    if product.strips_per_test > 1:
        return say(
            "strip.another.several",
            "Do not read those strips: their bottle may be one that is not for use any more. Take "
            "{count} of a good bottle; no test is lost.",
            count=product.strips_per_test,
        )
    return say(
        "strip.another",
        "Do not read that strip: its bottle may be one that is not for use any more. Take one of "
        "a good bottle; no test is lost.",
    )


def gone_meanwhile(tag: str, test: Thread) -> Text:
    """S4: thrown away from another phone; a strip that is dipped already still counts."""
    if is_to_be_read(test):
        return say(
            "strip.still_to_read",
            "{tag} is noted as thrown away and is not for use. Its strip still counts: read it "
            "all the same.",
            tag=tag,
        )
    return say(
        "strip.gone_meanwhile",
        "{tag} is noted as thrown away: its strip is not read any more, and {tag} is not for use.",
        tag=tag,
    )


def _colours(situation: Situation, product: StripProduct, first: int) -> dict[str, Value]:
    return {
        "tag": _tag(situation),
        "digit_a": first,
        "digit_b": first + 1,
        "digit_c": first + 2,
        "pass_colour": COLOURS.get(product.pass_colour, product.pass_colour),
        "fail_colour": COLOURS.get(product.fail_colour, product.fail_colour),
    }


def _tag(situation: Situation) -> str:
    return situation.frame.memo.get("container", "")


def which() -> Text:
    """No container was named."""
    return say("strip.which", "Test which one? Its tag, like {test} T1.")


def not_made_for(situation: Situation, container: Container) -> Text:
    """S4: each product has its own strips; another's say nothing of it."""
    return say(
        "strip.not_made_for",
        "{tag} holds {product}, and this strip is for {other}: dip it in {source} only.",
        tag=container.tag,
        product=_title(situation, container),
        other=situation.protocol_here.chemistry.title,
        source=_tag(situation),
    )


def no_longer_used(situation: Situation, thing: Container | StripBottle) -> Text:
    """What was used before the site chose otherwise: there is no need to test it."""
    return say(
        "strip.no_longer_used",
        "{tag} is of {product}, and no probe here is soaked with that: no test is needed. Thrown "
        "away? {discard} {tag}.",
        tag=thing.tag,
        product=_title(situation, thing),
    )


def _title(situation: Situation, thing: Container | StripBottle) -> str:
    """How it is called; its stable name, where no file has it any more."""
    product = situation.product(thing.product)
    return product.title if product else thing.product


def failed(container: Container) -> Text:
    """S4: no second try to make it pass; thrown away already, it is told all the same."""
    if container.fitness is Fitness.DISCARDED:
        return say(
            "strip.failed.gone",
            "{tag} FAILED. It is noted as thrown away: let nobody use it, tip nothing back. Your "
            "contact is told.",
            tag=container.tag,
        )
    return say(
        "strip.failed",
        "{tag} FAILED. Do not use it, do not test it again. Tip nothing back. Label it NOT FOR "
        "USE, then text {discard} {tag}. Your contact is told.",
        tag=container.tag,
    )


def out_of_use(situation: Situation, tag: str) -> Text:
    """Why no strip is dipped in it, or why a pass of it counts for nothing."""
    container = situation.clinic.containers.get(tag)
    if container is None or container.fitness is Fitness.DISCARDED:
        return gone(tag)
    if set_aside(situation.clinic, container):
        return no_test_of(tag)
    return say(
        "strip.not_this",
        "{tag} is out of use: no strip can bring it back. Text {discard} {tag} and take another.",
        tag=tag,
    )


def gone(tag: str) -> Text:
    """S4: what was thrown away is not for use, whatever a strip shows."""
    return say(
        "strip.gone",
        "{tag} is noted as thrown away: it is not for use, and no strip can bring it back. Take "
        "another.",
        tag=tag,
    )


def never_read(tag: str) -> Text:
    """S4: held for strips that nobody has read; one that is dipped now can still fail it."""
    return say(
        "strip.held.never_read",
        "{tag} is on hold: two strips of it have no result, as nobody read them. Your contact is "
        "told. Use another one. Read this strip all the same.",
        tag=tag,
    )
