"""English with accents: the language that shows what was never sent to a translator."""

import re

_ACCENTS = str.maketrans("aeiounAEOUN", "àéìòùñÄÉÖÜÑ")
"""Each in the SMS alphabet and one septet, so that nothing grows."""

_PARTS = re.compile(r"(\{\w+\})")


def pseudo(english: str) -> str:
    """The same text with accents on whatever can bear one; placeholders stay as they are."""
    parts = _PARTS.split(english)
    return "".join(part if at % 2 else part.translate(_ACCENTS) for at, part in enumerate(parts))
