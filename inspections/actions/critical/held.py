"""How every move of a critical finding begins: the structure held, the permit asked, the row as the person read it."""

from inspections.actions.lock import lock_row, lock_structure, require_move, require_permit
from inspections.models import CriticalFinding
from inspections.rules import lifecycle
from inspections.rules.refusals import Refused
from inventory.models import Document, Person, Structure
from inventory.vocabulary.roles import Permit

MOST_WORDS = 500


def hold_critical(
    finding: CriticalFinding, revision: int | None, by: Person, to: str | None = None
) -> tuple[Structure, CriticalFinding]:
    """The structure and a fresh copy of the finding, both held; refused where the person may not, or read an older
    state, or where the finding cannot become `to`."""
    structure = lock_structure(finding.structure_id)
    permits = require_permit(by, structure, Permit.HANDLE_CRITICAL)
    fresh = lock_row(finding, revision, "this critical finding")
    if to is not None:
        require_move(lifecycle.CRITICAL, fresh.state, to, permits)
    return structure, fresh


def needed_words(words: str, asked: str) -> str:
    """The words without the space around them; refused where there are none or too many."""
    words = words.strip()
    if not words:
        raise Refused(asked)
    if len(words) > MOST_WORDS:
        raise Refused(f"Write at most {MOST_WORDS} characters here; {len(words)} were written.")
    return words


def own_photo(structure: Structure, photo: Document | None) -> Document | None:
    """The photograph, which must be one of this structure's."""
    if photo is not None and (photo.structure_id != structure.pk or photo.kind != "photo"):
        raise Refused("The photograph chosen does not belong to this structure; choose again.")
    return photo
