"""What alerts and look-back add."""

from dataclasses import replace
from datetime import UTC, datetime

from flows.parts.clinic import Alert, Clinic, Recall, bare_lot
from flows.parts.events import AlertRaised, CaseOpened, Recalled, Stamped
from flows.parts.look_back import Case
from flows.parts.state.change import apply, put
from flows.parts.state.cleared import withdrawn

_NEVER = datetime.min.replace(tzinfo=UTC)


@apply.register
def alert(event: AlertRaised, clinic: Clinic, stamped: Stamped) -> Clinic:
    """The latest of its cause and subject stands for all of them; the record holds each."""
    alert = Alert(event.alert, event.cause, event.subject, stamped.at)
    return replace(clinic, alerts=put(clinic.alerts, f"{event.cause}/{event.subject}", alert))


@apply.register
def case(event: CaseOpened, clinic: Clinic, stamped: Stamped) -> Clinic:
    case = Case(event.case, event.cause, event.subject, event.since, stamped.at, event.cycles)
    return replace(clinic, cases=put(clinic.cases, event.case, case))


@apply.register
def recalled(event: Recalled, clinic: Clinic, stamped: Stamped) -> Clinic:
    """The first of its kind stands: said again, it adds what a correction brings under it.

    Its strips have passed nothing: what they had cleared of doubt is in doubt again (S4).
    """
    recall = replace(recall_in(event), at=stamped.at)
    key = key_of(recall)
    clinic = withdrawn(clinic, recall, event.also)
    if key in clinic.recalls:
        return clinic
    return replace(clinic, recalls=put(clinic.recalls, key, recall))


def recall_in(event: Recalled) -> Recall:
    """The recall that an entry tells of; when it was told, stands beside it."""
    of = (event.recall, event.what, event.product, event.mark, event.value)
    return Recall(*of, at=_NEVER, instead=event.instead)


def key_of(recall: Recall) -> str:
    """What tells one recall from another, however its lot is written."""
    mark = recall.mark if recall.what == "figure" else bare_lot(recall.mark)
    return f"{recall.what}/{recall.product}/{mark}/{recall.value}"
