"""When signs are up and confirmed, and when a proposed posting is decided (23 CFR 650.313(l): 30 days, memory).

The days of a sign (30, memory) run from the day the rating showed the need, not from the signature; a decision that
took three weeks leaves nine days. A missing or illegible sign is put right within as many of being seen; one that was
never seen standing gains no days by being reported missing. How many days: the county's policy.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from inspections.vocabulary.states import ReminderKind
from inventory.vocabulary.structures import Restriction, SignState

from .terms import STANDARD, Due, Policy, clip, day


@dataclass(frozen=True, kw_only=True)
class SignFact:
    """One sign of the posting in force."""

    code: str
    approach: str
    state: str
    missing_seen_on: date | None = None
    confirmed_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class PostingFacts:
    """The posting in force. `need_shown_on` is the day of the recommendation it came from; `from_record` a posting
    taken over from the federal record, whose signs were not watched from here."""

    words: str
    restriction: str
    decided_on: date
    need_shown_on: date | None = None
    from_record: bool = False
    signs: tuple[SignFact, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ProposalFacts:
    """A recommendation that waits for the engineer. `need_shown_on`: the first rating that asked for as much, where a
    later one took its place before anybody decided."""

    made_on: date
    words: str
    restriction: str
    changes_sign: bool = False
    needs_review_now: bool = False
    need_shown_on: date | None = None


def sign_dues(posting: PostingFacts | None, policy: Policy = STANDARD) -> list[Due]:
    """Signs to be confirmed (also those to be taken down) and signs to be put back."""
    if posting is None:
        return []
    dues = [_missing(posting, sign, policy) for sign in posting.signs if sign.state == SignState.MISSING]
    awaited = [sign for sign in posting.signs if sign.state == SignState.ORDERED]
    restricts = posting.restriction in (Restriction.POSTED, Restriction.CLOSED)
    nothing_recorded = restricts and not posting.signs and not posting.from_record
    if awaited or nothing_recorded:
        dues.append(_awaited(posting, awaited, policy))
    return [due for due in dues if due is not None]


def _awaited(posting: PostingFacts, awaited: list[SignFact], policy: Policy) -> Due:
    days = policy.sign_up_days
    start = _need_shown(posting)
    due_on = start + timedelta(days=days)
    which = ", ".join(f"{sign.code} {sign.approach}".strip() for sign in awaited) or "no sign is on record yet"
    shown = f"the rating of {day(start)} showed the need" if posting.need_shown_on else f"the decision of {day(start)}"
    sentence = (
        f"Confirm the sign ({posting.words}): decided {day(posting.decided_on)}, up and seen standing within {days} "
        f"days after {shown} (23 CFR 650.313): {which}."
    )
    return Due(kind=ReminderKind.SIGN, due_on=due_on, late_after=due_on, counted_from=start, reason=clip(sentence))


def _need_shown(posting: PostingFacts) -> date:
    """The day from which the days of a new sign run."""
    return min(posting.need_shown_on or posting.decided_on, posting.decided_on)


def _missing(posting: PostingFacts, sign: SignFact, policy: Policy) -> Due | None:
    if sign.missing_seen_on is None:
        return None
    days = policy.sign_missing_days
    due_on = sign.missing_seen_on + timedelta(days=days)
    since = f"within {days} days (23 CFR 650.313)."
    up_by = _need_shown(posting) + timedelta(days=policy.sign_up_days)
    if sign.confirmed_on is None and not posting.from_record and up_by < due_on:
        due_on = up_by
        since = f"never seen standing, so the {policy.sign_up_days} days to set it up go on (23 CFR 650.313)."
    sentence = (
        f"Put back the sign: {sign.code} {sign.approach} seen missing or illegible on {day(sign.missing_seen_on)}; "
        f"{since}"
    )
    return Due(
        kind=ReminderKind.SIGN,
        due_on=due_on,
        late_after=due_on,
        counted_from=min(sign.missing_seen_on, due_on),
        reason=clip(sentence),
    )


def posting_dues(proposal: ProposalFacts | None, policy: Policy = STANDARD) -> list[Due]:
    """A proposal waits for the engineer: at once for a closing or a grave finding, else within the policy's days."""
    if proposal is None:
        return []
    at_once = proposal.needs_review_now or proposal.restriction == Restriction.CLOSED
    days = 0 if at_once else policy.posting_days
    start = min(proposal.need_shown_on or proposal.made_on, proposal.made_on)
    due_on = start + timedelta(days=days)
    since = "" if start == proposal.made_on else f" The need was shown on {day(start)} already."
    if at_once:
        sentence = f"Decide the posting now: {proposal.words} proposed on {day(proposal.made_on)}, grave; do not wait."
    elif proposal.changes_sign:
        sentence = (
            f"Decide the posting: {proposal.words} proposed on {day(proposal.made_on)}; the sign must stand within "
            f"{policy.sign_up_days} days of the rating (23 CFR 650.313), so decide early."
        )
    else:
        sentence = (
            f"Decide the posting: {proposal.words} proposed on {day(proposal.made_on)} waits for the engineer; the "
            "sign would not change."
        )
    return [
        Due(
            kind=ReminderKind.POSTING,
            due_on=due_on,
            late_after=due_on,
            counted_from=start,
            reason=clip(sentence + since),
        )
    ]
