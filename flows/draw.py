"""Flow tables -> plain graph -> Mermaid; FLOWS.md is its output.

A graph knows steps and arrows, and nothing of how they were found: the arrows come from a walk,
which has gone each of them.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from flows.parts.step import Flow

END = "end"
"""Where a conversation is over."""

OPENED = "opened"
"""Where one begins: a command, or a hand-over."""


@dataclass(frozen=True, slots=True)
class Arrow:
    """From one question to the next, as flow/step, and what was said or rang in between."""

    start: str
    to: str
    label: str


@dataclass(frozen=True, slots=True)
class Graph:
    """One flow: its questions, and the ways between them and to other flows."""

    name: str
    nodes: tuple[str, ...]
    arrows: tuple[Arrow, ...]


def graph_of(flow: Flow, arrows: Iterable[Arrow]) -> Graph:
    """The part of *arrows* that begins or ends in *flow*, in the order of its table."""
    order = [f"{flow.name}/{step}" for step in flow.steps]
    place = {node: at for at, node in enumerate(order)}
    mine = [each for each in merged(arrows) if each.start in place or each.to in place]
    drawn = {node for each in mine for node in (each.start, each.to)}
    others = sorted(drawn - set(order))
    nodes = (*(node for node in order if node in drawn), *others)

    def by_table(arrow: Arrow) -> tuple[int, str, int, str]:
        far = len(order)
        return place.get(arrow.start, far), arrow.start, place.get(arrow.to, far), arrow.to

    return Graph(flow.name, nodes, tuple(sorted(mine, key=by_table)))


def merged(arrows: Iterable[Arrow]) -> list[Arrow]:
    """One arrow between two questions, with all that leads along it."""
    labels: dict[tuple[str, str], set[str]] = defaultdict(set)
    for arrow in arrows:
        labels[arrow.start, arrow.to].add(arrow.label)
    return [Arrow(*ends, ", ".join(sorted(said))) for ends, said in labels.items()]


def mermaid(graph: Graph) -> str:
    """The graph in Mermaid's flowchart notation."""
    nodes = [f"  {_name(node)}{_shape(graph.name, node)}" for node in graph.nodes]
    arrows = [
        f'  {_name(each.start)} -->|"{each.label}"| {_name(each.to)}' for each in graph.arrows
    ]
    return "\n".join(["flowchart TD", *nodes, *arrows])


def _name(node: str) -> str:
    """A name that Mermaid takes: `end` is a word of its own there."""
    return node.replace("/", "_") if "/" in node else f"_{node}"


def _shape(flow: str, node: str) -> str:
    """A box for a question of this flow, a round one for another's, a ring for begin and end."""
    if node in {END, OPENED}:
        return f'(("{node}"))'
    own = node.removeprefix(f"{flow}/")
    return f'["{own}"]' if own != node else f'("{node}")'


def page(flows: Mapping[str, Flow], arrows: Iterable[Arrow]) -> str:
    """Every flow, a heading and a picture each."""
    gone = tuple(arrows)
    pictures = [
        f"## {name}\n\n```mermaid\n{mermaid(graph_of(flow, gone))}\n```\n"
        for name, flow in flows.items()
    ]
    return "\n".join([HEADING, *pictures])


HEADING = """# The flows, as they are walked

Drawn by `python -m flows`; a test compares. A box is a question; on an arrow stands the answer or
the bell that leads along it; a round box is a question of another flow. These are the ways within
one slip of the work going as it should. Left out are answers that change nothing, what may be
texted at any time (a fault, a use, a discard), and that a question which nobody answers is asked
again, told, and at last given up.
"""
