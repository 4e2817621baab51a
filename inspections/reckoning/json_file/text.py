"""The bytes of a file to JSON values, strictly: UTF-8, no name twice, no number too long; faults are sentences."""

import json

from .faults import BadFile

MOST_BYTES = 50 * 1024 * 1024


def parsed_json(data: bytes, *, what: str, fewer: str = "less"):
    """The value of a file; ``what`` it should hold and what to give ``fewer`` of, for the sentences of ``BadFile``."""
    if len(data) > MOST_BYTES:
        raise BadFile(f"The file is larger than {MOST_BYTES // 1024**2} MB; give {fewer}.")
    try:
        return json.loads(data.decode("utf-8-sig"), object_pairs_hook=_once)
    except UnicodeDecodeError as problem:
        raise BadFile(f"The file is not text in UTF-8 (byte {problem.start}); save it as UTF-8.") from problem
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
    names = [name for name, _value in pairs]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise BadFile(f"The name {twice[0][:60]} is given twice in one object; keep one of them.")
    return dict(pairs)
