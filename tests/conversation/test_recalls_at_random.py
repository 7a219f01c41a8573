"""S18 at random: whatever is done and recalled, in whatever order, nothing rests on it after."""

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from flows.parts.clinic import Batch, Clinic, Fitness, Kind
from flows.parts.events import JugOpened, Poured, Recalled, StripBottleOpened
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, Talk, clinic

FAR = NINE + timedelta(days=60)
LOTS = ("L1", "L2", "")
STRIP_LOTS = ("L9", "L10")
STEPS = ("under", "dip", "read", "container", "soaking", "final_rinse", "cover", "")
DEVICES = ("V1", "V2")

cleans = st.tuples(st.just("clean"), st.sampled_from(DEVICES), st.sampled_from(STEPS))
uses = st.tuples(st.just("use"), st.sampled_from(DEVICES), st.just(""))
opens = st.tuples(st.just("open"), st.just("jug"), st.sampled_from(LOTS))
opens_strips = st.tuples(st.just("open"), st.just("strips"), st.sampled_from(STRIP_LOTS))
recalls = st.tuples(st.just("recall"), st.just("lot"), st.sampled_from(LOTS[:2]))
recalls_strips = st.tuples(st.just("recall"), st.just("strip_lot"), st.sampled_from(STRIP_LOTS))
recalls_figure = st.tuples(st.just("recall"), st.just("figure"), st.just("contact_time"))
DAYS = st.lists(
    cleans | uses | opens | opens_strips | recalls | recalls_strips | recalls_figure, max_size=9
)


def stocks(talk: Talk, what: str, lot: str) -> None:
    """A jug with a bath poured from it, or a bottle of strips, with a tag of its own."""
    number = talk.count + 10
    if what == "strips":
        strips = StripBottleOpened(
            f"S{number}", "opa_strip_1s_90s", lot, FAR.date(), talk.now, FAR, checked=True
        )
        talk.let(strips)
        return
    jug, tub = f"J{number}", f"T{number}"
    talk.let(
        JugOpened(jug, "opa_055", lot, FAR.date(), talk.now, FAR, "jug_open_life"),
        Poured(tub, Kind.BATH, jug, "opa_055", lot, talk.now, FAR, "", topped_up=False),
    )


def recalls_it(talk: Talk, what: str, mark: str) -> None:
    product = "opa_strip_1s_90s" if what == "strip_lot" else "opa_055"
    value = "12 min" if what == "figure" else ""
    talk.let(Recalled(f"r{talk.count}", what, product, mark, value, "digest", NINE))


def does(talk: Talk, act: tuple[str, str, str]) -> None:
    kind, what, detail = act
    if kind == "clean":
        play_cycle(talk, what, until=detail, named=True)
    elif kind == "use":
        talk.sends(f"USED {what} 0412", after=1200)
    elif kind == "open":
        stocks(talk, what, detail)
    else:
        recalls_it(talk, what, detail)


def nothing_rests_on_it(talk: Talk) -> None:
    """No release, no open cycle and no container that is for use."""
    here = talk.clinic
    for each in (*here.containers.values(), *here.strips.values()):
        if here.recall_of(Batch(each.product, each.lot)):
            assert each.fitness in {Fitness.CONDEMNED, Fitness.DISCARDED}, f"{each.tag} is for use"
    resting = [device.release.batches for device in here.devices.values() if device.release]
    resting += [cycle.batches for cycle in here.cycles.values()]
    assert [batch for batches in resting for batch in batches if here.recall_of(batch)] == []


@settings(max_examples=300)
@given(DAYS)
def test_S18_nothing_that_is_for_use_rests_on_what_has_been_recalled(
    day: list[tuple[str, str, str]],
) -> None:
    talk = clinic(devices=DEVICES)

    for act in day:
        does(talk, act)
        nothing_rests_on_it(talk)

    assert fold_all(Clinic(), talk.entries) == talk.clinic
