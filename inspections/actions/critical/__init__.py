"""Critical findings: reported once, told, planned, made safe, closed with what was done and a photograph."""

from .close import close_critical
from .describe import describe_critical
from .make_safe import link_restriction, make_safe, say_no_longer_safe
from .plan import plan_critical
from .report import report_critical, report_proposed
from .tell import tell_of_critical
from .warn import warn_of_clocks

__all__ = [
    "close_critical",
    "describe_critical",
    "link_restriction",
    "make_safe",
    "plan_critical",
    "report_critical",
    "report_proposed",
    "say_no_longer_safe",
    "tell_of_critical",
    "warn_of_clocks",
]
