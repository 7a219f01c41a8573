"""What a flow is, in ten lines of docstring; nothing else.

A flow is a table of steps. A step says what it asks, what it accepts as an answer, and what
follows. What follows is a `Decision`: events (what happened), sayings (texts to send) and where
to go next. A step is handed everything it may look at (a `Situation`) and the time (a `Moment`);
it reads no clock, no database and no network. `fold` turns events into the state of a clinic,
and is the one meaning of every event. `answer` is the one door: a text, a bell or a fact comes
in, an `Outcome` goes out. Whoever gives this package a phone, a clock and a memory is `bot`.
"""
