"""Benches, started by hand: how fast the bot is, and whether a test notices a broken rule."""
