"""T1, or T1-K with its check letter: how a label here is written."""

import re
from collections.abc import Iterable

TAG = re.compile("([JBTSM][0-9]{1,3})(?:-?[A-Z])?")
"""A jug, working bottle, tub, bottle of strips or what was mixed, with its check letter or not."""

VESSEL = re.compile("([JBTM][0-9]{1,3})(?:-?[A-Z])?")
"""The same of what holds a liquid: a probe may be in it."""


def tags_in(words: Iterable[str]) -> dict[str, str]:
    """The tags among *words*, each as it was typed and without its check letter, in that order."""
    return {word: tag[1] for word in words if (tag := TAG.fullmatch(word))}
