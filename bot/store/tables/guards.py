"""The triggers that keep entries as they are, in each database's own words (S15)."""

from collections.abc import Mapping
from types import MappingProxyType

REFUSAL = "entries are never changed or removed; write a correction instead"

SQLITE_GUARDS: Mapping[str, str] = MappingProxyType(
    {
        "entry_no_update": (
            "CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry "
            f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
        ),
        "entry_no_delete": (
            "CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry "
            f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
        ),
        # INSERT OR REPLACE, from a connection that has not set recursive_triggers.
        "entry_no_replace": (
            "CREATE TRIGGER entry_no_replace BEFORE INSERT ON entry WHEN EXISTS "  # noqa: S608
            "(SELECT 1 FROM entry WHERE site = NEW.site AND seq = NEW.seq) "
            f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
        ),
    }
)

POSTGRESQL_FUNCTION = "entry_refuse"
POSTGRESQL_FUNCTION_BODY = f"BEGIN RAISE EXCEPTION '{REFUSAL}'; END"

POSTGRESQL_GUARDS: Mapping[str, str] = MappingProxyType(
    {
        "entry_no_change": (
            "CREATE TRIGGER entry_no_change BEFORE UPDATE OR DELETE ON entry "
            f"FOR EACH ROW EXECUTE FUNCTION {POSTGRESQL_FUNCTION}()"
        ),
        "entry_no_truncate": (
            "CREATE TRIGGER entry_no_truncate BEFORE TRUNCATE ON entry "
            f"FOR EACH STATEMENT EXECUTE FUNCTION {POSTGRESQL_FUNCTION}()"
        ),
    }
)


def guard_statements(dialect: str) -> tuple[str, ...]:
    """What to run once, where the entry table has just been made."""
    if dialect == "sqlite":
        return tuple(SQLITE_GUARDS.values())
    function = (
        f"CREATE FUNCTION {POSTGRESQL_FUNCTION}() RETURNS trigger LANGUAGE plpgsql "
        f"AS $${POSTGRESQL_FUNCTION_BODY}$$"
    )
    # ALWAYS: also in a session that calls itself a replica, which skips ordinary triggers.
    always = (f"ALTER TABLE entry ENABLE ALWAYS TRIGGER {name}" for name in POSTGRESQL_GUARDS)
    return (function, *POSTGRESQL_GUARDS.values(), *always)
