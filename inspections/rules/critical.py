"""What makes a critical finding: the least list of 23 CFR 650.313(q) [checked-2nd, a State's manual restating it].

Deck, superstructure, substructure or culvert at 2 or less; scour or channel at 2 or less; any threat to the public.
The rule proposes; a person reports. A finding that `rules.grave` sends to the engineer at once is proposed as a threat
[model: the project's own reading of "imminent threat"]. A steel tension member at 3 or less is on the list too, but no
inspection here rates one: it is reported by hand.
"""

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from inspections.vocabulary.findings import CriticalKind
from inventory.vocabulary.structures import Restriction

from .grave import grave_sentences

COMPONENT_CRITICAL = 2
CRITICAL_CODES = tuple(str(code) for code in range(COMPONENT_CRITICAL + 1))
COMPONENTS = {
    "deck_rating": "deck",
    "superstructure_rating": "superstructure",
    "substructure_rating": "substructure",
    "culvert_rating": "culvert",
}
WATER = {"channel_rating": "channel", "scour_rating": "scour condition"}
WORDS_LIMIT = 500
NAMESPACE = uuid.UUID("6f1d6a52-6a0e-4c11-9a0b-0f6c4a4f0c11")
"""Of identities made from an inspection and a kind; any fixed value serves."""


@dataclass(frozen=True, kw_only=True)
class Proposed:
    """A critical finding that somebody should report: its kind and what was seen, in sentences."""

    kind: CriticalKind
    words: str


def critical_of(inspection: Mapping, findings: Iterable[Mapping]) -> list[Proposed]:
    """What an inspection (columns by name) and its findings (columns by name, `where` in words) ask to be reported.

    A rating is a code "0" to "9", "N" or ""; only digits count.
    """
    proposed = []
    for kind, parts in ((CriticalKind.COMPONENT, COMPONENTS), (CriticalKind.SCOUR, WATER)):
        low = [f"{words} {code}" for name, words in parts.items() if is_critical_code(code := inspection.get(name))]
        if low:
            sentence = f"Rated {COMPONENT_CRITICAL} or less: {', '.join(low)}."
            proposed.append(Proposed(kind=kind, words=sentence))
    grave = list(dict.fromkeys(sentence for finding in findings for sentence in grave_sentences(finding)))
    if grave:
        proposed.append(Proposed(kind=CriticalKind.THREAT, words=joined(grave)))
    return proposed


def critical_of_restriction(*, restriction: str, source: str, reason: str) -> Proposed | None:
    """A bridge closed, or posted at once, is on the list whatever was found; None for an ordinary posting."""
    if restriction == Restriction.CLOSED and source != "record":
        return Proposed(kind=CriticalKind.CLOSURE, words=joined(["The bridge was closed.", reason]))
    if restriction == Restriction.POSTED and source == "immediate":
        return Proposed(kind=CriticalKind.RESTRICTION, words=joined(["The bridge was restricted at once.", reason]))
    return None


def is_critical_code(code: str | None) -> bool:
    """True for a rating of 2, 1 or 0."""
    return code in CRITICAL_CODES


def joined(sentences: Iterable[str], limit: int = WORDS_LIMIT) -> str:
    """Sentences in one field; what does not fit is counted, never dropped in silence."""
    sentences = [sentence.strip() for sentence in sentences if sentence.strip()]
    said = " ".join(sentences)
    kept = len(sentences)
    while len(said) > limit and kept > 1:
        kept -= 1
        said = " ".join(sentences[:kept]) + f" And {len(sentences) - kept} more: see the inspection."
    return said if len(said) <= limit else said[: limit - 4].rsplit(" ", 1)[0] + " ..."


def identity_from(inspection_identity: uuid.UUID, kind: str) -> uuid.UUID:
    """The one identity of what an inspection proposes of a kind, so that two presses report once."""
    return uuid.uuid5(NAMESPACE, f"{inspection_identity}:{kind}")
