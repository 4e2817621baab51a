"""The bytes of a file to JSON values, strictly: UTF-8, no name twice, no number too long; faults are sentences."""

import json
from collections import Counter

from .faults import BadFile

MOST_BYTES = 50 * 1024 * 1024


def parsed_json(data: bytes, *, what: str, fewer: str = "less"):
    """The value of a file; ``what`` it should hold and what to give ``fewer`` of, for the sentences of ``BadFile``."""
    if len(data) > MOST_BYTES:
        raise BadFile(f"The file is larger than {MOST_BYTES // 1024**2} MB; give {fewer}.")
    try:
        text = data.decode("utf-8-sig")
        value = json.loads(text, object_pairs_hook=_once)
        if "\\ud" in text.lower():
            # Half of a pair, written as an escape, is no character and could not be printed again.
            json.dumps(value, ensure_ascii=False).encode()
        return value
    except UnicodeDecodeError as problem:
        raise BadFile(f"The file is not text in UTF-8 (byte {problem.start}); save it as UTF-8.") from problem
    except UnicodeEncodeError as problem:
        raise BadFile(
            "The file holds half of a character (\\ud800 to \\udfff alone); write that text anew."
        ) from problem
    except json.JSONDecodeError as problem:
        where = f"line {problem.lineno}, column {problem.colno}"
        raise BadFile(f"The file is not JSON: at {where}, {_lowered(problem.msg)}.") from problem
    except RecursionError as problem:
        raise BadFile(f"The file is nested too deeply to be {what}.") from problem
    except BadFile:
        raise
    except ValueError as problem:
        raise BadFile("The file holds a number with too many digits to be measured.") from problem


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:]


def _once(pairs: list[tuple[str, object]]) -> dict:
    """A name given twice is refused: which of two values counts is no guess to make."""
    found = dict(pairs)
    if len(found) < len(pairs):
        counted = Counter(name for name, _value in pairs)
        twice = min(name for name, count in counted.items() if count > 1)
        raise BadFile(f"The name {twice[:60]} is given twice in one object; keep one of them.")
    return found
