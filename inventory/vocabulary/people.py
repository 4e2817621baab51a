"""What people may be qualified for, and whom to call."""

from .words import Words


class QualificationKind(Words):
    """Personnel of the national inspection standards (23 CFR 650.309 [memory])."""

    PROGRAM_MANAGER = "program_manager", "Program manager"
    TEAM_LEADER = "team_leader", "Team leader"
    TENSION_LEADER = "tension_leader", "Team leader on steel tension members"
    DIVER = "diver", "Underwater inspector"
    RATER = "rater", "Load rating engineer"
    OTHER = "other", "Other training"


class ContactRole(Words):
    SHERIFF = "sheriff", "Sheriff"
    ENGINEER = "engineer", "Engineer"
    SUPERVISOR = "supervisor", "Supervisor"
    STATE = "state", "State bridge office"
    UTILITY = "utility", "Utility"
    OTHER = "other", "Other"
