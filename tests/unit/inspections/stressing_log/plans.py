"""A plan made by hand for the rules that only read plans; figures invented and simple."""

from inventory.mechanics.bars.jacking.terms import (
    BarPull,
    JackKit,
    PlanInput,
    PlannedBar,
    Pull,
    Squeezed,
    StressingPlan,
)


def made_plan(*, order: tuple[tuple[int, ...], ...], per_pass: int, bars: int = 3) -> StressingPlan:
    """Pulls in `order`, `per_pass` pulls in a pass; bar n is pulled to 50,000 + 1,000 n lb."""
    deck = Squeezed(
        deck_length_in=48.0 * bars,
        deck_width_in=192.0,
        thickness_in=12.0,
        e_transverse_psi=18_200.0,
        shear_modulus_psi=42_000.0,
        bearing_length_in=19.2,
        bar_length_in=216.0,
    )
    row = tuple(
        PlannedBar(
            name=str(index + 1),
            station_in=48.0 * index + 24.0,
            net_area_in2=0.85,
            tensile_psi=150_000.0,
            standing_lb=30_000.0,
            target_lb=50_000.0,
        )
        for index in range(bars)
    )
    jack = JackKit(name="Jack 1", ram_area_in2=20.0, efficiency=1.0, gauge_division_psi=50.0)
    now, pulls = [30_000.0] * bars, []
    for place, group in enumerate(order):
        for index in group:
            now[index] = 50_000.0
        pulls.append(
            Pull(
                number=place + 1,
                pass_number=place // per_pass + 1,
                bars=tuple(
                    BarPull(
                        bar_index=index,
                        jack="Jack 1",
                        set_lb=50_000.0 + 1_000.0 * index,
                        gauge_psi=2_500.0 + 50.0 * index,
                        peak_lb=52_500.0,
                        locked_lb=50_000.0,
                        elongation_in=0.5,
                        stress_psi=60_000.0,
                    )
                    for index in group
                ),
                after_lb=tuple(now),
            )
        )
    return StressingPlan(
        given=PlanInput(deck=deck, bars=row, jacks=(jack,)),
        pulls=tuple(pulls),
        start_lb=(30_000.0,) * bars,
        final_lb=tuple(now),
        least_ratio=1.0,
        pass_count=pulls[-1].pass_number,
        greatest_set_lb=52_000.0,
        checks=(),
        refusals=(),
        sentences=(),
    )
