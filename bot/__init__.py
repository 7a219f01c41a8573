"""Soakbell's shell: it gives the flows a phone, a clock and a memory."""

__version__ = "0.1.0"
