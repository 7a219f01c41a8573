"""What alerts and look-back add."""

from dataclasses import replace

from flows.parts.clinic import Alert, Case, Clinic
from flows.parts.events import AlertRaised, CaseOpened, Stamped
from flows.parts.state.change import apply, put


@apply.register
def alert(event: AlertRaised, clinic: Clinic, stamped: Stamped) -> Clinic:
    """The latest of its cause and subject stands for all of them; the record holds each."""
    alert = Alert(event.alert, event.cause, event.subject, stamped.at)
    return replace(clinic, alerts=put(clinic.alerts, f"{event.cause}/{event.subject}", alert))


@apply.register
def case(event: CaseOpened, clinic: Clinic, stamped: Stamped) -> Clinic:
    case = Case(event.case, event.cause, event.subject, event.since, stamped.at, event.cycles)
    return replace(clinic, cases=put(clinic.cases, event.case, case))
