"""Ratings 0 to 9 proposed from what was found, with reasons; the inspector decides.

The table from sizes to ratings is a model (see `table`); the words of the codes are the national scale's, in our own
words [memory]. A proposal never rises above the last rating unless repair is on record since. What cannot be said is
said to be so, and nothing is proposed.
"""

from .propose import Earlier, ElementShare, Proposal, propose_ratings
from .seen import NOT_RATED, Seen, parts_of, seen_of
from .stream import StreamFacts, propose_channel, propose_scour
from .table import (
    CODE_MEANS,
    CODES,
    EXTENT_WORDS,
    STEPS,
    Extent,
    Severity,
    extent_of,
    table_json,
    table_rows,
)

__all__ = [
    "CODES",
    "CODE_MEANS",
    "EXTENT_WORDS",
    "NOT_RATED",
    "STEPS",
    "Earlier",
    "ElementShare",
    "Extent",
    "Proposal",
    "Seen",
    "Severity",
    "StreamFacts",
    "extent_of",
    "parts_of",
    "propose_channel",
    "propose_ratings",
    "propose_scour",
    "seen_of",
    "table_json",
    "table_rows",
]
