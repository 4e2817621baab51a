"""The states work can be in, each with its owner; the moves between them stand in rules/lifecycle."""

from inventory.vocabulary.words import Words


class InspectionState(Words):
    DRAFT = "draft", "Draft"
    SUBMITTED = "submitted", "Submitted, being rated"
    RATED = "rated", "Rated, awaiting review"
    ACCEPTED = "accepted", "Accepted"
    SENT_BACK = "sent_back", "Sent back"


class RecommendationState(Words):
    PROPOSED = "proposed", "Proposed"
    ADOPTED = "adopted", "Adopted, sign awaited"
    IN_FORCE = "in_force", "In force"
    SUPERSEDED = "superseded", "Superseded"
    WITHDRAWN = "withdrawn", "Withdrawn"


class ReminderKind(Words):
    INSPECTION = "inspection", "Inspection"
    UNDERWATER = "underwater", "Underwater inspection"
    IN_DEPTH = "in_depth", "In-depth inspection"
    SPECIAL = "special", "Special inspection"
    DAMAGE = "damage", "Damage inspection"
    SCOUR = "scour", "Scour monitoring"
    CRITICAL = "critical", "Critical finding"
    BAR_CHECK = "bar_check", "Bar-force check"
    RETENSION = "retension", "Re-tension bars"
    RESURFACING = "resurfacing", "Renew surfacing"
    TREATMENT = "treatment", "Treat timber"
    SIGN = "sign", "Confirm sign"
    POSTING = "posting", "Decide posting"


class ReminderState(Words):
    OPEN = "open", "Open"
    ACKNOWLEDGED = "acknowledged", "Acknowledged"
    DEFERRED = "deferred", "Deferred"
    DONE = "done", "Done"
    LAPSED = "lapsed", "No longer owed"


class OwedState(Words):
    """A row of work owed to the system itself."""

    OWED = "owed", "Owed"
    DONE = "done", "Done"
    FAILED = "failed", "Failed, see reason"


class RecalculationState(Words):
    """A look at what newer formulas and tables would do."""

    ASKED = "asked", "Waiting for the worker"
    RUNNING = "running", "Under way"
    READY = "ready", "Ready to look at"
    OWED = "owed", "Ratings owed"
    SET_ASIDE = "set_aside", "Set aside"


class StressingState(Words):
    """A stressing day, from the draft of its sheet to the work on record."""

    DRAFTED = "drafted", "Drafted, not to be used"
    RELEASED = "released", "Released"
    UNDER_WAY = "under_way", "Under way"
    HELD = "held", "Held for the engineer"
    FINISHED = "finished", "Finished"
    WITHDRAWN = "withdrawn", "Withdrawn"


class PullState(Words):
    """One bar of one pull in the log."""

    DONE = "done", "Done"
    STOPPED = "stopped", "Stopped"
    TAKEN_BACK = "taken_back", "Entry taken back"


class CriticalState(Words):
    """A critical finding, from the call to what was done."""

    REPORTED = "reported", "Reported, nothing done yet"
    MADE_SAFE = "made_safe", "Made safe for now"
    CLOSED = "closed", "Closed"


class ReceiptState(Words):
    """One record as a device in the field sent it."""

    KEPT = "kept", "Received, being filed"
    FILED = "filed", "Filed"
    HELD = "held", "Held for a person"
    SET_ASIDE = "set_aside", "Set aside with its reason"


class VisitState(Words):
    """A visit owed because something happened."""

    OPEN = "open", "Owed"
    DONE = "done", "Inspected"
    SET_ASIDE = "set_aside", "Set aside with its reason"


class QualityState(Words):
    """One inspection done again by another, to see how far two people agree."""

    DRAWN = "drawn", "Drawn, to be done again"
    COMPARED = "compared", "Done again, differences open"
    CLOSED = "closed", "Closed"


class UploadState(Words):
    """A photograph on its way from a device."""

    OPEN = "open", "Part of it is here"
    KEPT = "kept", "Kept"
    REFUSED = "refused", "Refused, see reason"
