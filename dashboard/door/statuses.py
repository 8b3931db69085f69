"""Which status of HTTP says that something was refused, and why."""

from models.permits import NotConfirmed, NotPermitted
from models.refusal import NotThere, Refused
from sql.folder import FolderProblem
from sql.forgetting import NobodyStored
from sql.warehouse import NothingPublished


class NotAnswered(Refused):
    """A request that is not answered as it is; the status says what is the matter with it."""

    def __init__(self, status: int, what: str) -> None:
        super().__init__(what)
        self.status = status


def status_of(refused: Refused) -> int:
    """The status for a refusal: what is not open, not there, cannot be used now, or was asked wrongly."""
    match refused:
        case NotAnswered():
            return refused.status
        case NotPermitted() | NotConfirmed():
            return 403
        case NotThere() | NobodyStored() | NothingPublished():
            return 404
        case FolderProblem():
            return 503
        case _:
            return 422
