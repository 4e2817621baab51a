"""Reference design values of sawn timber, glulam and structural composite lumber, allowable stress basis.

Source: NDS Supplement (2018, carried into 2024) tables 4A, 4B, 4D, 5A, 5B; makers' typical values for composite
lumber. Rows marked ``checked-2nd`` were read in second-hand copies, ``memory`` rows were not re-read: the printed
table must be compared before a value is relied on. Shear values are those since 2001, so no shear (split) factor C_H
may be applied to them.
"""

from __future__ import annotations

from dataclasses import dataclass

from .design_value_rows import GROUPS

VERSION = "design-values 2018.1"
SOURCE = "NDS Supplement 2018"

KINDS = ("dimension", "timber", "glulam_x", "glulam_y", "psl", "lvl")
"""dimension: 2 to 4 in thick; timber: 5 in and thicker; glulam_x: beam; glulam_y: deck panel on edge; composites."""

GRADE_STEPS = (
    ("Select Structural", "No.1 & Btr", "No.1", "No.2", "No.3"),
    ("Dense Select Structural", "No.1 Dense", "No.2 Dense"),
    ("Dense Select Structural", "Dense No.1"),
    ("Select Structural", "No.1/No.2"),
)
"""Visual grades from best to least, for the one-step reduction where early decay is suspected."""


@dataclass(frozen=True, kw_only=True)
class DesignValue:
    """Reference stresses (psi) of one species, grade and size class, before any adjustment factor.

    ``size_factor_in_value`` is True where the table already holds the size effect (southern pine 2 to 4 in thick);
    ``wet_in_value`` where the table holds for wet and dry service alike; ``volume_exponent`` is x in C_V (glulam),
    None where the symbol does not fix the species.
    """

    species: str
    grade: str
    size_class: str
    kind: str
    fb_psi: float
    fv_psi: float
    fc_perp_psi: float
    e_psi: float
    e_min_psi: float | None = None
    fb_neg_psi: float | None = None
    ft_psi: float | None = None
    fc_psi: float | None = None
    specific_gravity: float | None = None
    density_pcf: float | None = None
    size_factor_in_value: bool = False
    wet_in_value: bool = False
    volume_exponent: float | None = None
    edition: str
    source: str
    mark: str
    note: str = ""

    @property
    def title(self) -> str:
        return f"{self.species} {self.grade}, {self.size_class}"


def _volume_exponent(species: str, kind: str) -> float | None:
    if kind != "glulam_x" or species == "Glulam stress class":
        return None
    return 20.0 if species == "Glulam SP/SP" else 10.0


def _rows() -> tuple[DesignValue, ...]:
    found = []
    for species, size_class, kind, source, mark, edition, gravity, density, note, rows in GROUPS:
        for grade, fb, fb_neg, ft, fv, fcp, fc, e, e_min in rows:
            found.append(
                DesignValue(
                    species=species,
                    grade=grade,
                    size_class=size_class,
                    kind=kind,
                    fb_psi=fb,
                    fb_neg_psi=fb_neg,
                    ft_psi=ft,
                    fv_psi=fv,
                    fc_perp_psi=fcp,
                    fc_psi=fc,
                    e_psi=e,
                    e_min_psi=e_min,
                    specific_gravity=gravity,
                    density_pcf=density,
                    size_factor_in_value=species == "Southern pine" and kind == "dimension",
                    wet_in_value=species == "Southern pine" and kind == "timber",
                    volume_exponent=_volume_exponent(species, kind),
                    edition=edition,
                    source=source,
                    mark=mark,
                    note=note,
                )
            )
    return tuple(found)


DESIGN_VALUES: tuple[DesignValue, ...] = _rows()


def find_design_value(*, species: str, grade: str, size_class: str) -> DesignValue:
    """The one row of the table; ``KeyError`` with a sentence naming the choices when there is none."""
    for row in DESIGN_VALUES:
        if (row.species, row.grade, row.size_class) == (species, grade, size_class):
            return row
    grades = sorted({row.grade for row in DESIGN_VALUES if row.species == species and row.size_class == size_class})
    choices = f" Grades on the table for it: {', '.join(grades)}." if grades else ""
    raise KeyError(f"No design value for {species} {grade}, {size_class}.{choices}")


def next_lower_grade(value: DesignValue) -> DesignValue | None:
    """The next lower visual grade of the same species and size class on the table, or None (glulam, composites)."""
    same = {r.grade: r for r in DESIGN_VALUES if (r.species, r.size_class) == (value.species, value.size_class)}
    for ladder in GRADE_STEPS:
        if value.grade in ladder:
            for grade in ladder[ladder.index(value.grade) + 1 :]:
                if grade in same:
                    return same[grade]
    return None
