"""Read the protocols: list them, show one with its sources, check files, compare two."""

from collections.abc import Iterable, Iterator, Mapping
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from bot.cli.at_site import reading, the_site
from bot.exports.protocol_sheet import Changed, beside, listing, sheet
from bot.protocols import choices_of
from bot.store.live import load
from bot.store.people import text_of
from flows.protocols import BadProtocols, shipped
from flows.protocols.check import check_product
from flows.protocols.compare import other_facts
from flows.protocols.model import Problem, Product
from flows.protocols.read import KINDS, check_files, kind_of, parsed

ROOMS = frozenset(kind.folder for kind in KINDS)


@click.group()
def command() -> None:
    """Read the protocols: list them, show one with its sources, check files, compare two."""


@command.command("list")
def list_() -> None:
    """Every product; the disinfectants with their key figures and the devices they are for."""
    _say(listing(shipped()))


@command.command("show")
@click.argument("name")
@click.option("--site", help="Also what this site has set instead, and why.")
def show(name: str, site: str | None) -> None:
    """Every figure of the product NAME with its source, and what is in dispute about it."""
    _say(sheet(_known(name), _changed(site, name) if site else {}))


@command.command("check")
@click.argument("path", type=click.Path(exists=True, path_type=Path))
def check(path: Path) -> None:
    """Check a protocol file, or all in a folder; each problem is said as file, key and reason.

    A file with a name in it is a whole product; where it bears the name of one that ships, it owes
    a reason for every figure that asks less. One without is a site's own: it is named after the
    product, and holds the figures that the site sets itself, with their reasons.
    """
    files = _files(path)
    problems = check_files(files, shipped())
    if problems:
        raise BadProtocols(problems)
    click.echo(
        f"{len(files)} checked, nothing is wrong." if len(files) > 1 else "Nothing is wrong."
    )
    _say(line for file, room in files.items() for line in _other_than_shipped(file, room))


@command.command("compare")
@click.argument("one")
@click.argument("other")
def compare(one: str, other: str) -> None:
    """Two products of one kind figure by figure, each a name or a file; which is the stricter."""
    ours, theirs = _named_or_read(one), _named_or_read(other)
    if type(ours) is not type(theirs):
        kinds = f"{ours.name} is one of {ours.folder}, {theirs.name} one of {theirs.folder}"
        raise click.ClickException(f"{kinds}. Compare two of one kind.")
    if one == other:
        raise click.ClickException("Compare it with another.")
    _say(beside({one: ours, other: theirs}))


def _say(lines: Iterable[str]) -> None:
    for line in lines:
        click.echo(line)


def _known(name: str) -> Product:
    product = shipped().product(name)
    if product is None:
        raise click.ClickException(f"There is no product {name}. See: soakbell protocol list")
    return product


def _named_or_read(named: str) -> Product:
    path = Path(named)
    if not path.is_file():
        return _known(named)
    mapping = parsed(path)
    if isinstance(mapping, Problem):
        raise BadProtocols([mapping])
    product = check_product(kind_of(mapping, path.resolve().parent.name), mapping, path.name)
    if isinstance(product, list):
        raise BadProtocols(product)
    return product


def _files(path: Path) -> Mapping[Traversable, str]:
    """Each file to check, with the room that it lies in, if any."""
    found = sorted(path.rglob("*.toml")) if path.is_dir() else [path]
    if not found:
        raise click.ClickException(f"{path} holds no file that ends in .toml.")
    rooms = {file: file.resolve().parent.name for file in found}
    return {file: room if room in ROOMS else "" for file, room in rooms.items()}


def _other_than_shipped(file: Traversable, room: str) -> Iterator[str]:
    """What is neither stricter nor laxer, and makes it another product than the shipped one."""
    mapping = parsed(file)
    if isinstance(mapping, Problem):
        return
    known = shipped().product(str(mapping.get("name")))
    product = check_product(kind_of(mapping, room), mapping, file.name) if known else None
    if known and isinstance(product, type(known)):
        for fact in other_facts(product, known):
            yield f"{file.name}: {fact}. If yours is another product, give it another name."


def _changed(site: str, product: str) -> Mapping[str, Changed]:
    """What the site has set otherwise for a product, with its reasons where they still stand."""
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            made = choices_of(load(connection, which).clinic)
            return {
                each.key: Changed(
                    each.value,
                    (text_of(connection, which, each.reason) or "(erased)")
                    if each.reason
                    else None,
                )
                for each in made
                if each.product == product
            }
