"""What the rating that stands says of each span's bars: need, pressure counted, where the posting would change."""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.rules.pressed import needs_of
from inspections.rules.retension_date import Change, posting_changes
from inventory.mechanics.bars.pressure import FLOOR_PSI
from inventory.mechanics.rating import RatingPolicy

CLOSING_WORDS = "Closing is recommended below this until the bars are read and re-tensioned."


@dataclass(frozen=True, kw_only=True)
class Known:
    """`rated_psi`: what the standing rating counted, None where it knew of no pressure; `has_curve` False: the changes
    are the closing line alone."""

    rating_id: int | None
    needed_psi: float
    need_words: str
    rated_psi: float | None
    changes: tuple[Change, ...]
    has_curve: bool

    def as_dict(self) -> dict:
        return {
            "rating_id": self.rating_id,
            "needed_psi": self.needed_psi,
            "need_words": self.need_words,
            "rated_psi": self.rated_psi,
            "changes": [[change.psi, change.words] for change in self.changes],
            "has_curve": self.has_curve,
        }

    @classmethod
    def from_dict(cls, plain: Mapping) -> "Known":
        changes = tuple(Change(psi=psi, words=words) for psi, words in plain["changes"])
        return cls(**(dict(plain) | {"changes": changes}))


def known_of(*, rating: Mapping | None, span_index: int, needed_psi: float | None) -> Known:
    """From a rating's `pk`, `results` and `snapshot` (None: none stands) and the need on record (None: none).

    The need: as the rating worked it out, else from the record, else the floor of 40 psi.
    """
    results = rating["results"] if rating else {}
    snapshot = rating["snapshot"] if rating else {}
    computed = needs_of(results).get(str(span_index))
    need, words = FLOOR_PSI, "the floor"
    if computed is not None:
        need, words = computed, "the need worked out by the rating"
    elif needed_psi is not None:
        need, words = needed_psi, "the need on record"
    curve = next((row for row in results.get("force_curve", ()) if row["span"] == str(span_index)), None)
    has_curve = curve is not None and curve["curve"] is not None
    if has_curve:
        changes = posting_changes(curve["thresholds"], curve["curve"]["vehicles"])
    else:
        closing = snapshot.get("policy", {}).get("closing_pressure_psi", RatingPolicy().closing_pressure_psi)
        changes = [Change(psi=closing, words=CLOSING_WORDS)]
    return Known(
        rating_id=rating["pk"] if rating else None,
        needed_psi=float(need),
        need_words=words,
        rated_psi=dict(snapshot.get("pressures", ())).get(span_index),
        changes=tuple(changes),
        has_curve=has_curve,
    )
