"""What a changed formula or table touches, and how far two answers to the same inputs lie apart."""

from collections.abc import Mapping, Sequence
from hashlib import sha256

from inventory.mechanics.tables.design_values import DESIGN_VALUES

from .proposal import propose

BY_SYSTEM = {
    "wheel_lines": ("stringer", "stress_laminated_t", "stress_laminated_box"),
    "lane_shares": None,
    "deck_strips": ("stringer",),
}
"""Load-carrying systems whose rating reads a table; None: every system. A table not named here is read by every rating.

``lane_shares`` holds the presence factors too, which every distribution by LRFD may read."""
SAME_FACTOR = 5e-4
"""Two factors this near are the same in print."""


def plain_version(kernel_version: str) -> str:
    """The kernel's version without the mark of its tables ('1.1+0a1b2c3d' is kernel 1.1)."""
    return kernel_version.partition("+")[0]


def tables_mark(table_versions: Mapping[str, str]) -> str:
    """Eight letters that stand for one set of table versions."""
    return sha256(repr(sorted(table_versions.items())).encode()).hexdigest()[:8]


def why_touched(
    *, rating: Mapping, kernel_version: str, table_versions: Mapping[str, str], renewed: Sequence[str] = ()
) -> list[str]:
    """Sentences for whatever changed under a rating since it was made; empty where nothing it reads has.

    `rating` holds `kernel_version`, `table_versions` and `snapshot`; `renewed` names design values of the snapshot that
    read otherwise in the table today.
    """
    told = []
    before = plain_version(rating["kernel_version"])
    if before != plain_version(kernel_version):
        told.append(f"The calculation changed from kernel {before} to {plain_version(kernel_version)}.")
    old = rating["table_versions"]
    for name in sorted({*old, *table_versions}):
        if old.get(name) != table_versions.get(name) and old and _reads(name, rating["snapshot"]):
            told.append(
                f"The table of {name.replace('_', ' ')} changed from {old.get(name, 'none')} to "
                f"{table_versions.get(name, 'none')}."
            )
    return [*told, *renewed]


def _reads(table: str, snapshot: Mapping) -> bool:
    """Whether a rating of these inputs reads the table; where it is not known, it does."""
    if table == "design_values":
        return False  # the values stand in the snapshot itself: those that changed are told one by one
    if table == "vehicles":
        return any(isinstance(vehicle, str) for vehicle in snapshot["vehicles"])
    systems = BY_SYSTEM.get(table)
    return systems is None or any(case["system"] in systems for case in snapshot["cases"])


def renewed_values(plain: object) -> tuple[object, list[str]]:
    """A snapshot as plain values with every design value that came from the table as the table has it today.

    A value entered by the county (mark ``input``) stays as entered; one entered just as the table had it cannot be told
    from the table's and is renewed with it. The sentences name each value that differs.
    """
    if isinstance(plain, list):
        parts = [renewed_values(item) for item in plain]
        return [part for part, _told in parts], _once([line for _part, told in parts for line in told])
    if not isinstance(plain, Mapping):
        return plain, []
    row = _row_of(plain)
    if row is not None:
        return row, _differences(plain, row)
    made, told = {}, []
    for key, item in plain.items():
        made[key], more = renewed_values(item)
        told += more
    return made, _once(told)


def _once(lines: list[str]) -> list[str]:
    return list(dict.fromkeys(lines))


def _row_of(plain: Mapping) -> dict | None:
    if plain.get("mark") in (None, "input") or "fb_psi" not in plain:
        return None
    names = ("species", "grade", "size_class")
    for row in DESIGN_VALUES:
        if all(plain[name] == getattr(row, name) for name in names):
            return {name: getattr(row, name) for name in type(row).__dataclass_fields__}
    return None


def _differences(before: Mapping, after: Mapping) -> list[str]:
    title = f"{after['species']} {after['grade']}, {after['size_class']}"
    names = [name for name in after if before.get(name) != after[name] and name.endswith(("_psi", "_pcf", "_exponent"))]
    return [
        f"Design value {name.removesuffix('_psi')} of {title} changed from {before.get(name)} to {after[name]}."
        for name in names
    ]


def posting_words(*, is_rated: bool, results: Mapping, reasons: Sequence[str], flags: Sequence[str]) -> str:
    """The restriction an answer asks for, in words; 'the engineer must judge' where it gives none."""
    terms, _why = propose(is_rated=is_rated, results=results, reasons=reasons, flags=flags)
    return "the engineer must judge" if terms is None else terms.words


def is_changed(change: Mapping) -> bool:
    """Whether a person would see a difference: the factor in print, what governs, the posting, or rated at all."""
    before, after = change["old"], change["new"]
    if (before["is_rated"], before["posting"]) != (after["is_rated"], after["posting"]):
        return True
    if before["least_factor"] is None or after["least_factor"] is None:
        return before["least_factor"] != after["least_factor"]
    return (
        abs(before["least_factor"] - after["least_factor"]) > SAME_FACTOR or before["governing"] != after["governing"]
    )


def difference(change: Mapping) -> float | None:
    """New less old least factor; None where one of them is not there."""
    before, after = change["old"]["least_factor"], change["new"]["least_factor"]
    return None if before is None or after is None else after - before
