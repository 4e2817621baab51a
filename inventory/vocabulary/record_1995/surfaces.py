"""Deck and what lies on it (items 107 and 108, guide pp. 70-71, checked)."""

from .code_list import listed

_NO_DECK = {"N": "no deck"}

LISTS = (
    listed(
        "107",
        "Deck structure",
        "70",
        {
            "1": "concrete cast in place",
            "2": "concrete precast panels",
            "3": "open grating",
            "4": "closed grating",
            "5": "steel plate, with orthotropic",
            "6": "corrugated steel",
            "7": "aluminum",
            "8": "wood or timber",
            "9": "other",
            "N": "not applicable: filled culvert or arch",
        },
    ),
    listed(
        "108A",
        "Wearing surface",
        "71",
        {
            "1": "monolithic concrete",
            "2": "integral concrete, a separate layer",
            "3": "latex concrete or similar",
            "4": "low slump concrete",
            "5": "epoxy overlay",
            "6": "bituminous",
            "7": "wood or timber",
            "8": "gravel",
            "9": "other",
            "0": "none",
        }
        | _NO_DECK,
    ),
    listed(
        "108B",
        "Membrane",
        "71",
        {"1": "built-up", "2": "preformed fabric", "3": "epoxy", "8": "unknown", "9": "other", "0": "none"} | _NO_DECK,
    ),
    listed(
        "108C",
        "Deck protection",
        "71",
        {
            "1": "epoxy coated reinforcing",
            "2": "galvanized reinforcing",
            "3": "other coated reinforcing",
            "4": "cathodic protection",
            "6": "polymer impregnated",
            "7": "internally sealed",
            "8": "unknown",
            "9": "other",
            "0": "none",
        }
        | _NO_DECK,
    ),
)
