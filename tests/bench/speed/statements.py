"""How many statements an exchange takes, over a whole cycle."""

from collections.abc import Iterator
from statistics import median

from tests.bench.speed.clinics import Workshop
from tests.bench.speed.databases import Database, opened
from tests.bench.speed.table import Row, at_most
from tests.kit.shell import statements as counted

MOST = 14


def statements(database: Database) -> Iterator[Row]:
    """Beginnings and ends of transactions apart."""
    marks: list[int] = []
    with opened(database.create()) as store:
        shop = Workshop(store)
        with counted(store) as sent:
            shop.walk_again(lambda: marks.append(len(sent)))
    taken = [after - before for before, after in zip(marks[::2], marks[1::2], strict=True)]
    told = f"at most; {median(taken):g} usually, over {len(taken)} texts"
    yield at_most("statements an exchange", database.name, max(taken), MOST, told)
