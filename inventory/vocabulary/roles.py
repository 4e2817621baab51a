"""Who works here, and what each may do."""

from .words import Words


class Role(Words):
    OFFICE = "office", "Office staff"
    INSPECTOR = "inspector", "Inspector"
    CREW = "crew", "Crew"
    SUPERVISOR = "supervisor", "Supervisor"
    ENGINEER = "engineer", "Engineer"
    ADMINISTRATOR = "administrator", "Administrator"
    REVIEWER = "reviewer", "Reviewer (reads only)"


class Permit(Words):
    """One act a person may be allowed."""

    READ = "read", "read the register"
    EDIT_STRUCTURE = "edit_structure", "edit a structure"
    IMPORT_RECORDS = "import_records", "import federal records"
    ENTER_INSPECTION = "enter_inspection", "enter an inspection"
    REVIEW_INSPECTION = "review_inspection", "accept or send back an inspection"
    DECIDE_POSTING = "decide_posting", "adopt or change a posting"
    RESTRICT_NOW = "restrict_now", "restrict or close at once"
    CONFIRM_SIGN = "confirm_sign", "confirm a sign"
    MANAGE_REMINDERS = "manage_reminders", "assign, defer or close reminders"
    RECORD_WORK = "record_work", "record work done"
    SET_RATING = "set_rating", "change how the county rates"
    CHOOSE_DISTRIBUTION = "choose_distribution", "choose how wheel loads are shared"
    TRY_CHANGE = "try_change", "try a change on a rating"
    RECALCULATE = "recalculate", "see what newer formulas and tables change"
    KEEP_EQUIPMENT = "keep_equipment", "keep jacks and gauges"
    SET_BARS = "set_bars", "change how bar force is judged"
    RECORD_SETTING = "record_setting", "record the setting of a bridge"
    PLAN_STRESSING = "plan_stressing", "plan a stressing day"
    RELEASE_STRESSING = "release_stressing", "release a stressing sheet or a bar"
    LOG_STRESSING = "log_stressing", "log a stressing day"
    PLAN_FIELD = "plan_field", "plan field days"
    SET_INSPECTION_POLICY = "set_inspection_policy", "change when the county inspects"
    KEEP_QUALIFICATIONS = "keep_qualifications", "keep inspectors' qualifications"
    REPORT_CRITICAL = "report_critical", "report a critical finding"
    HANDLE_CRITICAL = "handle_critical", "answer and close a critical finding"
    APPRAISE_SCOUR = "appraise_scour", "appraise scour and adopt its plan of action"
    CHECK_QUALITY = "check_quality", "have inspections done again and compare them"
    SETTLE_RECEIPTS = "settle_receipts", "settle records held from the field"
    ADMINISTER = "administer", "administer people and settings"


# What each act needs; reading needs any membership.
ALLOWED: dict[Permit, frozenset[Role]] = {
    Permit.READ: frozenset(Role),
    Permit.EDIT_STRUCTURE: frozenset({Role.OFFICE, Role.ENGINEER, Role.ADMINISTRATOR}),
    Permit.IMPORT_RECORDS: frozenset({Role.OFFICE, Role.ADMINISTRATOR}),
    Permit.ENTER_INSPECTION: frozenset({Role.INSPECTOR, Role.ENGINEER}),
    Permit.REVIEW_INSPECTION: frozenset({Role.ENGINEER}),
    Permit.DECIDE_POSTING: frozenset({Role.ENGINEER}),
    Permit.RESTRICT_NOW: frozenset({Role.ENGINEER, Role.SUPERVISOR}),
    Permit.CONFIRM_SIGN: frozenset({Role.CREW, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.MANAGE_REMINDERS: frozenset({Role.SUPERVISOR, Role.ENGINEER, Role.OFFICE}),
    Permit.RECORD_WORK: frozenset({Role.CREW, Role.SUPERVISOR, Role.ENGINEER, Role.OFFICE}),
    Permit.SET_RATING: frozenset({Role.ENGINEER, Role.ADMINISTRATOR}),
    Permit.CHOOSE_DISTRIBUTION: frozenset({Role.ENGINEER}),
    Permit.TRY_CHANGE: frozenset({Role.OFFICE, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.RECALCULATE: frozenset({Role.SUPERVISOR, Role.ENGINEER}),
    Permit.KEEP_EQUIPMENT: frozenset({Role.OFFICE, Role.CREW, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.SET_BARS: frozenset({Role.ENGINEER, Role.ADMINISTRATOR}),
    Permit.RECORD_SETTING: frozenset({Role.OFFICE, Role.CREW, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.PLAN_STRESSING: frozenset({Role.SUPERVISOR, Role.ENGINEER}),
    Permit.RELEASE_STRESSING: frozenset({Role.ENGINEER}),
    Permit.LOG_STRESSING: frozenset({Role.CREW, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.PLAN_FIELD: frozenset({Role.OFFICE, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.SET_INSPECTION_POLICY: frozenset({Role.ENGINEER, Role.ADMINISTRATOR}),
    Permit.KEEP_QUALIFICATIONS: frozenset({Role.SUPERVISOR, Role.ENGINEER, Role.ADMINISTRATOR}),
    Permit.REPORT_CRITICAL: frozenset({Role.OFFICE, Role.INSPECTOR, Role.CREW, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.HANDLE_CRITICAL: frozenset({Role.SUPERVISOR, Role.ENGINEER}),
    Permit.APPRAISE_SCOUR: frozenset({Role.ENGINEER}),
    Permit.CHECK_QUALITY: frozenset({Role.SUPERVISOR, Role.ENGINEER}),
    Permit.SETTLE_RECEIPTS: frozenset({Role.OFFICE, Role.SUPERVISOR, Role.ENGINEER}),
    Permit.ADMINISTER: frozenset({Role.ADMINISTRATOR}),
}
