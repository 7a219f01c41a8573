"""What the store may answer instead: busy, away, not there, not one of ours."""

from bot.logs import Plain


class StoreError(Plain):
    """The store could not do what was asked."""


class StoreBusy(StoreError):
    """Others were in the way, again and again."""

    def __init__(self, site: str, attempts: int) -> None:
        super().__init__(
            f"Site {site}: the database refused {attempts} times because of others at work; "
            "nothing was written. Try again, and look for a process that holds it."
        )
        self.site = site
        self.attempts = attempts


class StoreAway(StoreError):
    """The database cannot be reached, or has gone in the middle."""

    def __init__(self, why: str) -> None:
        super().__init__(
            f"The database cannot be reached ({why}). What was not finished is done once it is "
            "there again; a command has to be given again, after a look at what it has done."
        )
        self.why = why


class SiteUnknown(StoreError):
    """No chain has been opened under that name."""

    def __init__(self, site: str) -> None:
        super().__init__(f"There is no site {site} in this store. Open it first.")
        self.site = site


class StoreUnknown(StoreError):
    """The address is of no database we know."""

    def __init__(self, scheme: str) -> None:
        super().__init__(
            f"{scheme} is no database Soakbell knows. "
            "Use sqlite:///path/to/soakbell.db or postgresql://user@host/database."
        )
        self.scheme = scheme
