"""Record how a span was set: begun, its delivery list, its checklist, each step as it is done or passed over."""

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from inventory.models import DeliveredBeam, MemberGroup, Person, SettingRecord, SettingStep, Span, Structure
from inventory.queries.people import permits_of
from inventory.queries.setting import step_states
from inventory.rules.refusals import Refused, Stale
from inventory.rules.setting import (
    asks_of,
    is_tall,
    list_faults,
    open_before,
    order_faults,
    place_words,
    proposed_steps,
    setting_order,
)
from inventory.rules.sizes import date_faults, limit_faults
from inventory.vocabulary.roles import Permit

from .hold import finish_change, hold_structure
from .setting_history import write_history

TARGET_LIMITS = {"target_force_lb": ("The force per bar", "above", 0, 300_000, "lb")}
VALUE_LIMITS = {
    "force_lb": ("The force per bar", "above", 0, 300_000, "lb"),
    "thickness_in": ("The thickness", "above", 0, 12, "in"),
    "count": ("The count", "from", 1, 500, ""),
}
BEAM_FIELDS = (
    "mark", "place", "kind", "length_ft", "depth_in", "weight_lb", "lift_first_ft", "lift_second_ft", "checked_on",
    "note",
)  # fmt: skip


@transaction.atomic
def start_setting(*, structure: Structure, span: Span, fields: dict, by: Person, at: datetime) -> SettingRecord:
    """A new record for a span; one at a time for each."""
    held = hold_structure(structure.pk, by=by, permit=Permit.RECORD_SETTING)
    _refuse(date_faults(fields, {"started_on": "The day the setting began"}, _day(at)))
    if held.setting_records.filter(span=span, finished_on__isnull=True).exists():
        raise Refused(f"The setting of span {span.index} is already being recorded. Open that record.")
    record = SettingRecord.objects.create(structure=held, span=span, **fields)
    _tell(held, "start_setting", f"Setting of span {span.index} begun on {record.started_on:%d %b %Y}", by, at)
    return record


@transaction.atomic
def edit_setting(*, record: SettingRecord, revision: int, fields: dict, by: Person, at: datetime) -> SettingRecord:
    """The force asked for with its source, the foreman, a note. A force without a source is refused."""
    held, fresh = _hold(record, revision, by)
    faults = limit_faults(fields, TARGET_LIMITS)
    if fields.get("target_force_lb") is not None and not (fields.get("target_source") or "").strip():
        faults["target_source"] = "Say where the force comes from: the design sheet or the engineer. It has no default."
    _refuse(faults)
    before = fresh.target_force_lb
    for name, value in fields.items():
        setattr(fresh, name, value)
    _save(fresh)
    words = f"Setting of span {fresh.span.index} changed"
    if fresh.target_force_lb is not None and fresh.target_force_lb != before:
        words += f": {fresh.target_force_lb:,.0f} lb a bar, from {fresh.target_source}"
    _tell(held, "edit_setting", words, by, at)
    return fresh


@transaction.atomic
def save_beams(*, record: SettingRecord, revision: int, rows: list[dict], by: Person, at: datetime) -> SettingRecord:
    """The delivery list as a whole. `rows` faults are keyed "<line>.<field>"; nothing is saved where one is wrong."""
    held, fresh = _hold(record, revision, by)
    rows = [{name: row.get(name) for name in BEAM_FIELDS} for row in rows]
    faults = {
        f"{number}.{name}": sentence for number, found in list_faults(rows).items() for name, sentence in found.items()
    }
    for number, row in enumerate(rows):
        late = date_faults(row, {"checked_on": "The day it was seen"}, _day(at))
        faults |= {f"{number}.{name}": sentence for name, sentence in late.items()}
    _refuse(faults)
    begun = fresh.steps.filter(done_on__isnull=False).exists()
    before = {beam.place: beam.mark for beam in fresh.beams.all()}
    after = {row["place"]: row["mark"].strip() for row in rows}
    if begun and after != before:
        raise Refused(
            "Steps of the checklist are already recorded for these beams: marks and places stay as they are. Weights, "
            "lift points and notes may still be corrected."
        )
    fresh.beams.all().delete()
    DeliveredBeam.objects.bulk_create(
        DeliveredBeam(record=fresh, **{**row, "mark": row["mark"].strip(), "kind": row["kind"] or "",
                                       "note": row["note"] or ""})
        for row in rows
    )  # fmt: skip
    if after != before:
        fresh.steps.all().delete()
    _save(fresh)
    _tell(held, "save_setting_beams", f"Delivery list of span {fresh.span.index}: {len(rows)} beams", by, at)
    return fresh


@transaction.atomic
def make_checklist(
    *, record: SettingRecord, revision: int, passes: int, each_beam: bool, surfacing: str, by: Person, at: datetime
) -> SettingRecord:
    """The steps of the record, made again as long as none is done."""
    held, fresh = _hold(record, revision, by)
    if fresh.steps.exclude(done_on=None, passed_over_reason="").exists():
        raise Refused("Steps of this checklist are already recorded, so it stays as it is.")
    beams = list(fresh.beams.all())
    steps = proposed_steps(
        system=fresh.span.system,
        beams=[(beam.place, beam.mark) for beam in beams],
        tall=beams_are_tall(fresh),
        passes=passes,
        each_beam=each_beam,
        surfacing=surfacing,
    )
    fresh.steps.all().delete()
    SettingStep.objects.bulk_create(
        SettingStep(record=fresh, order=order, key=step.key, title=step.title, is_hold=step.is_hold)
        for order, step in enumerate(steps, start=1)
    )
    _save(fresh)
    order_words = ", ".join(place_words(place) for place in setting_order(beam.place for beam in beams))
    words = f"Checklist for setting span {fresh.span.index}: {len(steps)} steps, beams in the order {order_words}"
    _tell(held, "make_setting_checklist", words, by, at)
    return fresh


@transaction.atomic
def finish_step(
    *, record: SettingRecord, revision: int, order: int, fields: dict, by: Person, at: datetime
) -> SettingStep:
    """A step done. Where earlier ones are open that day, a named person's reason is kept on each of them and told."""
    held, fresh = _hold(record, revision, by)
    step = fresh.steps.get(order=order)
    if step.done_on is not None:
        raise Refused(f"'{step.title}' was already recorded as done on {step.done_on:%d %b %Y}.")
    _refuse(_step_faults(fresh, step, fields, _day(at)))
    day = fields["done_on"]
    steps = list(fresh.steps.all())
    skipped = open_before(step_states(steps), order, day)
    who, why = fields.get("passed_over_by") or "", fields.get("passed_over_reason") or ""
    _refuse(order_faults(open_steps=skipped, by=who, reason=why))
    numbers = [each.order for each in skipped]
    fresh.steps.filter(order__in=numbers).update(passed_over_by=who.strip(), passed_over_reason=why.strip())
    step.done_on, step.done_by, step.seen_by = day, by, (fields.get("seen_by") or "").strip()
    step.value, step.note = fields.get("value"), fields.get("note") or ""
    step.save()
    wrote = write_history(held, fresh, step, by=by, unit_weight_pcf=fields.get("unit_weight_pcf"))
    if step.key == "opening":
        fresh.finished_on = day
    _save(fresh)
    words = f"Setting of span {fresh.span.index}: {step.title}, {day:%d %b %Y}"
    detail = {"setting": fresh.pk, "step": step.key}
    if skipped:
        over = "; ".join(each.title for each in skipped)
        words = f"{words}. Passed over by {who.strip()} ({why.strip()}): {over}"
        detail["passed_over"] = numbers
    finish_change(
        held, verb="finish_setting_step", sentence=words, by=by, at=at, bears_on_rating=wrote.has_layer, detail=detail
    )
    return step


@transaction.atomic
def take_back_step(*, record: SettingRecord, revision: int, order: int, by: Person, at: datetime) -> SettingStep:
    """A step recorded in error is open again, if nothing stands on it: no later step, no line of the history."""
    held, fresh = _hold(record, revision, by)
    step = fresh.steps.get(order=order)
    if step.done_on is None:
        raise Refused(f"'{step.title}' is not recorded as done.")
    if step.work_id is not None or asks_of(step.key) == "thickness_in" or step.key in ("opening", "tack"):
        raise Refused(f"'{step.title}' stands in the structure's history: correct it there.")
    if fresh.steps.filter(order__gt=order, done_on__isnull=False).exists():
        raise Refused(f"Later steps are recorded after '{step.title}': take those back first.")
    day, step.done_on, step.done_by, step.seen_by, step.value = step.done_on, None, None, "", None
    step.save()
    _save(fresh)
    words = f"Setting of span {fresh.span.index}: '{step.title}' of {day:%d %b %Y} taken back"
    _tell(held, "take_back_setting_step", words, by, at)
    return step


@transaction.atomic
def take_opening_date(*, record: SettingRecord, revision: int, by: Person, at: datetime) -> Structure:
    """The opening day of the record becomes the structure's, for whoever may edit the structure."""
    held, fresh = _hold(record, revision, by)
    if Permit.EDIT_STRUCTURE not in permits_of(by, held.agency):
        raise Refused("You may not change the structure's own dates: ask the office or the engineer.")
    if fresh.finished_on is None:
        raise Refused("The opening is not recorded yet.")
    held.installed_on = fresh.finished_on
    held.hand_entered = sorted({*held.hand_entered, "installed_on"})
    held.save(update_fields=["installed_on", "hand_entered"])
    _tell(held, "take_opening_date", f"Opened to traffic: {held.installed_on:%d %b %Y}, from its setting", by, at)
    return held


def beams_are_tall(record: SettingRecord) -> bool:
    """Whether the beams of the record must be tied against roll-over."""
    depth = max((beam.depth_in for beam in record.beams.all() if beam.depth_in), default=None)
    web = MemberGroup.objects.filter(span=record.span, role__in=("web", "stringer")).first()
    return is_tall(system=record.span.system, depth_in=depth, width_in=web.width_in if web else None)


def _step_faults(record: SettingRecord, step: SettingStep, fields: dict, today: date) -> dict[str, str]:
    day = fields.get("done_on")
    faults = date_faults(fields, {"done_on": "The day it was done"}, today)
    if day is None:
        faults["done_on"] = "Enter the day it was done."
    elif day < record.started_on and "done_on" not in faults:
        faults["done_on"] = f"The setting began on {record.started_on:%d %b %Y}; this lies before it."
    if step.is_hold and not (fields.get("seen_by") or "").strip():
        faults["seen_by"] = "A hold is passed by a named person: enter who saw it."
    asks, value = asks_of(step.key), fields.get("value")
    if asks and value is None:
        faults["value"] = "Enter the number this step asks for."
    elif asks:
        name, edge, least, most, unit = VALUE_LIMITS[asks]
        faults |= limit_faults({"value": value}, {"value": (name, edge, least, most, unit)})
    if asks == "force_lb" and record.target_force_lb is None:
        faults[""] = (
            "No force per bar is entered for this span. It comes from the design or the engineer: enter it with its "
            "source before the first pull."
        )
    if asks == "thickness_in" and not fields.get("unit_weight_pcf"):
        faults["unit_weight_pcf"] = "Enter the weight of the layer: it is part of the dead load."
    return faults | limit_faults(fields, {"unit_weight_pcf": ("The unit weight", "above", 0, 250, "lb/ft3")})


def _hold(record: SettingRecord, revision: int, by: Person) -> tuple[Structure, SettingRecord]:
    held = hold_structure(record.structure_id, by=by, permit=Permit.RECORD_SETTING)
    fresh = SettingRecord.objects.select_related("span").get(pk=record.pk)
    if fresh.revision != revision:
        last = held.events.select_related("by").first()
        told = f" ({last.by or 'the system'}: {last.sentence.rstrip('.')})" if last else ""
        raise Stale(
            f"This record was changed after you opened it{told}, so nothing of yours was saved. Your entries are still "
            "below: compare them with a fresh copy, then save again."
        )
    return held, fresh


def _save(record: SettingRecord) -> None:
    record.revision += 1
    record.save()


def _refuse(faults: dict[str, str]) -> None:
    if faults:
        raise Refused(faults)


def _day(at: datetime) -> date:
    return timezone.localtime(at).date()


def _tell(held: Structure, verb: str, words: str, by: Person, at: datetime) -> None:
    finish_change(held, verb=verb, sentence=words, by=by, at=at, bears_on_rating=False)
