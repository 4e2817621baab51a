"""From a rating's answer to proposed posting terms with reasons a person can read."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from inventory.mechanics.errors import OUTSIDE
from inventory.vocabulary.structures import Restriction

from .posting import CLASS_FIELDS, CLASS_WORDS, EMERGENCY_FIELDS, GENERAL_CLASSES, LEAST_TON, PostingTerms

ENGINEER_DECIDES = (
    "This is a recommendation to the licensed engineer, made from the record; the State's manual and the engineer "
    "decide."
)


def propose(
    *, is_rated: bool, results: Mapping, reasons: Sequence[str], flags: Sequence[str]
) -> tuple[PostingTerms | None, list[str]]:
    """Terms and reasons, each reason said once; see `_proposed`."""
    terms, said = _proposed(is_rated=is_rated, results=results, reasons=reasons, flags=flags)
    return terms, list(dict.fromkeys(said))


def _proposed(
    *, is_rated: bool, results: Mapping, reasons: Sequence[str], flags: Sequence[str]
) -> tuple[PostingTerms | None, list[str]]:
    """Terms and reasons; terms are None where nothing can be said, 'not known' where only the engineer can say.

    `results` are a rating's stored results: `posting` (the kernel's suggestion), `governing` (vehicles), and
    `close_recommended` where no factors could be computed but something known calls for closing.
    """
    said = [*flags]
    if not is_rated:
        if results.get("close_recommended"):
            return PostingTerms(restriction=Restriction.CLOSED.value), [*said, *reasons, ENGINEER_DECIDES]
        if flags or any(OUTSIDE in reason for reason in reasons):
            # What is on record but beyond every rule here is the engineer's to judge; what is missing is not yet.
            return PostingTerms(restriction=Restriction.UNKNOWN.value), [*said, *reasons, ENGINEER_DECIDES]
        return None, list(reasons)
    suggestion = results["posting"]
    said += _factor_sentences(results["governing"]) + list(suggestion["sentences"])
    if suggestion["action"] == "close":
        return PostingTerms(restriction=Restriction.CLOSED.value), [*said, ENGINEER_DECIDES]
    said += emergency_sentences(suggestion.get("emergency"))
    if suggestion["action"] == "undetermined":
        return None, said
    emergency = _emergency_tons(suggestion.get("emergency"))
    if suggestion["single_tons"] is None and not emergency:
        # Trucks may cross and no emergency vehicle at all: no sign says that, so the engineer must.
        word = Restriction.UNKNOWN if suggestion.get("emergency") else Restriction.OPEN
        return PostingTerms(restriction=word.value), [*said, ENGINEER_DECIDES]
    terms, why = _posted(suggestion)
    return replace(terms, **emergency), [*said, *why, ENGINEER_DECIDES]


def _emergency_tons(limits: Mapping | None) -> dict[str, float]:
    """The emergency limits by the fields of the terms; none below the smallest posting: no such vehicle crosses."""
    if not limits or (limits.get("gross_tons") or 0.0) < LEAST_TON:
        return {}
    names = ("single_axle_tons", "tandem_tons", "gross_tons")
    given = zip(EMERGENCY_FIELDS, (limits.get(name) for name in names), strict=True)
    # An axle comes from one vehicle and the gross weight from the worst of all: no axle weighs more than the whole.
    gross = float(limits["gross_tons"])
    return {field: min(float(ton), gross) for field, ton in given if ton is not None and ton >= 1.0}


def _posted(suggestion: Mapping) -> tuple[PostingTerms, list[str]]:
    """Three limits where every class needs one and they differ (R12-5); otherwise the least as one limit (R12-1)."""
    if suggestion["single_tons"] is None:
        return PostingTerms(restriction=Restriction.POSTED.value), []
    tons = (suggestion["single_unit_tons"], suggestion["combination_tons"], suggestion["two_trailer_tons"])
    if all(ton is not None for ton in tons) and len(set(tons)) > 1:
        terms = PostingTerms(restriction=Restriction.POSTED.value, **dict(zip(CLASS_FIELDS, tons, strict=True)))
        limits = ", ".join(f"{CLASS_WORDS[name]} {ton:g} tons" for name, ton in zip(CLASS_FIELDS, tons, strict=True))
        return terms, [f"Every class of truck needs its own limit: {limits}."]
    single = suggestion["single_tons"]
    needed = [
        f"{CLASS_WORDS[name]} {ton:g} tons" for name, ton in zip(CLASS_FIELDS, tons, strict=True) if ton is not None
    ]
    why = [f"One sign for all trucks shows the least limit; by class: {', '.join(needed)}."] if needed else []
    return PostingTerms(restriction=Restriction.POSTED.value, single_ton=float(single)), why


def _factor_sentences(governing: Sequence[Mapping]) -> list[str]:
    general = [row for row in governing if row["vehicle_class"] in GENERAL_CLASSES]
    if not general:
        return []
    least = min(general, key=lambda row: row["posting_factor"])
    return [
        f"The least factor at the posting level is {least['posting_factor']:.2f} ({least['operating_factor']:.2f} at "
        f"operating), for {least['name']}: {place_of(least)}."
    ]


def place_of(row: Mapping) -> str:
    """The governing case in a phrase: limit state, member, and the span or the cap by its own name."""
    span = f"span {row['span']}" if row["span"].isdecimal() else row["span"]
    return ", ".join(part for part in (row["limit_state"], row["member"], span) if part)


def emergency_sentences(limits: Mapping | None) -> list[str]:
    """What a fire department must be told, where an emergency vehicle needs a limit of its own."""
    if not limits or all(ton is None for ton in limits.values()):
        return []
    words = {"single_axle_tons": "single axle", "tandem_tons": "tandem", "gross_tons": "gross"}
    said = ", ".join(f"{words[name]} {ton:g} tons" for name, ton in limits.items() if ton is not None)
    if (limits.get("gross_tons") or 0.0) < LEAST_TON:
        return ["No emergency vehicle can cross, whatever the limit of trucks. Tell the fire department."]
    return [
        f"Emergency vehicles need a limit of their own: {said} (sign R12-7 where the State uses it). Tell the fire "
        "department."
    ]
