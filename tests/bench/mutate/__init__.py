"""Breaks the rules, one thing at a time: `python -m tests.bench.mutate [module...]`.

A mutant is a module with one thing wrong; it is killed when a test fails on it. Nothing is
written: each mutant lives and dies in a child process. The command ends non-zero if fewer than
nine in ten of a module's mutants are killed, or if who survives is not who survivors.toml says,
each with why. It needs what the tests need, and no more. The walks of all paths are left out: they
would kill nearly anything, at minutes a mutant.
"""
