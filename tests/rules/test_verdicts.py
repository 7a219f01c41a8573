"""What a rule has decided stays as it was decided: nobody can change it, or hang a word on it."""

from dataclasses import FrozenInstanceError, fields, is_dataclass
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

import pytest

import flows.rules


def verdicts() -> dict[str, type[Any]]:
    """Every dataclass that a file of the rules brings, by its name there."""
    names = [f"flows.rules.{each.name}" for each in iter_modules(flows.rules.__path__)]
    return {
        held.__name__: held
        for name in names
        for held in vars(import_module(name)).values()
        if isinstance(held, type) and is_dataclass(held) and held.__module__ == name
    }


def test_every_verdict_is_looked_at() -> None:
    assert set(verdicts()) >= {"Cause", "Decided", "Judged", "Refused"}


@pytest.mark.parametrize("name", sorted(verdicts()))
def test_a_verdict_cannot_be_changed(name: str) -> None:
    verdict = verdicts()[name]
    decided: Any = object.__new__(verdict)

    for each in fields(verdict):
        with pytest.raises(FrozenInstanceError):
            setattr(decided, each.name, "otherwise")


@pytest.mark.parametrize("name", sorted(verdicts()))
def test_nothing_can_be_hung_on_a_verdict(name: str) -> None:
    verdict = verdicts()[name]

    assert not hasattr(object.__new__(verdict), "__dict__")
