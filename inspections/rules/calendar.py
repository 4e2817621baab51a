"""Keys of calendar feeds and the words of their events; plain values, no clock.

RFC 5545 [memory]: a UID never changes while the thing is the same, DTSTAMP tells when it was last revised, a SUMMARY is
text. Readers are known that refuse a summary of more than one line, so it has one.
"""

import hashlib
import hmac
import re
from datetime import datetime
from uuid import NAMESPACE_OID, UUID, uuid5

CONTROL = re.compile(r"[\x00-\x1f\x7f\u0085\u2028\u2029]+")
NOT_TEXT = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
SUMMARY_LIMIT = 160


def digest_of(key: str) -> str:
    """What is kept of a key: its SHA-256, in hexadecimal digits."""
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def is_same(digest: str, kept: str) -> bool:
    """Compared in a time that does not depend on where they differ."""
    return hmac.compare_digest(digest, kept)


def event_uid(what: str, number: int, made_at: datetime) -> UUID:
    """The same row gives the same identity for ever; rows of two sites differ by the moment they were made."""
    return uuid5(NAMESPACE_OID, f"spanledger {what} {number} {made_at.timestamp():.6f}")


def one_line(words: str, limit: int = SUMMARY_LIMIT) -> str:
    """Text without line breaks or control characters, cut where it is very long."""
    plain = " ".join(CONTROL.sub(" ", words).split())
    return plain if len(plain) <= limit else plain[: limit - 4].rstrip() + " ..."


def many_lines(words: str) -> str:
    """Text with its line breaks and no other control characters."""
    return NOT_TEXT.sub(" ", words.replace("\r\n", "\n").replace("\r", "\n"))
