"""An invented stress-laminated span: 30 ft, 14 in deep, ten bars at 3 ft."""

from inventory.models import Bar, MemberGroup, Span, Standing, StressingSystem, Structure


def make_stressed_bridge(agency) -> Structure:
    structure = Structure.objects.create(
        agency=agency,
        number="Q-2",
        road_name="Kestrel Road",
        feature_crossed="Alder Run",
        system="stress_laminated",
        length_ft=32,
        max_span_ft=30,
        span_count=1,
        roadway_width_ft=22,
        deck_width_ft=24,
        lanes=2,
    )
    span = Span.objects.create(structure=structure, index=1, length_ft=30, system="stress_laminated", lanes_loaded=2)
    MemberGroup.objects.create(
        span=span,
        role="lamination",
        count=72,
        width_in=4,
        depth_in=14,
        product="sawn",
        species="Douglas fir-larch",
        grade="No.1",
        size_class="dimension, 2 to 4 in thick",
        value_source="NDS Supplement 2018 Table 4A (second-hand copy)",
    )
    system = StressingSystem.objects.create(
        span=span, bar_diameter_in=1, bar_area_in2=0.85, spacing_in=36, stressed_depth_in=14, design_force_lb=50000
    )
    for number in range(10):
        Bar.objects.create(system=system, number=number + 1, station_ft=1.5 + 3 * number)
    Standing.objects.create(structure=structure)
    return structure
