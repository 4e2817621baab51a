"""Bar force along each span, drawn from the readings that stand against the floor and the design force."""

from django.http import HttpRequest
from django.utils.safestring import mark_safe

from inspections.drawings.bar_force import BarPoint, ForceLevel, bar_profile
from inspections.queries.clock_facts import clock_facts
from inspections.queries.ratings import current_rating
from inspections.rules.bar_profile import bar_places, floor_force_lb
from inspections.rules.clocks.bars import least_local_psi
from inspections.rules.clocks.intervals import BAR_FLOOR_PSI
from inventory.models import Standing, StressingSystem, Structure
from inventory.vocabulary.structures import BarStanding

from .force_curve import curve_parts
from .pressed import pressed_parts


def load(request: HttpRequest, structure: Structure) -> dict | None:
    systems = {
        system.span.index: system
        for system in StressingSystem.objects.filter(span__structure=structure).select_related("span")
    }
    if not systems:
        return None
    facts, _ = clock_facts([structure.pk])[structure.pk]
    profiles = [profile for span in facts.bars for profile in _profiles(span, systems[span.span_index])]
    rating = current_rating(structure)
    standing = Standing.objects.filter(structure=structure).first()
    return {
        "profiles": profiles,
        "standing": standing,
        "bar_words": BarStanding.label_of(standing.bar_state) if standing else "",
        "floor_psi": BAR_FLOOR_PSI,
        "rating": rating,
        "curves": curve_parts(rating),
        "pressed": pressed_parts(rating),
    }


def _profiles(facts, system: StressingSystem) -> list[dict]:
    places = bar_places(facts)
    levels = [
        ForceLevel(
            force_lb=floor_force_lb(facts),
            words=f"floor {BAR_FLOOR_PSI:g} psi, {floor_force_lb(facts) / 1000:.1f} kip",
            is_need=True,
        )
    ]
    if system.design_force_lb:
        levels.append(
            ForceLevel(force_lb=system.design_force_lb, words=f"design {system.design_force_lb / 1000:g} kip")
        )
    found = []
    for level in sorted({place.level for place in places}):
        row = [place for place in places if place.level == level]
        words = "" if level == "mid" else f", {level} bars"
        title = f"Bar force, span {facts.span_index}{words}"
        points = [BarPoint(number=p.number, station_ft=p.station_ft, force_lb=p.force_lb, is_low=p.is_low) for p in row]
        svg = bar_profile(points, levels, span_ft=facts.length_ft, title=title, key=f"bars-{facts.span_index}-{level}")
        found.append(
            {
                "title": title,
                "drawing": mark_safe(svg),  # noqa: S308 the writer escapes every text
                "places": row,
                "stressed_on": facts.last_stressed_on,
                "least_psi": least_local_psi(facts),
            }
        )
    return found
