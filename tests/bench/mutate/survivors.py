"""The mutants that no test kills, each with why; what the list says against what is found."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from tests.bench.mutate.mutants import Mutant

LIST = Path(__file__).with_name("survivors.toml")


@dataclass(frozen=True, slots=True, order=True)
class Survivor:
    """Known by what it says, not by its line number: that moves with every edit above it."""

    module: str
    within: str
    line: str
    mutation: str


def found(mutant: Mutant) -> Survivor:
    spot = mutant.spot
    return Survivor(spot.module, spot.within, spot.text, mutant.mutation)


def listed(toml: str) -> dict[Survivor, str]:
    """The list, each with why it is harmless; a ValueError for one without a reason."""
    held = {
        Survivor(each["module"], each["within"], each["line"], each["mutation"]): each["why"]
        for each in tomllib.loads(toml).get("survivor", [])
    }
    for survivor, why in held.items():
        if not why.strip():
            raise ValueError(f"{survivor.module}: {survivor.mutation} is listed without why.")
    return held


def not_listed(survived: list[Survivor], known: dict[Survivor, str]) -> list[Survivor]:
    return [each for each in dict.fromkeys(survived) if each not in known]


def outlived(
    survived: list[Survivor], known: dict[Survivor, str], modules: list[str]
) -> list[Survivor]:
    """What the list still holds although it is killed now, or is no longer there to break."""
    return [each for each in known if each.module in modules and each not in survived]


def as_entry(survivor: Survivor) -> str:
    """As the list wants it; why is for whoever adds it."""
    return "\n".join(
        [
            "[[survivor]]",
            f'module = "{survivor.module}"',
            f'within = "{survivor.within}"',
            f"line = '''{survivor.line}'''",
            f"mutation = '''{survivor.mutation}'''",
            'why = ""',
            "",
        ]
    )
