"""What is said where a bath is mixed for one soak: how strong, how much, and why it is none."""

from decimal import Decimal
from fractions import Fraction

from flows.calculations.chlorine_source import Source, source_as_written
from flows.containers.mixing_words import SOURCE
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.amounts import Amounts
from flows.rules.amount_words import shown, volume


def example(situation: Situation, litres: int) -> Text:
    """S4: of what the site has on file: an example is copied, and no strip would show it."""
    on_file = source_as_written(situation.site.way(SOURCE))
    amount = volume(Decimal(1000 * litres))
    if on_file is None:
        return say(
            "containers.single_use.example.either",
            "5% {volume}, or 70% {powder} {volume}",
            volume=amount,
        )
    return _as_typed(on_file, amount)


def _as_typed(source: Source, amount: Text) -> Text:
    if source.kind == "powder":
        return say(
            "containers.single_use.as_powder",
            "{source_percent}% {powder} {volume}",
            source_percent=source.shown,
            volume=amount,
        )
    return say(
        "containers.single_use.as_bleach",
        "{source_percent}% {volume}",
        source_percent=source.shown,
        volume=amount,
    )


def not_on_file(situation: Situation, said: Amounts, source: Source) -> Text:
    """S4: one of the two is wrong, and half the chlorine would show nowhere."""
    on_file = source_as_written(situation.site.way(SOURCE)) or source
    return say(
        "containers.single_use.not_on_file",
        "On file here: {strength} %. Is it {source_percent} % on the label of {source}? Then text "
        "{source} {example}. Else look again and say it anew.",
        strength=on_file.shown,
        source_percent=source.shown,
        source=situation.frame.memo.get("source", ""),
        example=_as_typed(source, volume(said.volume_ml)),
    )


def below_the_line(situation: Situation, said: Amounts) -> Text:
    """S3: what is not under to its line has not soaked."""
    return say(
        "containers.single_use.too_little",
        "{at_hand} does not cover {device} to its line: {volume} at least. Please say it once "
        "more, like 5% 2 L.",
        at_hand=volume(said.volume_ml),
        device=situation.cycle.device,
        volume=volume(Decimal(situation.protocol_here.device_model.bath_volume_ml)),
    )


def as_powder(said: Amounts, source: Source) -> Text:
    """How the same is said of powder."""
    return _as_typed(Source("powder", source.percent), volume(said.volume_ml))


def mixed_before(source: Fraction) -> Text:
    """S5: nobody can say how old a solution is that was not mixed just now."""
    return say(
        "containers.single_use.mixed_before",
        "{source_percent} % is weaker than any bleach as bought: mixed before, it may have "
        "weakened. For a soak please mix it new: strength on the bottle as bought?",
        source_percent=shown(source),
    )


def tip_it_out() -> Text:
    return say(
        "containers.single_use.not_so",
        "Then that mixture is not for use: throw it away, rinse and dry what it was in, "
        "begin again.",
    )


def over_already() -> Text:
    """S5: what may have been mixed before midnight is of yesterday."""
    return say(
        "containers.single_use.over",
        "It may have been mixed before midnight, so its day is over: throw it away, rinse and dry "
        "what it was in, begin again.",
    )
