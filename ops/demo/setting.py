"""How the newest T-beam span was set: delivery list, checklist and holds through the office's own actions."""

from datetime import date, timedelta
from random import Random

from inventory.actions import setting as act
from inventory.models import Person, SettingRecord, Structure
from inventory.rules.setting import centred_places, setting_order

# Web of parallel strand lumber and flange laminations of about a tenth of a kip a foot together (invented).
BEAM_PLF = 103.0
SEEN = "P. Quillan"


def record_setting(
    *, structure: Structure, stressed: list[date], opened: date, people: dict[str, Person], random: Random, moment
) -> SettingRecord:
    """Begun two days before the first stressing; the first three stressing dates hang on it."""
    set_on, by = stressed[0] - timedelta(days=1), people["supervisor"]
    at = moment(stressed[0], 18)
    span = structure.spans.get()
    record = act.start_setting(
        structure=structure,
        span=span,
        fields={"started_on": set_on - timedelta(days=1), "foreman": "J. Brandt", "note": "Set with one crane."},
        by=by,
        at=at,
    )
    record = act.save_beams(record=record, revision=record.revision, rows=_beams(span, set_on, random), by=by, at=at)
    fields = {"target_force_lb": span.stressing.design_force_lb, "target_source": "design drawings, sheet 4"}
    record = act.edit_setting(
        record=record, revision=record.revision, fields=fields | {"foreman": record.foreman, "note": record.note},
        by=by, at=at,
    )  # fmt: skip
    record = act.make_checklist(
        record=record, revision=record.revision, passes=3, each_beam=False, surfacing="better", by=by, at=at
    )
    for key, day, more in _done(record, stressed[0], set_on, opened):
        step = record.steps.get(key=key)
        act.finish_step(
            record=record, revision=record.revision, order=step.order, fields={"done_on": day, **more}, by=by,
            at=moment(max(day, stressed[0]), 19),
        )  # fmt: skip
        record.refresh_from_db()
    return record


def _beams(span, day: date, random: Random) -> list[dict]:
    web = span.members.get(role="web")
    length = span.length_ft
    return [
        {
            "mark": f"T-{number:02d}",
            "place": place,
            "kind": "T-beam",
            "length_ft": length,
            "depth_in": web.depth_in,
            "weight_lb": round(BEAM_PLF * length * random.gauss(1, 0.015), -1),
            "lift_first_ft": round(length / 5),
            "lift_second_ft": length - round(length / 5),
            "checked_on": day,
            "note": "",
        }
        for number, place in enumerate(setting_order(centred_places(web.count)), start=1)
    ]


def _done(record: SettingRecord, stressed: date, set_on: date, opened: date) -> list[tuple[str, date, dict]]:
    seen = {"seen_by": SEEN}
    late = {
        "passed_over_by": SEEN,
        "passed_over_reason": "the last truck came a day late; its beams are checked as they are lifted off",
    }
    paved = opened - timedelta(days=4)
    bars = record.span.stressing.bars.count()
    asphalt = {"unit_weight_pcf": 140.0}
    return [
        ("reference", set_on - timedelta(days=1), seen | late),
        ("delivered", set_on, {}),
        ("beams", set_on, {"value": record.beams.count() - 1}),
        ("tied", set_on, seen),
        ("aligned", set_on, seen),
        ("bars", set_on, {"value": bars}),
        ("pass-1", stressed, {"value": 20_000.0}),
        ("pass-2", stressed, {"value": record.target_force_lb}),
        ("pass-3", stressed, {"value": record.target_force_lb}),
        ("stressed", stressed, {"seen_by": "E. Vantage, PE", "note": "Every third bar read by lift-off."}),
        ("fastened", stressed + timedelta(days=1), {}),
        ("rail", stressed + timedelta(days=4), {}),
        ("tack", paved, {}),
        ("thin_lift", paved, asphalt | {"value": 1.0}),
        ("membrane", paved, {"value": 0.125, "unit_weight_pcf": 90.0}),
        ("final_lift", paved + timedelta(days=1), asphalt | {"value": 2.5}),
        ("opening", opened, {"seen_by": "E. Vantage, PE"}),
    ]
