"""Text -> words: gettext, numbers, dates, in a person's language."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from zoneinfo import ZoneInfo

from bot.texts.catalogue import languages, translated
from bot.texts.segments import to_gsm7
from bot.texts.written import Reader, written
from flows.parts.situation import Vocabulary
from flows.parts.text import LONGEST, Text
from flows.words import WORDS

PLACEHOLDER = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class Renderer:
    """Fills texts in. A placeholder that bears a word's name is that word, said once for all."""

    words: Mapping[str, Text] = field(default_factory=lambda: WORDS)

    def render(self, text: Text, language: str, zone: ZoneInfo, now: datetime) -> str:
        """Put a text into words that fit the SMS alphabet.

        Raises LookupError for a placeholder that was given nothing; no value raises.
        """
        return to_gsm7(self._filled(text, Reader(language, zone, now)))

    def vocabularies(self) -> Mapping[str, Vocabulary]:
        """Every language's command and answer words."""
        return MappingProxyType(
            {language: Vocabulary(self._words_in(language)) for language in languages()}
        )

    def _words_in(self, language: str) -> Mapping[str, str]:
        return MappingProxyType(
            {name: to_gsm7(translated(word, language)) for name, word in self.words.items()}
        )

    def _filled(self, text: Text, reader: Reader) -> str:
        def fill(found: re.Match[str]) -> str:
            return self._value(text, found[1], reader)

        return PLACEHOLDER.sub(fill, translated(text, reader.language))

    def _value(self, text: Text, name: str, reader: Reader) -> str:
        value = text.values.get(name, self.words.get(name))
        if value is None:
            raise LookupError(f"{text.slug}: nothing was given for {{{name}}}; pass it to say().")
        pieces = written(value, reader, len(LONGEST.get(name, "")))
        return " ".join(
            piece if isinstance(piece, str) else self._filled(piece, reader) for piece in pieces
        )
