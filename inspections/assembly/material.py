"""Design values of a member group: what its row gives, and the published table where the row is empty."""

from dataclasses import replace

from inventory.mechanics.rating import DesignValue, find_design_value
from inventory.models import MemberGroup
from inventory.vocabulary.structures import MemberRole, Product

DIMENSION_UNDER_IN = 5.0
WORDS = {
    "fb_psi": "bending",
    "fv_psi": "shear",
    "fc_perp_psi": "compression across the grain",
    "e_psi": "modulus of elasticity",
}


def design_value(group: MemberGroup, label: str) -> tuple[DesignValue | None, list[str]]:
    """The value to rate with, or None and the sentences that say what is missing.

    A row's own value stands with its own source; fields left empty come from the table of that species, grade and
    size class.
    """
    given = {name: getattr(group, name) for name in WORDS if getattr(group, name) is not None}
    try:
        table = find_design_value(species=group.species, grade=group.grade, size_class=group.size_class)
    except KeyError as unknown:
        return _without_table(group, given, label, unknown.args[0])
    changed = {name: value for name, value in given.items() if value != getattr(table, name)}
    if not changed:
        return table, []
    return replace(table, **changed, source=group.value_source or "county record", mark="input"), []


def _without_table(group: MemberGroup, given: dict, label: str, refusal: str) -> tuple[DesignValue | None, list[str]]:
    missing = [word for name, word in WORDS.items() if name not in given]
    if missing:
        return None, [
            f"{label}: no design value for {', '.join(missing)}. {refusal} Enter the values with their source."
        ]
    value = DesignValue(
        species=group.species or "species not recorded",
        grade=group.grade or "grade not recorded",
        size_class=group.size_class or "size class not recorded",
        kind=_kind(group),
        edition="as entered",
        source=group.value_source or "county record",
        mark="input",
        **given,
    )
    return value, []


def _kind(group: MemberGroup) -> str:
    if group.product == Product.GLULAM:
        return "glulam_y" if group.role in (MemberRole.PANEL, MemberRole.DECK) else "glulam_x"
    if group.product in (Product.PSL, Product.LVL):
        return str(group.product)
    return "dimension" if min(group.width_in, group.depth_in) < DIMENSION_UNDER_IN else "timber"
