"""One exchange while it is being decided: what has happened so far, and what is so now."""

from dataclasses import dataclass, field, replace
from datetime import datetime

from flows.answer.incoming import Around
from flows.follow import follow
from flows.parts.clinic import Clinic, Phone, Thread
from flows.parts.decision import Decision, KeptText, Move, Outcome, Saying
from flows.parts.events import Event, Stamped
from flows.parts.moment import Moment
from flows.parts.situation import Situation, Vocabulary
from flows.parts.state import fold
from flows.replies.typed import Typed, fold_ours
from flows.words import ENGLISH

NOBODY = Phone(id="", people=(), shared=False)
"""Who speaks where nobody does: a bell, or a fact."""


@dataclass(slots=True)
class Draft:
    """Mutable for the length of one `answer`; nothing of it outlives that call."""

    clinic: Clinic
    moment: Moment
    around: Around
    phone: str = ""
    person: str | None = None
    typed: Typed | None = None
    sent_at: datetime | None = None
    cause: str | None = None
    answer: str = ""
    """The digest of the text, once it has been taken as an answer (S10)."""
    events: list[Event] = field(default_factory=list)
    says: list[Saying] = field(default_factory=list)
    kept: list[KeptText] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    bell: str | None = None
    """The bell that is being rung: a question it leads to is as much a bell as its own words."""

    def happen(self, *events: Event, thread: Thread | None = None) -> None:
        """Let *events* be true, each with all that it sets off, before the next."""
        for event in events:
            self.events.append(event)
            self.clinic = fold(self.clinic, self._stamped(event))
            self.take(follow(self.situation(thread), event, self.moment), thread)

    def take(self, decision: Decision, thread: Thread | None = None) -> None:
        """What a decision says and lets happen; where it goes next is for others.

        What it sets off is heard after it: an answer comes first. A conversation that is led on
        for two reasons at once goes there once.
        """
        said_before = len(self.says)
        self.happen(*decision.events, thread=thread)
        self.says[said_before:said_before] = [
            self._addressed(saying, thread) for saying in decision.says
        ]
        self.kept += decision.kept
        self.moves += [each for each in decision.moves if each not in self.moves]

    def say(self, saying: Saying, thread: Thread | None = None) -> None:
        self.says.append(self._addressed(saying, thread))

    def _addressed(self, saying: Saying, thread: Thread | None) -> Saying:
        if saying.to is not None:
            return saying
        return replace(saying, to=thread.phone if thread else self.phone)

    def _stamped(self, event: Event) -> Stamped:
        return Stamped(event, self.moment.now, self.person, self.phone or None, self.cause)

    def situation(self, thread: Thread | None = None) -> Situation:
        """What a step may look at now, through the eyes of the thread's person if there is one."""
        person = thread.person if thread else self.person
        return Situation(
            clinic=self.clinic,
            phone=self.clinic.phones.get(self.phone, NOBODY),
            person=self.clinic.people.get(person or ""),
            vocabulary=self.vocabulary(person),
            today=self.around.today,
            history=self._history,
            names=self.around.names,
            past=self._past,
            thread=thread,
            typed=self.typed,
            sent_at=self.sent_at,
        )

    def vocabulary(self, person: str | None) -> Vocabulary:
        """The words of that person's language; of the site's, where nobody is known."""
        known = self.clinic.people.get(person or "")
        site = self.clinic.site.language if self.clinic.site else "en"
        return self.around.vocabularies.get(known.language if known else site, ENGLISH)

    @property
    def name(self) -> str:
        """Who speaks, by name; empty for nobody."""
        return self.around.names.get(self.person or "", "")

    def our_words(self) -> frozenset[str]:
        """Words that tell something here, and labels: no part of anybody's name."""
        words = self.vocabulary(self.person).words.values()
        return frozenset(map(fold_ours, (*words, *self.clinic.devices)))

    def _history(self, cycle: str) -> tuple[Stamped, ...]:
        """The record's entries of a cycle, and those that this exchange is adding."""
        added = tuple(
            self._stamped(event) for event in self.events if getattr(event, "cycle", None) == cycle
        )
        return (*self.around.history(cycle), *added)

    def _past(self, kinds: tuple[type[Event], ...], since: datetime) -> tuple[Stamped, ...]:
        """The record's entries of these kinds, and those that this exchange is adding."""
        added = (self._stamped(event) for event in self.events if isinstance(event, kinds))
        return (*self.around.past(kinds, since), *(each for each in added if since <= each.at))

    def outcome(self) -> Outcome:
        return Outcome(tuple(self.events), tuple(self.says), tuple(self.kept))
