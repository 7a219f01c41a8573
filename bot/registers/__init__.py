"""Setting up and closing sites, people, devices.

A register changes nothing by itself: it reads what was typed and hands back a `SetUp`, events for
the record and rows for the tables that can be erased, which go through the exchange together.
"""
