"""S1-S22: where each is enforced, one line each.

S5, S6: container_life.
"""
