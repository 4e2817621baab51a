"""What a finished step of a setting record writes into the structure's history, once."""

from dataclasses import dataclass
from datetime import date

from inventory.models import Person, SettingRecord, SettingStep, Structure, SurfacingLayer, Work
from inventory.rules.setting import LAYERS, is_beam_step
from inventory.vocabulary.structures import WorkKind

# A tack coat has no thickness, so what it would weigh does not matter; bitumen is about as heavy as water (62.4).
TACK_PCF = 64.0


@dataclass(frozen=True)
class Wrote:
    has_layer: bool = False


def write_history(
    structure: Structure, record: SettingRecord, step: SettingStep, *, by: Person, unit_weight_pcf: float | None
) -> Wrote:
    """Work lines for the setting and the stressing, a layer for surfacing; call it inside the step's transaction."""
    if is_beam_step(step.key):
        _write_setting(structure, record, step, by)
    elif step.key == "stressed":
        _write_stressing(structure, record, step, by)
    elif step.key in LAYERS:
        return Wrote(has_layer=_write_layer(structure, step, unit_weight_pcf))
    return Wrote()


def _write_setting(structure: Structure, record: SettingRecord, step: SettingStep, by: Person) -> None:
    steps = [each for each in record.steps.all() if is_beam_step(each.key)]
    if any(each.work_id for each in steps):
        return
    if any(each.done_on is None and not each.passed_over_reason for each in steps):
        return
    count = record.beams.count()
    summary = f"Span {record.span.index}: {count} beams set outward from the reference beam on the centre line"
    _link(structure, record, step, WorkKind.SETTING, max(each.done_on for each in steps if each.done_on), summary, by)


def _write_stressing(structure: Structure, record: SettingRecord, step: SettingStep, by: Person) -> None:
    passes = [each for each in record.steps.all() if each.key.startswith("pass-") and each.done_on]
    day = max((each.done_on for each in passes), default=step.done_on)
    force = f"{record.target_force_lb:,.0f} lb a bar ({record.target_source})" if record.target_force_lb else "all bars"
    summary = f"Span {record.span.index}: {force}, {len(passes)} pass{'' if len(passes) == 1 else 'es'} from one side"
    _link(structure, record, step, WorkKind.STRESSING, day, summary[:300], by)


def _link(
    structure: Structure, record: SettingRecord, step: SettingStep, kind: str, day: date, summary: str, by: Person
) -> None:
    """The line of that day where another part of the site has written it already, a new one otherwise."""
    others = SettingStep.objects.exclude(record=record).filter(work__isnull=False).values("work")
    work = structure.works.filter(kind=kind, done_on=day).exclude(pk__in=others).first()
    if work is None:
        work = Work.objects.create(
            structure=structure, kind=kind, done_on=day, summary=summary, by=by, crew=record.foreman
        )
    step.work = work
    step.save(update_fields=["work"])


def _write_layer(structure: Structure, step: SettingStep, unit_weight_pcf: float | None) -> bool:
    """Whether a layer was added; the same material laid the same day in the same thickness is the same layer."""
    title, material = LAYERS[step.key]
    thickness = step.value or 0.0
    if structure.surfacing.filter(material=material, laid_on=step.done_on, thickness_in=thickness).exists():
        return False
    SurfacingLayer.objects.create(
        structure=structure,
        material=material,
        thickness_in=thickness,
        unit_weight_pcf=unit_weight_pcf or TACK_PCF,
        laid_on=step.done_on,
        note=f"{title}, from the setting record",
    )
    return True
