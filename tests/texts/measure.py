"""Every text in every language, and how long it can get."""

import re

from bot.texts.catalogue import translated
from bot.texts.render import PLACEHOLDER
from bot.texts.sayings import sayings
from flows.parts.text import LONGEST, Text
from flows.words import WORDS

SAYINGS = sayings()
TEXTS = {saying.slug: Text(saying.slug, saying.english) for saying in SAYINGS}


def in_language(language: str, slug: str) -> str:
    """A text as its catalogue has it, placeholders open."""
    return translated(TEXTS[slug], language)


def at_its_longest(language: str, slug: str) -> str:
    """A text with the longest value in each placeholder; one that nobody knows stays open."""

    def longest(found: re.Match[str]) -> str:
        word = WORDS.get(found[1])
        if word is not None:
            return in_language(language, word.slug)
        return LONGEST.get(found[1], found[0])

    return PLACEHOLDER.sub(longest, in_language(language, slug))
