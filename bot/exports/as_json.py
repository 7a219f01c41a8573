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

An entry that a later one corrects stays as it is; beside it, under `corrected`, stand the number
of the entry that corrects it, the field, and the value it should have been (S15).
"""

import json
from collections.abc import Iterable, Iterator

from bot.record.written import Written
from bot.reports.facts import Facts, rests_on
from bot.reports.timeline import Timeline
from flows.parts.events import Corrected


def lines(
    entries: Iterable[Written], corrections: Iterable[tuple[int, Corrected]] = ()
) -> Iterator[str]:
    """A line an entry, in the order given; *corrections* by the numbers of their own entries."""
    beside: dict[int, list[dict[str, object]]] = {}
    for seq, said in corrections:
        told = {"entry": seq, "field": said.field, "value": said.value}
        beside.setdefault(said.entry, []).append(told)
    for each in entries:
        line = {
            "site": each.site,
            "seq": each.seq,
            "prev": each.prev,
            "body": each.body,
            "hash": each.hash,
        }
        also = {"corrected": beside[each.seq]} if each.seq in beside else {}
        yield json.dumps(line | also, ensure_ascii=False)


def cycle_lines(timeline: Timeline) -> Iterator[str]:
    """A cycle's entries, those it rests on, and those that correct one of these; by number."""
    facts = Facts(timeline)
    both = {each.seq: each for each in (*rests_on(facts), *timeline.entries)}
    correcting = {seq for _, seq, _ in facts.corrections}
    both |= {each.seq: each for each in timeline.grounds if each.seq in correcting}
    return lines((both[seq] for seq in sorted(both)), timeline.all_corrections)
