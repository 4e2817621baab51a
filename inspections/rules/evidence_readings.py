"""The fields of a finding: their words, units and plausible ranges, for the form and for the server.

Ranges are plausibility limits against slips of the keyboard [model, no source]; moisture 5 to 60 %, because resistance
meters say only "wet" above 30 % [memory]; sound stress-wave times across the grain are 259 to 305 microseconds per
foot (FPL-GTR-119 [memory]), along it about 60 (FHWA [checked]).
"""

from .evidence_terms import Reading

READINGS: dict[str, Reading] = {
    "span_index": Reading(label="the span", title="Span", least=1, most=99, whole=True),
    "member": Reading(label="the member group", title="Member group"),
    "member_number": Reading(
        label="which member, counted from the left edge",
        title="Which member, from the left",
        least=1,
        most=600,
        whole=True,
    ),
    "bar": Reading(label="the bar", title="Bar"),
    "station_ft": Reading(
        label="the distance from the first bearing", title="From the first bearing", unit="ft", least=0, most=300
    ),
    "across_ft": Reading(
        label="the distance from the left edge of the deck",
        title="From the left edge of the deck",
        unit="ft",
        least=-5,
        most=200,
    ),
    "extent_ft": Reading(
        label="the length along the member", title="Length along the member", unit="ft", least=0, most=300
    ),
    "face": Reading(label="the face", title="Face"),
    "depth_in": Reading(label="the depth", title="Depth lost or penetrated", unit="in", least=0, most=60),
    "width_in": Reading(label="the width", title="Width", unit="in", least=0, most=60),
    "height_in": Reading(label="the height", title="Height", unit="in", least=0, most=60),
    "offset_in": Reading(
        label="the void's centre above mid-depth",
        title="Centre above mid-depth (below: minus)",
        unit="in",
        least=-40,
        most=40,
    ),
    "moisture_pct": Reading(label="the moisture reading", title="Moisture", unit="%", least=5, most=60),
    "moisture_depth_in": Reading(label="the depth of the pins", title="Depth of the pins", unit="in", least=0, most=6),
    "resistance_pct": Reading(
        label="the drilling resistance in percent of sound wood",
        title="Drilling resistance, of sound wood",
        unit="%",
        least=0,
        most=150,
    ),
    "wave_time_us_per_ft": Reading(
        label="the stress-wave time", title="Stress-wave time", unit="us/ft", sign="µs/ft", least=40, most=3000
    ),
    "force_lb": Reading(label="the bar force", title="Bar force", unit="lb", least=0, most=250_000),
    "force_method": Reading(label="how the force was read", title="How the force was read"),
    "jack": Reading(label="the jack and gauge", title="Jack and gauge"),
    "gauge_psi": Reading(label="the gauge pressure", title="Gauge pressure", unit="psi", least=0, most=30_000),
    "wood_temp_f": Reading(
        label="the wood temperature", title="Wood temperature", unit="F", sign="°F", least=-60, most=150
    ),
    "value_in": Reading(label="the measured size", title="Measured size", unit="in", least=-60, most=60),
    "area_pct": Reading(label="the share of the area", title="Share of the area", unit="%", least=0, most=100),
    "condition_state": Reading(label="the condition state", title="Condition state", least=1, most=4, whole=True),
    "photo": Reading(label="a photograph", title="Photograph"),
    "note": Reading(label="a note", title="Note"),
}
