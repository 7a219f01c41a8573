"""What these tests are made of: the shipped protocols, and files with one thing changed."""

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from flows.protocols import protocol_for
from flows.protocols.model import CycleProtocol, Problem, Selection, SiteChoice

SELECTION = Selection("opa_055", "opa_strip_1s_90s", "handheld_probe", "enzymatic")
OPA = "chemistries/opa_055.toml"
STRIP = "strips/opa_strip_1s_90s.toml"
PROBE = "devices/handheld_probe.toml"
COVER = "covers/towel_cover.toml"
DETERGENT = "detergents/enzymatic.toml"


def file_with(path: str, **changed: object) -> dict[str, Any]:
    """A shipped file, parsed, with some values changed; their sources stay."""
    parsed = tomllib.loads(files("flows.protocols").joinpath(path).read_text())
    for key, value in changed.items():
        old = parsed[key]
        parsed[key] = {**old, "value": value} if isinstance(old, Mapping) else value
    return parsed


def cycle_protocol(*choices: SiteChoice) -> CycleProtocol:
    """What a cycle is held to under the site's choices."""
    made = protocol_for(SELECTION, choices)
    assert isinstance(made, CycleProtocol), made
    return made


def lines(outcome: object) -> list[str]:
    """The problems as they are printed."""
    assert isinstance(outcome, list), outcome
    assert all(isinstance(problem, Problem) for problem in outcome)
    return [str(problem) for problem in outcome]
