"""The design values a member group stands with: its own where given, else those of the published table."""

from inventory.mechanics.tables.design_values import find_design_value
from inventory.models import MemberGroup

NAMES = ("fb_psi", "fv_psi", "fc_perp_psi", "e_psi")


def standing_values(member: MemberGroup) -> dict[str, tuple[float | None, bool]]:
    """Name to (value in psi, whether it comes from the table); None where neither has it."""
    try:
        table = find_design_value(species=member.species, grade=member.grade, size_class=member.size_class)
    except KeyError:
        table = None
    found = {}
    for name in NAMES:
        own = getattr(member, name)
        found[name] = (own, False) if own is not None else (getattr(table, name, None), table is not None)
    return found
