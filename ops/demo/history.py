"""Twenty-five years of what was laid, treated, stressed and found."""

from datetime import date, timedelta
from random import Random

from dateutil.relativedelta import relativedelta

from inspections.models import ElementState, Inspection
from inventory.models import Structure, SurfacingLayer, Treatment, Work

MAIN_ELEMENT = {
    "sawn_stringer": (117, "ft"),
    "glulam_stringer": (111, "ft"),
    "nail_laminated": (54, "sq ft"),
    "spike_laminated": (54, "sq ft"),
    "glulam_panel": (54, "sq ft"),
    "stress_laminated": (54, "sq ft"),
    "stress_laminated_t": (111, "ft"),
    "stress_laminated_box": (106, "ft"),
}


def surfacing(structure: Structure, opened: date, today: date, story: str, random: Random) -> list[SurfacingLayer]:
    """The layers ever laid; those not removed stand on the deck now."""
    layers: list[SurfacingLayer] = []
    system = structure.system
    if story == "just_set":
        return []  # the setting record lays them
    if system == "sawn_stringer" and opened.year < 1985:
        gravel = SurfacingLayer(
            structure=structure, material="gravel", thickness_in=3.0, unit_weight_pcf=120, laid_on=opened
        )
        layers.append(gravel)
    else:
        life = 25 if story == "old_surface" else random.choice((13, 14, 15, 16))
        laid = opened
        while True:
            renewed = laid + relativedelta(years=life)
            gone = renewed if renewed < today - timedelta(days=200) and story != "old_surface" else None
            layers.append(
                SurfacingLayer(
                    structure=structure,
                    material="membrane",
                    thickness_in=0.125,
                    unit_weight_pcf=90,
                    laid_on=laid,
                    removed_on=gone,
                )
            )
            layers.append(
                SurfacingLayer(
                    structure=structure,
                    material="asphalt",
                    thickness_in=2.5,
                    unit_weight_pcf=140,
                    laid_on=laid,
                    removed_on=gone,
                )
            )
            if gone is None:
                break
            laid = gone
    if story == "overlay":
        laid = today - timedelta(days=250)
        layers.append(
            SurfacingLayer(
                structure=structure,
                material="asphalt",
                thickness_in=8.0,
                unit_weight_pcf=140,
                laid_on=laid,
                was_measured=True,
                note="two lifts laid by the paving contractor without milling",
            )
        )
    return layers


def treatments(structure: Structure, opened: date, today: date, random: Random) -> list[Treatment]:
    plant = "creosote" if opened.year < 1975 else "penta" if opened.year < 2005 else "copper_naphthenate"
    retention = {"creosote": 10.0, "penta": 0.5, "copper_naphthenate": 0.075}[plant]
    found = [
        Treatment(
            structure=structure,
            kind="pressure",
            preservative=plant,
            retention_pcf=retention,
            treated_on=opened - timedelta(days=random.randint(60, 150)),
        )
    ]
    again = max(opened + relativedelta(years=8), date(today.year - 25, 5, 20))
    while again < today:
        found.append(
            Treatment(
                structure=structure,
                part="stringer ends and checks",
                kind="surface",
                preservative="copper_naphthenate",
                treated_on=again,
                note="2 percent copper, brushed",
            )
        )
        again += relativedelta(years=random.choice((5, 6, 7)))
    return found


def stressing_dates(opened: date, today: date, story: str) -> list[date]:
    """Erection, a week, seven weeks, a year, then every four years: the schedule of a good office; not all kept it."""
    dates = [opened - timedelta(days=20), opened - timedelta(days=13), opened + timedelta(days=30)]
    if story not in ("slack", "just_stressed", "just_set"):
        dates.append(opened + relativedelta(years=1))
        again = opened + relativedelta(years=5)
        stop = today - relativedelta(years={"low_bars": 9, "retensioned": 12, "creeping": 22}.get(story, 1))
        while again < stop:
            dates.append(again)
            again += relativedelta(years=4)
    return [day for day in dates if day <= today]


def works(structure: Structure, opened: date, stressed: list[date], layers, crew, *, is_recorded: bool) -> list[Work]:
    """`is_recorded`: a setting record writes the setting and the first stressing itself."""
    found = []
    if not is_recorded:
        day = opened - timedelta(days=21)
        found.append(Work(structure=structure, kind="setting", done_on=day, summary="Set on bearings"))
    for index, day in enumerate(stressed):
        if is_recorded and index == 0:
            continue
        kind = "stressing" if index < 3 else "retension"
        found.append(
            Work(structure=structure, kind=kind, done_on=day, summary="All bars to design force, three passes", by=crew)
        )
    for layer in layers:
        if layer.laid_on > opened and layer.material != "membrane":
            summary = f"{layer.thickness_in:g} in asphalt laid"
            found.append(Work(structure=structure, kind="resurfacing", done_on=layer.laid_on, summary=summary, by=crew))
    return found


def component_ratings(age_years: float, story: str, last: bool, random: Random) -> dict[str, str]:
    """Items 58 to 61 as age and story would have them."""
    base = 8.4 - age_years / 13 + random.uniform(-0.3, 0.3)
    rating = max(4, min(9, round(base)))
    if last:
        rating = {"decayed_stringer": 3, "closed": 2, "slack": 4, "posted": 4, "worn": 5}.get(story, rating)
    deck = max(3, min(9, rating + random.choice((0, 0, 1))))
    return {
        "deck_rating": str(deck),
        "superstructure_rating": str(rating),
        "substructure_rating": str(max(4, min(9, rating + random.choice((-1, 0, 1))))) if rating > 3 else "5",
        "channel_rating": str(random.choice((6, 7, 7, 8))),
    }


def past_inspections(structure: Structure, opened: date, first: date, last: date, inspector, engineer, random: Random):
    """Accepted inspections every 24 months before `last`, with element states; not saved."""
    inspections, elements = [], []
    day = max(opened + relativedelta(months=2), first)
    while day < last - timedelta(days=500):
        age = (day - opened).days / 365.25
        kind = "initial" if not inspections and day < opened + relativedelta(months=4) else "routine"
        inspection = Inspection(
            structure=structure,
            kind=kind,
            state="accepted",
            field_completed_on=day,
            inspector=inspector,
            reviewed_by=engineer,
            team="Oakes, Sorrel",
            **component_ratings(age, "", False, random),
        )
        inspections.append(inspection)
        elements.append(main_element(inspection, structure, age))
        day += relativedelta(months=24) + timedelta(days=random.randint(-20, 25))
    return inspections, [element for element in elements if element]


def element_quantities(structure: Structure, age: float) -> dict | None:
    """The main element's quantities by state; they add up to the total."""
    if structure.system not in MAIN_ELEMENT or not structure.max_span_ft:
        return None
    number, unit = MAIN_ELEMENT[structure.system]
    length = structure.max_span_ft * (structure.span_count or 1)
    total = round(length * structure.deck_width_ft if unit == "sq ft" else length * 10)
    poor = round(total * min(0.2, max(0, age - 35) / 150))
    fair = round(total * min(0.4, age / 130))
    return {
        "number": number,
        "unit": unit,
        "total": total,
        "cs1": total - fair - poor,
        "cs2": fair,
        "cs3": poor,
        "cs4": 0,
    }


def main_element(inspection: Inspection, structure: Structure, age: float) -> ElementState | None:
    quantities = element_quantities(structure, age)
    return ElementState(inspection=inspection, **quantities) if quantities else None
