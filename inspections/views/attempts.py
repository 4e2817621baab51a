"""One way to call an action from a page: a refusal comes back as sentences, never as a broken page."""

from collections.abc import Callable
from dataclasses import dataclass

from django.db import OperationalError

from inspections.rules.refusals import Refused, Stale

BUSY = "The register was busy with another save, so nothing of yours was saved; your entries are here, save again."


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """What an action gave back, or why it did not act. `status` is the answer's HTTP status."""

    result: object = None
    sentences: tuple[str, ...] = ()
    is_stale: bool = False

    @property
    def done(self) -> bool:
        return not self.sentences

    @property
    def status(self) -> int:
        return 409 if self.sentences else 200


def attempt(act: Callable[[], object]) -> Attempt:
    """Call an action once. The action is one transaction: when it refuses, nothing was written."""
    try:
        return Attempt(result=act())
    except Refused as refusal:
        return Attempt(sentences=refusal.sentences, is_stale=isinstance(refusal, Stale))
    except OperationalError:
        return Attempt(sentences=(BUSY,))
