"""Stiffness of a deck as an orthotropic plate: x along the span, y across the laminations.

D_x w,xxxx + 2 H w,xxyy + D_y w,yyyy = q with H = D_1 + 2 D_k; D_x, D_y, D_1, D_k in lb-in2 per in = lb-in.
Source: plate theory (Timoshenko and Woinowsky-Krieger chapter 11, memory); ratios of stress-laminated decks
EM 7700-8 chapter 9 and FPL-RP-495 (memory); their rise with pressure is ``model``.
"""

from __future__ import annotations

from dataclasses import dataclass

from inventory.mechanics.errors import require_range

SOURCE = "orthotropic plate of a laminated deck"
PRESSURE_SOURCE = "ratios known at 40 and 100 psi, EM 7700-8 chapter 9"
LEAST_PRESSURE_PSI = 40.0
FULL_PRESSURE_PSI = 100.0
RATIOS_AT_LEAST = (0.013, 0.03)
"""E_T/E_L and G_LT/E_L at 40 psi: the design values (EM 7700-8 chapter 9, memory)."""
RATIOS_AT_FULL = (0.020, 0.05)
"""The same at 100 psi (model)."""
JOINT_FACTORS = ((4, 0.80), (5, 0.85), (6, 0.88), (7, 0.90), (8, 0.93), (10, 0.94))
"""C_bj for one joint in so many laminations (EM 7700-8 chapter 9, memory, low confidence)."""


@dataclass(frozen=True, kw_only=True)
class PlateStiffness:
    """D_x along the span, D_y across it, D_1 (Poisson), D_k (torsion), all lb-in; D_1 may be nought.

    Raises ``OutsideValidity`` for D_x not above nought, D_y/D_x outside 1e-8 to 100 and D_k/D_x outside 0 to 100
    (beyond them the sums lose their figures), or D_1 squared above D_x D_y.
    """

    dx_lbin: float
    dy_lbin: float
    dk_lbin: float
    d1_lbin: float = 0.0

    def __post_init__(self) -> None:
        require_range(name="plate stiffness D_x", value=self.dx_lbin, above=0, unit="lb-in", source=SOURCE)
        require_range(name="D_y/D_x", value=self.dy_lbin / self.dx_lbin, least=1e-8, most=100, source=SOURCE)
        require_range(name="D_k/D_x", value=self.dk_lbin / self.dx_lbin, least=0, most=100, source=SOURCE)
        most = (self.dx_lbin * self.dy_lbin) ** 0.5
        require_range(name="plate stiffness D_1", value=self.d1_lbin, least=0, most=most, unit="lb-in", source=SOURCE)

    @property
    def h_lbin(self) -> float:
        """H = D_1 + 2 D_k, lb-in."""
        return self.d1_lbin + 2.0 * self.dk_lbin


@dataclass(frozen=True, kw_only=True)
class EdgeBeam:
    """A beam under a free edge, bending and twisting with it: E, I, G, J (psi, in4); a curb that works, an edge web."""

    e_psi: float
    inertia_in4: float
    g_psi: float = 0.0
    torsion_in4: float = 0.0

    def __post_init__(self) -> None:
        for name in ("e_psi", "inertia_in4", "g_psi", "torsion_in4"):
            require_range(name=f"edge beam {name}", value=getattr(self, name), least=0, source=SOURCE)


NO_EDGE_BEAM = EdgeBeam(e_psi=0.0, inertia_in4=0.0)


@dataclass(frozen=True, kw_only=True)
class TransverseRatios:
    """E_T/E_L and G_LT/E_L of a stressed deck, with the mark of the values."""

    e_ratio: float
    g_ratio: float
    mark: str


def transverse_ratios(*, pressure_psi: float) -> TransverseRatios:
    """E_T/E_L and G_LT/E_L at a measured pressure: linear from 0.013 and 0.03 at 40 psi to 0.020 and 0.05 at 100 psi.

    Below 40 psi it raises ``OutsideValidity`` (no value is known there: the laminations may slip or part); above
    100 psi the values of 100 psi are kept, which spreads less than the true ones. Up to 500 psi. Mark ``model``;
    the values at 40 psi EM 7700-8 chapter 9 (memory).
    """
    name = "pressure between laminations"
    require_range(name=name, value=pressure_psi, least=LEAST_PRESSURE_PSI, most=500, unit="psi", source=PRESSURE_SOURCE)
    share = (min(pressure_psi, FULL_PRESSURE_PSI) - LEAST_PRESSURE_PSI) / (FULL_PRESSURE_PSI - LEAST_PRESSURE_PSI)
    e_ratio, g_ratio = (low + share * (high - low) for low, high in zip(RATIOS_AT_LEAST, RATIOS_AT_FULL, strict=True))
    return TransverseRatios(e_ratio=e_ratio, g_ratio=g_ratio, mark="memory" if share == 0 else "model")


def butt_joint_factor(*, one_joint_in: int | None, published: bool = False) -> float:
    """C_bj, by which butt joints lower E_L; ``one_joint_in`` j laminations, ``None`` where every one runs through.

    (j - 1)/j by default (``model``, safe). ``published``: EM 7700-8 chapter 9 (memory, low confidence), the next
    lower j of the table. j 4 to 100: more than one joint in four laminations is not allowed (LRFD 9.9.5.3, memory).
    """
    if one_joint_in is None:
        return 1.0
    require_range(
        name="laminations with one joint", value=one_joint_in, least=4, most=100, source="AASHTO LRFD 9.9.5.3"
    )
    if published:
        return max(factor for count, factor in JOINT_FACTORS if count <= one_joint_in)
    return (one_joint_in - 1.0) / one_joint_in


def slab_stiffness(
    *, thickness_in: float, e_psi: float, e_ratio: float, g_ratio: float, joint_factor: float = 1.0
) -> PlateStiffness:
    """D_x = C_bj E_L t3/12, D_y = E_T t3/12, D_k = G_LT t3/12, D_1 = 0; t 0 to 60 in, ratios of the unjointed E_L."""
    _material(thickness_in, e_psi, e_ratio, g_ratio)
    require_range(name="butt joint factor", value=joint_factor, above=0, most=1, source=SOURCE)
    unit = e_psi * thickness_in**3 / 12.0
    return PlateStiffness(dx_lbin=joint_factor * unit, dy_lbin=e_ratio * unit, dk_lbin=g_ratio * unit)


def ribbed_stiffness(
    *,
    web_e_psi: float,
    web_inertia_in4: float,
    web_spacing_in: float,
    flange_e_psi: float,
    flange_depths_in: tuple[float, ...],
    e_ratio: float,
    g_ratio: float,
    web_g_psi: float = 0.0,
    web_torsion_in4: float = 0.0,
) -> PlateStiffness:
    """T and box decks: D_x = E_web I/S, D_y = sum E_T t_f3/12, D_k = sum G_LT t_f3/12 + G J/(4 S), D_1 = 0.

    I is that of one web with its flanges, in web material (``section.composite_section``); ``flange_depths_in`` one
    depth for a T, two for a box. G J is the torsional stiffness of one web, or of one closed cell. The flanges of a
    box bend each for itself: the frame action of webs and flanges is left out, which spreads less (``model``).
    """
    require_range(name="web E", value=web_e_psi, above=0, unit="psi", source=SOURCE)
    require_range(name="web inertia", value=web_inertia_in4, above=0, unit="in4", source=SOURCE)
    require_range(name="web spacing", value=web_spacing_in, above=0, most=120, unit="in", source=SOURCE)
    require_range(name="web G", value=web_g_psi, least=0, unit="psi", source=SOURCE)
    require_range(name="web torsion constant", value=web_torsion_in4, least=0, unit="in4", source=SOURCE)
    require_range(name="number of flanges", value=len(flange_depths_in), least=1, most=2, source=SOURCE)
    for depth in flange_depths_in:
        _material(depth, flange_e_psi, e_ratio, g_ratio)
    unit = sum(flange_e_psi * depth**3 / 12.0 for depth in flange_depths_in)
    return PlateStiffness(
        dx_lbin=web_e_psi * web_inertia_in4 / web_spacing_in,
        dy_lbin=e_ratio * unit,
        dk_lbin=g_ratio * unit + web_g_psi * web_torsion_in4 / (4.0 * web_spacing_in),
    )


def _material(thickness_in: float, e_psi: float, e_ratio: float, g_ratio: float) -> None:
    require_range(name="thickness", value=thickness_in, above=0, most=60, unit="in", source=SOURCE)
    require_range(name="modulus of elasticity", value=e_psi, above=0, most=5e6, unit="psi", source=SOURCE)
    require_range(name="E_T/E_L", value=e_ratio, above=0, most=1, source=SOURCE)
    require_range(name="G_LT/E_L", value=g_ratio, above=0, most=1, source=SOURCE)
