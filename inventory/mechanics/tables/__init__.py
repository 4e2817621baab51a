"""Published tables as data, one module per table; each names its ``VERSION``, ``SOURCE`` and mark.

Nothing here computes. A table changes only together with its version string, which is stored with every rating.
"""

from __future__ import annotations


def table_versions() -> dict[str, str]:
    """Name of each table to its version, as stored with every rating."""
    from . import adjustment, deck_strips, design_values, lane_shares, load_factors, unit_weights, vehicles, wheel_lines

    modules = (adjustment, deck_strips, design_values, lane_shares, load_factors, unit_weights, vehicles, wheel_lines)
    return {module.__name__.rsplit(".", 1)[-1]: module.VERSION for module in modules}
