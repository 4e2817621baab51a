"""What the pages of a setting record show: the delivery list in setting order, totals, drawing, checklist, checks."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import mark_safe

from inventory.drawings.setting import BeamShape, SettingShape, setting_drawing
from inventory.models import DeliveredBeam, MemberGroup, SettingRecord, SettingStep, Span, StressingSystem
from inventory.queries.setting import step_states
from inventory.rules.setting import HOLDS, LAYERS, StepState, asks_of, centred_places, open_before, place_words
from inventory.rules.setting import setting_order as order_outward
from inventory.rules.setting_checks import (
    Beam,
    bottom_bar_sentences,
    lift_sentences,
    pass_sentences,
    place_sentences,
    surfacing_sentences,
)

CAUTIONS = (
    "Nobody under a lifted beam, and nobody in line with a bar under load.",
    "No beam is let go before it is braced or tied: a tall beam rolls over by itself.",
    "Calibrated jack and gauge; no load above the bar's limit; no traffic on the span while a jack is on a bar.",
    "The State's manual, the design and the engineer of record govern; this list is an aid.",
)
VALUE_UNITS = {"force_lb": "lb a bar", "thickness_in": "in", "count": ""}


@dataclass(frozen=True)
class BeamLine:
    order: int
    beam: DeliveredBeam
    place: str
    stands: bool = False


@dataclass(frozen=True)
class StepLine:
    """A line of the checklist for the page; `waits_for` are titles of earlier steps still open."""

    step: SettingStep
    why: str
    value: str
    waits_for: tuple[str, ...]
    may_be_taken_back: bool


def record_context(record: SettingRecord) -> dict:
    """Everything the page and the printed sheet show."""
    steps = list(record.steps.select_related("done_by", "work"))
    beams, lines = beam_lines(record, steps), step_lines(steps)
    web = _web(record.span)
    return {
        "record": record,
        "structure": record.structure,
        "span": record.span,
        "beams": beams,
        "steps": lines,
        # On the printed sheet each beam has its box in the list of beams.
        "sheet_steps": [line for line in lines if not line.step.key.startswith(("beam+", "beam-"))],
        "has_steps": bool(steps),
        "is_begun": any(step.done_on or step.passed_over_reason for step in steps),
        "lifts": lift_sentences([_lift(line.beam) for line in beams]),
        "checks": check_sentences(record, steps, [line.beam.place for line in beams]),
        "cautions": CAUTIONS,
        "drawing": mark_safe(setting_drawing(_shape(record, beams, web))),  # noqa: S308 the writer escapes every text
        "system": StressingSystem.objects.filter(span=record.span).first(),
        "offers_opening": record.finished_on and record.structure.installed_on != record.finished_on,
    }


def beam_lines(record: SettingRecord, steps: Sequence[SettingStep] = ()) -> list[BeamLine]:
    """The beams in the order they are set; a beam stands once its step, or the step for all of them, is done."""
    by_place = {beam.place: beam for beam in record.beams.all()}
    done = {step.key for step in steps if step.done_on}
    lines = []
    for number, place in enumerate(order_outward(by_place), start=1):
        own = {f"beam{place:+d}", "beams"} if place else {"reference"}
        lines.append(BeamLine(number, by_place[place], place_words(place), stands=bool(own & done)))
    return lines


def step_lines(steps: list[SettingStep]) -> list[StepLine]:
    states = step_states(steps)
    done = [step.order for step in steps if step.done_on]
    last = max(done, default=0)
    lines = []
    for step in steps:
        asks = asks_of(step.key)
        shown = f"{step.value:,.6g} {VALUE_UNITS[asks]}".strip() if asks and step.value is not None else ""
        waits = () if step.done_on else _open(states, step.order)
        written = step.work_id is not None or step.key in LAYERS or step.key == "opening"
        may = step.order == last and not written
        lines.append(StepLine(step, HOLDS.get(step.key, ""), shown, waits, may))
    return lines


def _open(states: list[StepState], order: int) -> tuple[str, ...]:
    earlier = [state for state in states if state.order < order]
    latest = max((state.done_on for state in earlier if state.done_on), default=None)
    return tuple(state.title for state in open_before(earlier, order, latest)) if latest else tuple(
        state.title for state in earlier if not state.passed_over_reason
    )  # fmt: skip


def check_sentences(record: SettingRecord, steps: list[SettingStep], places: list[int]) -> list[str]:
    """Common practice held against what is entered."""
    passes = [step for step in steps if step.key.startswith("pass-")]
    bars = StressingSystem.objects.filter(span=record.span).prefetch_related("bars").first()
    layers = [step for step in steps if step.key in LAYERS]
    laid = {step.key: step.value for step in layers if step.done_on and step.value is not None}
    done = {step.key for step in layers if step.done_on}
    said = place_sentences(places)
    said += pass_sentences(
        pass_forces_lb=[step.value for step in passes if step.done_on and step.value],
        passes_planned=len(passes),
        target_force_lb=record.target_force_lb,
    )
    if bars is not None:
        bottom = [bar.station_ft for bar in bars.bars.all() if bar.level == "bottom"]
        said += bottom_bar_sentences(
            system=record.span.system, span_ft=record.span.length_ft, bottom_stations_ft=bottom
        )
    return said + surfacing_sentences(
        laid_in=laid,
        has_membrane="membrane" in done,
        has_tack="tack" in {step.key for step in layers},
        is_complete=all(step.done_on or step.passed_over_reason for step in layers),
    )


def proposed_rows(span: Span) -> list[dict]:
    """Places, length and depth of the beams as the span's members have them; marks and weights are never guessed."""
    web = _web(span)
    if web is None or web.role != "web":
        return []
    return [
        {"place": place, "kind": "T-beam" if span.system.endswith("_t") else "", "length_ft": _short(span.length_ft),
         "depth_in": _short(web.depth_in)}
        for place in order_outward(centred_places(web.count))
    ]  # fmt: skip


def beam_rows(record: SettingRecord) -> list[dict]:
    """The delivery list as its form opens."""
    names = ("mark", "place", "kind", "length_ft", "depth_in", "weight_lb", "lift_first_ft", "lift_second_ft",
             "checked_on", "note")  # fmt: skip
    return [{name: _short(getattr(line.beam, name)) for name in names} for line in beam_lines(record)]


def _short(value):
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _web(span: Span) -> MemberGroup | None:
    return MemberGroup.objects.filter(span=span, role__in=("web", "stringer", "panel")).first()


def _lift(beam: DeliveredBeam) -> Beam:
    return Beam(
        mark=beam.mark,
        place=beam.place,
        length_ft=beam.length_ft,
        weight_lb=beam.weight_lb,
        lift_first_ft=beam.lift_first_ft,
        lift_second_ft=beam.lift_second_ft,
    )


def _shape(record: SettingRecord, lines: list[BeamLine], web: MemberGroup | None) -> SettingShape:
    return SettingShape(
        key=f"setting-{record.pk}",
        title=f"Setting of span {record.span.index}",
        span_ft=record.span.length_ft,
        spacing_ft=web.spacing_ft if web else None,
        width_in=web.width_in if web else None,
        beams=tuple(
            BeamShape(
                mark=line.beam.mark,
                place=line.beam.place,
                order=line.order,
                length_ft=line.beam.length_ft,
                depth_in=line.beam.depth_in,
                lifts_ft=tuple(
                    lift for lift in (line.beam.lift_first_ft, line.beam.lift_second_ft) if lift is not None
                ),
            )
            for line in lines
        ),
    )
