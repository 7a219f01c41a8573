"""JSON Lines, hashes included: anybody can check the chain with SHA-256 alone.

Each line is one entry: its site, its number, `prev` (the hash of the entry before it, or 64
zeros), `body` (the very text that was hashed, canonical JSON by RFC 8785) and `hash`. To check:

1. for each line SHA-256 over the 64 characters of `prev` followed by the UTF-8 bytes of `body`,
   in hexadecimal, is its `hash`:  printf '%s%s' "$prev" "$body" | sha256sum
2. in an export of everything, each line's `prev` is the `hash` of the line before it, the
   numbers run from 1 without a gap, and each body's own `seq` and `site` are those of its line;
3. the last `hash` is the head; its first eight characters stand in the supervisor's daily text,
   and all heads stand in the programme's own chain, which is exported in the same way.

An export of one cycle has gaps: step 1 holds for each of its lines, step 2 where two lines
follow each other. Names, phone numbers and free text are in no line.
"""

import json
from collections.abc import Iterable, Iterator

from bot.record.written import Written
from bot.reports.facts import Facts, rests_on
from bot.reports.timeline import Timeline


def lines(entries: Iterable[Written]) -> Iterator[str]:
    """A line an entry, in the order given."""
    for each in entries:
        yield json.dumps(
            {
                "site": each.site,
                "seq": each.seq,
                "prev": each.prev,
                "body": each.body,
                "hash": each.hash,
            },
            ensure_ascii=False,
        )


def cycle_lines(timeline: Timeline) -> Iterator[str]:
    """A cycle's entries and those it rests on, by their numbers."""
    both = {each.seq: each for each in (*rests_on(Facts(timeline)), *timeline.entries)}
    return lines(both[seq] for seq in sorted(both))
