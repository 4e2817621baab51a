"""Navigation and scour (guide pp. 21 and 72-76, checked)."""

from .code_list import listed

LISTS = (
    listed(
        "038",
        "Navigation control",
        "21",
        {"N": "no waterway", "0": "no permit needed", "1": "permit for navigation needed"},
    ),
    listed(
        "111",
        "Pier or abutment protection",
        "72",
        {
            "1": "protection not required",
            "2": "in place and working",
            "3": "in place, deteriorated",
            "4": "in place, design to be looked at again",
            "5": "none, to be looked at again",
        },
        blank_means="no navigation control",
    ),
    listed(
        "113",
        "Scour",
        "75",
        {
            "N": "not over a waterway",
            "U": "unknown foundation, not evaluated: watch in floods, close where called for",
            "T": "tidal water, not evaluated, thought low risk",
            "9": "foundations on dry land above flood water",
            "8": "stable; computed scour above the top of footing",
            "7": "countermeasures installed; no longer critical",
            "6": "not computed or evaluated",
            "5": "stable; computed scour within footing or piles",
            "4": "stable; exposed foundations need action",
            "3": "scour critical: foundations computed unstable",
            "2": "scour critical: extensive scour seen, act at once",
            "1": "scour critical: failure imminent, closed",
            "0": "scour critical: failed and closed",
        },
    ),
)
