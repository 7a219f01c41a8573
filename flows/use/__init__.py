"""USED, CHECK, FAULT, SPILL: facts about a device, never refused (S7, S9, S13, S16)."""

from flows.parts.step import flow
from flows.use.check import check, standing, why_text
from flows.use.cut_short import cut_short
from flows.use.fault import asked_if_fault, fault, quarantine
from flows.use.meant import Meant, names_meant
from flows.use.of_when import ABOUT
from flows.use.put_right import use_put_right
from flows.use.spill import spill
from flows.use.used import CODE, used

__all__ = [
    "ABOUT",
    "USE",
    "Meant",
    "asked_if_fault",
    "check",
    "cut_short",
    "fault",
    "names_meant",
    "quarantine",
    "spill",
    "standing",
    "use_put_right",
    "used",
    "why_text",
]

USE = flow("use", CODE)
