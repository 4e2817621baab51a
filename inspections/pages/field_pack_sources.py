"""Parts of a field pack that an upper room brings: the map around a structure."""

from collections.abc import Callable

_sources: dict[str, Callable] = {}


def add_pack_source(key: str, load: Callable) -> None:
    """`load(structure)` returns what the pack holds under `key` (plain values), or None where there is nothing."""
    _sources[key] = load


def brought_by_others(structure) -> dict:
    """Key to part; None where the room has nothing for this structure."""
    return {key: load(structure) for key, load in sorted(_sources.items())}
