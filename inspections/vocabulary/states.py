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
