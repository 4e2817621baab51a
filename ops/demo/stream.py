"""The streams under the bridges: appraisals of scour, one plan of action, one section sounded three times, and decay
followed from one inspection to the next."""

from datetime import date, timedelta

from inspections.actions.channel import save_section
from inspections.actions.scour import adopt_scour_plan, appraise_scour
from inspections.models import ChannelSurvey, Finding
from inventory.models import Structure

CRITICAL, UNKNOWN, NOT_YET = 6, 9, (11, 30, 52)
"""Places of structures in the plan: one sounded and critical with its plan, one with unknown foundations and no plan
yet, some that nobody has appraised."""
FOLLOWED = 1
BEDS = (
    ((0, 4.0), (6, 9.5), (12, 11.0), (18, 11.5), (24, 11.0), (30, 9.0), (36, 4.5)),
    ((0, 4.0), (6, 9.5), (11, 11.5), (16, 13.0), (21, 12.0), (30, 9.0), (36, 4.5)),
    ((0, 4.0), (5, 10.0), (10, 12.5), (15, 14.5), (20, 13.0), (26, 11.0), (36, 4.5)),
)
WATER_FT = (8.5, 8.0, 8.8)
FOUNDATION_FT = 17.0


def streams(made, people: dict, today: date, moment) -> None:
    """Once every inspection has run."""
    engineer = people["engineer"]
    for place, item in enumerate(made):
        if place in NOT_YET or not item.structure.over_water:
            continue
        _appraise(item.structure, place, engineer, today, moment)
    _sound(made[CRITICAL].structure, people["t.oakes"], moment)
    _plan(made[CRITICAL].structure, engineer, today, moment)
    _follow_decay(made[FOLLOWED].structure)


def _appraise(structure: Structure, place: int, engineer, today: date, moment) -> None:
    result, foundation, basis, reasons = {
        CRITICAL: (
            "critical",
            "timber piles, driven to about 17 ft below the rail",
            "soundings of three inspections, driving notes of the bents",
            "The hole at the bent deepens by a foot and more between inspections; three feet are left above the tips.",
        ),
        UNKNOWN: ("unknown", "", "search of the county's files", "No plans and no driving notes were found."),
    }.get(place, ("stable", "timber piles", "plans, and the bed seen at low water", ""))
    on = max(today - timedelta(days=400 - place), structure.installed_on)
    appraise_scour(structure=structure, seen=None, on=on, result=result, foundation=foundation, basis=basis,
                   reasons=reasons, by=engineer, at=moment(on, 11))  # fmt: skip


def _sound(structure: Structure, inspector, moment) -> None:
    """The newest three inspections sounded the same line; the older ones through the rows, as all their history."""
    rows = list(structure.inspections.exclude(field_completed_on=None).order_by("-field_completed_on")[: len(BEDS)])
    section = save_section(structure=structure, section=None, name="Upstream face", datum="top of the upstream rail",
                           foundation_ft=FOUNDATION_FT, by=inspector,
                           at=moment(rows[-1].field_completed_on, 13))  # fmt: skip
    for inspection, points, water_ft in zip(reversed(rows), BEDS, WATER_FT, strict=False):
        ChannelSurvey.objects.create(inspection=inspection, section=section, points=[list(pair) for pair in points],
                                     water_ft=water_ft, method="rod from the rail")  # fmt: skip


def _plan(structure: Structure, engineer, today: date, moment) -> None:
    on = today - timedelta(days=200)
    adopt_scour_plan(
        structure=structure,
        seen=None,
        watch_when="Flood watch for the county, or water over the lower cap seen by anybody",
        watch_how="Two of the crew from the bank: rod at the upstream face, every hour while the water rises",
        close_when="Bed at the bent more than 16 ft below the rail, water at the stringers, or any sag or lean",
        reopen_when="After soundings at low water and the engineer's word",
        countermeasures="Riprap around the bent, asked for in this year's programme",
        review_on=on + timedelta(days=365),
        by=engineer,
        at=moment(on, 9),
    )


def _follow_decay(structure: Structure) -> None:
    """The decay and the check of the last inspection were there before, smaller."""
    rows = list(structure.inspections.exclude(field_completed_on=None).order_by("-field_completed_on")[:4])
    last, earlier = rows[0], rows[1:]
    for found in last.findings.filter(kind__in=("surface_decay", "check")):
        for share, inspection in zip((0.75, 0.5, 0.25), earlier, strict=False):
            before = Finding.objects.create(
                inspection=inspection,
                kind=found.kind,
                span_index=found.span_index,
                member=found.member,
                member_number=found.member_number,
                station_ft=found.station_ft,
                extent_ft=round(found.extent_ft * (0.5 + share / 2), 1),
                face=found.face,
                depth_in=round(found.depth_in * share, 2),
            )
            Finding.objects.filter(pk=found.pk).update(carries_on=before.identity)
            found = before
