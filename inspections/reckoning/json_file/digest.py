"""One digest for the same content, whatever the order of its names."""

import hashlib
import json


def digest_of(plain: dict) -> str:
    """SHA-256 of the values as canonical JSON."""
    return hashlib.sha256(json.dumps(plain, sort_keys=True, separators=(",", ":")).encode()).hexdigest()
