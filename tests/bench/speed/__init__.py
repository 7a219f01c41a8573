"""How fast, how late, how large: ratios against a bare endpoint, all in one run.

`python -m tests.bench.speed [--quick] [part...]`; the parts are exchanges, statements, bells,
growth and memory. Absolute numbers belong to the machine that the report names; the ratios are
taken in turns, so that whoever else uses the machine slows down both sides.
"""
