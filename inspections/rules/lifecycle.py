"""The states of all that passes from hand to hand: each state has an owner, each move one who may.

The order of states is the project's own plan; that a licensed engineer decides a posting follows the qualifications
named in the national bridge inspection standards, 23 CFR 650.309 [memory].
"""

from dataclasses import dataclass

from inspections.vocabulary.states import (
    CriticalState,
    InspectionState,
    QualityState,
    ReceiptState,
    RecommendationState,
    StressingState,
    VisitState,
)
from inventory.vocabulary.roles import ALLOWED, Permit, Role

INSPECTION = "inspection"
RECOMMENDATION = "recommendation"
STRESSING = "stressing day"
CRITICAL = "critical finding"
RECEIPT = "record from the field"
VISIT = "visit"
QUALITY = "quality check"


@dataclass(frozen=True, kw_only=True)
class Move:
    """One allowed change of state: by people holding `permit`, by the system itself, or by either."""

    start: str
    to: str
    word: str
    permit: Permit | None = None
    by_system: bool = False

    @property
    def owners(self) -> tuple[str, ...]:
        """Who may make it, in words."""
        people = sorted(role.label for role in ALLOWED[self.permit]) if self.permit else []
        return tuple(people + (["the system"] if self.by_system else []))


@dataclass(frozen=True, kw_only=True)
class Owner:
    """Who must act next on a row in a state: roles, or the system, or nobody because the row is only kept."""

    roles: frozenset[Role] = frozenset()
    system: bool = False
    kept: bool = False

    @property
    def words(self) -> str:
        if self.system:
            return "the system"
        return "kept as record" if self.kept else " or ".join(sorted(role.label.lower() for role in self.roles))


_I, _R, _S = InspectionState, RecommendationState, StressingState
_C, _F, _V, _Q = CriticalState, ReceiptState, VisitState, QualityState

STATES = {
    INSPECTION: tuple(InspectionState),
    RECOMMENDATION: tuple(RecommendationState),
    STRESSING: tuple(StressingState),
    CRITICAL: tuple(CriticalState),
    RECEIPT: tuple(ReceiptState),
    VISIT: tuple(VisitState),
    QUALITY: tuple(QualityState),
}

OWNERS: dict[str, dict[str, Owner]] = {
    INSPECTION: {
        _I.DRAFT: Owner(roles=ALLOWED[Permit.ENTER_INSPECTION]),
        _I.SUBMITTED: Owner(system=True),
        _I.RATED: Owner(roles=ALLOWED[Permit.REVIEW_INSPECTION]),
        _I.SENT_BACK: Owner(roles=ALLOWED[Permit.ENTER_INSPECTION]),
        _I.ACCEPTED: Owner(kept=True),
    },
    RECOMMENDATION: {
        _R.PROPOSED: Owner(roles=ALLOWED[Permit.DECIDE_POSTING]),
        _R.ADOPTED: Owner(roles=ALLOWED[Permit.CONFIRM_SIGN]),
        _R.IN_FORCE: Owner(kept=True),
        _R.SUPERSEDED: Owner(kept=True),
        _R.WITHDRAWN: Owner(kept=True),
    },
    STRESSING: {
        _S.DRAFTED: Owner(roles=ALLOWED[Permit.RELEASE_STRESSING]),
        _S.RELEASED: Owner(roles=ALLOWED[Permit.LOG_STRESSING]),
        _S.UNDER_WAY: Owner(roles=ALLOWED[Permit.LOG_STRESSING]),
        _S.HELD: Owner(roles=ALLOWED[Permit.RELEASE_STRESSING]),
        _S.FINISHED: Owner(kept=True),
        _S.WITHDRAWN: Owner(kept=True),
    },
    CRITICAL: {
        _C.REPORTED: Owner(roles=ALLOWED[Permit.HANDLE_CRITICAL]),
        _C.MADE_SAFE: Owner(roles=ALLOWED[Permit.HANDLE_CRITICAL]),
        _C.CLOSED: Owner(kept=True),
    },
    RECEIPT: {
        _F.KEPT: Owner(system=True),
        _F.FILED: Owner(kept=True),
        _F.HELD: Owner(roles=ALLOWED[Permit.SETTLE_RECEIPTS]),
        _F.SET_ASIDE: Owner(kept=True),
    },
    VISIT: {
        _V.OPEN: Owner(roles=ALLOWED[Permit.ENTER_INSPECTION]),
        _V.DONE: Owner(kept=True),
        _V.SET_ASIDE: Owner(kept=True),
    },
    QUALITY: {
        _Q.DRAWN: Owner(roles=ALLOWED[Permit.ENTER_INSPECTION]),
        _Q.COMPARED: Owner(roles=ALLOWED[Permit.CHECK_QUALITY]),
        _Q.CLOSED: Owner(kept=True),
    },
}

MOVES: dict[str, tuple[Move, ...]] = {
    INSPECTION: (
        Move(start=_I.DRAFT, to=_I.SUBMITTED, word="submit", permit=Permit.ENTER_INSPECTION),
        Move(start=_I.SUBMITTED, to=_I.RATED, word="rate", by_system=True),
        Move(start=_I.RATED, to=_I.ACCEPTED, word="accept", permit=Permit.REVIEW_INSPECTION),
        Move(start=_I.RATED, to=_I.SENT_BACK, word="send back", permit=Permit.REVIEW_INSPECTION),
        Move(start=_I.SENT_BACK, to=_I.SUBMITTED, word="submit again", permit=Permit.ENTER_INSPECTION),
    ),
    RECOMMENDATION: (
        Move(start=_R.PROPOSED, to=_R.ADOPTED, word="adopt, sign awaited", permit=Permit.DECIDE_POSTING),
        Move(start=_R.PROPOSED, to=_R.IN_FORCE, word="adopt, no sign changes", permit=Permit.DECIDE_POSTING),
        Move(start=_R.PROPOSED, to=_R.WITHDRAWN, word="withdraw", permit=Permit.DECIDE_POSTING, by_system=True),
        Move(start=_R.ADOPTED, to=_R.IN_FORCE, word="confirm the last sign", permit=Permit.CONFIRM_SIGN),
        Move(start=_R.ADOPTED, to=_R.SUPERSEDED, word="replace by a later decision", by_system=True),
        Move(start=_R.IN_FORCE, to=_R.SUPERSEDED, word="replace by a later decision", by_system=True),
    ),
    STRESSING: (
        Move(start=_S.DRAFTED, to=_S.RELEASED, word="release the sheet", permit=Permit.RELEASE_STRESSING),
        Move(start=_S.DRAFTED, to=_S.WITHDRAWN, word="withdraw the draft", permit=Permit.PLAN_STRESSING),
        Move(start=_S.RELEASED, to=_S.UNDER_WAY, word="log the first pull", permit=Permit.LOG_STRESSING),
        Move(start=_S.RELEASED, to=_S.HELD, word="hold the sheet", permit=Permit.LOG_STRESSING, by_system=True),
        Move(start=_S.RELEASED, to=_S.WITHDRAWN, word="withdraw the sheet", permit=Permit.RELEASE_STRESSING),
        Move(start=_S.UNDER_WAY, to=_S.HELD, word="hold the day", permit=Permit.LOG_STRESSING, by_system=True),
        Move(start=_S.UNDER_WAY, to=_S.FINISHED, word="finish the day", permit=Permit.LOG_STRESSING),
        Move(start=_S.HELD, to=_S.UNDER_WAY, word="release the rest", permit=Permit.RELEASE_STRESSING),
        Move(start=_S.HELD, to=_S.FINISHED, word="end the day as it stands", permit=Permit.RELEASE_STRESSING),
        Move(start=_S.HELD, to=_S.WITHDRAWN, word="withdraw the sheet", permit=Permit.RELEASE_STRESSING),
    ),
    CRITICAL: (
        Move(start=_C.REPORTED, to=_C.MADE_SAFE, word="say what makes it safe", permit=Permit.HANDLE_CRITICAL),
        Move(start=_C.REPORTED, to=_C.CLOSED, word="close it", permit=Permit.HANDLE_CRITICAL),
        Move(start=_C.MADE_SAFE, to=_C.CLOSED, word="close it", permit=Permit.HANDLE_CRITICAL),
        Move(start=_C.MADE_SAFE, to=_C.REPORTED, word="say that it is safe no longer", permit=Permit.HANDLE_CRITICAL),
    ),
    RECEIPT: (
        Move(start=_F.KEPT, to=_F.FILED, word="file", by_system=True),
        Move(start=_F.KEPT, to=_F.HELD, word="hold", by_system=True),
        Move(start=_F.HELD, to=_F.FILED, word="file it", permit=Permit.SETTLE_RECEIPTS, by_system=True),
        Move(start=_F.HELD, to=_F.SET_ASIDE, word="set it aside", permit=Permit.SETTLE_RECEIPTS, by_system=True),
    ),
    VISIT: (
        Move(start=_V.OPEN, to=_V.DONE, word="inspect", permit=Permit.ENTER_INSPECTION, by_system=True),
        Move(start=_V.OPEN, to=_V.SET_ASIDE, word="set it aside", permit=Permit.MANAGE_REMINDERS),
    ),
    QUALITY: (
        Move(start=_Q.DRAWN, to=_Q.COMPARED, word="compare", permit=Permit.CHECK_QUALITY),
        Move(start=_Q.DRAWN, to=_Q.CLOSED, word="close", permit=Permit.CHECK_QUALITY),
        Move(start=_Q.COMPARED, to=_Q.CLOSED, word="close", permit=Permit.CHECK_QUALITY),
    ),
}

FIRST = {
    INSPECTION: _I.DRAFT,
    RECOMMENDATION: _R.PROPOSED,
    STRESSING: _S.DRAFTED,
    CRITICAL: _C.REPORTED,
    RECEIPT: _F.KEPT,
    VISIT: _V.OPEN,
    QUALITY: _Q.DRAWN,
}


EDITABLE = (_I.DRAFT, _I.SENT_BACK)
"""States in which whoever inspects may still change an inspection."""


def find_move(table: str, start: str, to: str) -> Move | None:
    """The move from one state to another, or None where there is none."""
    return next((move for move in MOVES[table] if move.start == start and move.to == to), None)


def may_move(
    table: str, start: str, to: str, *, permits: frozenset[Permit] = frozenset(), by_system: bool = False
) -> str:
    """An empty string where the move may be made, otherwise the sentence that says why not."""
    words = {state.value: state.label.lower() for state in STATES[table]}
    move = find_move(table, start, to)
    if move is None:
        return (
            f"This {table} is '{words.get(start, start)}' and cannot become '{words.get(to, to)}' from there: "
            "open it again to see where it stands now."
        )
    if (by_system and move.by_system) or (move.permit is not None and move.permit in permits):
        return ""
    return f"You may not {move.word} here: that is for {' or '.join(move.owners).lower()}. Ask one of them."


def may_review(*, reviewer: int, authors: frozenset[int], override: bool, override_reason: str) -> str:
    """An empty string where the reviewer may judge the inspection, otherwise why not (second pair of eyes).

    Quality control by another than the inspector: 23 CFR 650.313(p) asks for a documented procedure [memory]; that the
    two are different people is the project's rule, which an agency may lift with its reason.
    """
    if reviewer not in authors or (override and override_reason.strip()):
        return ""
    return (
        "You led this inspection or entered part of it, so another engineer must review it. A small agency may lift "
        "this rule in its settings, giving the reason."
    )


def printed_table(table: str) -> str:
    """The table as a text diagram: each state with its owner, and the moves out of it."""
    lines = []
    for state in STATES[table]:
        lines.append(f"{state.name} [{OWNERS[table][state].words}]")
        for move in MOVES[table]:
            if move.start == state:
                target = next(s.name for s in STATES[table] if s.value == move.to)
                lines.append(f"    -- {move.word} ({', '.join(move.owners)}) --> {target}")
    return "\n".join(lines)
