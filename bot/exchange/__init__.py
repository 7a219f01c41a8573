"""THE path: a text, a bell or a fact -> one transaction -> record, outbox, timers.

Start reading here. `doors` takes them in, `path` is the one way they all go: locked and loaded
site -> `flows.answer` -> entries, texts, kept words; commit. Then the sender is woken. What goes
wrong on the way ends in `poison`, and what the gateway lost is brought by `fetching`.
"""

from bot.exchange.doors import Exchange, Handled
from bot.exchange.fetching import Fetching
from bot.exchange.path import Parts

__all__ = ["Exchange", "Fetching", "Handled", "Parts"]
