"""NOT, NEVER, DIDN'T: words by which what stands beside them is not so (S7)."""

NOT_SO = frozenset(
    {"NOT", "NEVER", "ISNT", "ISN'T", "WASNT", "WASN'T", "DIDNT", "DIDN'T"}
    | {"HASNT", "HASN'T", "HAVENT", "HAVEN'T"}
)
"""What denies a thing that was done, or that is so."""

NOT_OR_NO = NOT_SO | {"NO"}

DENIES = NOT_SO | {"NO", "NONE", "NOTHING", "NOBODY", "WITHOUT"}
"""The same, and what says that there is none of it: NO DAMAGE, NOBODY TOPPED IT UP."""
