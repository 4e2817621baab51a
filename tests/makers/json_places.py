"""Every number of a plain value by its place, and the value with one of them changed."""

import copy


def places_of_numbers(value, path=()):
    if isinstance(value, dict):
        for key, item in value.items():
            yield from places_of_numbers(item, (*path, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from places_of_numbers(item, (*path, index))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def put(value, path, new):
    changed = copy.deepcopy(value)
    place = changed
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = new
    return changed


def words(path) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")
