"""A structure on a day, as the kernel sees it: frozen, safe as JSON, with a digest of what bears on the result."""

import hashlib
import json
from dataclasses import asdict, dataclass, field, replace
from datetime import date

from inspections.models import Finding
from inspections.queries.inspections import received_inspections, standing_findings
from inspections.rules.grave import grave_sentences
from inspections.rules.loss_policy import LossPolicy
from inventory.mechanics.rating import BarState, CapCase, RatingPolicy, SpanCase
from inventory.mechanics.vehicle import Vehicle
from inventory.models import MemberGroup, Span, Structure
from inventory.queries.rating import rating_settings_of
from inventory.vocabulary.structures import ON_STRINGERS, WITH_BARS, DeckKind, System

from .bars import StructurePressures, bar_pressures, bar_state
from .caps import gather_caps
from .decks import gather_deck
from .loads import railing_plf, standing_layers
from .members import Gathered, Widths, gather_members
from .policy import loss_policy, rating_policy, vehicle_from_dict, vehicles_to_rate
from .traffic import circumstances
from .units import continuous_units

KERNEL_SYSTEM = {
    System.SAWN_STRINGER: "stringer",
    System.GLULAM_STRINGER: "stringer",
    System.NAIL_LAMINATED: "nail_laminated_deck",
    System.SPIKE_LAMINATED: "nail_laminated_deck",
    System.GLULAM_PANEL: "glulam_panel_deck",
    System.STRESS_LAMINATED: "stress_laminated_deck",
    System.STRESS_LAMINATED_T: "stress_laminated_t",
    System.STRESS_LAMINATED_BOX: "stress_laminated_box",
}


@dataclass(frozen=True, kw_only=True)
class Snapshot:
    """Everything a rating uses. `missing` sentences mean it cannot be rated; `critical` need the engineer at once;
    `closing` call for closing whatever the factors; `assumed` are printed with the result. `vehicles` are keys of
    standard vehicles and the agency's own with all their numbers; `loss_policy` is what readings meant, in the cases
    already, {} in snapshots older than it; `caps` are pile caps, none in snapshots older than they."""

    as_of: date
    cases: tuple[SpanCase, ...]
    policy: RatingPolicy
    vehicles: tuple[str | Vehicle, ...]
    missing: tuple[str, ...] = ()
    critical: tuple[str, ...] = ()
    closing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    pressures: tuple[tuple[int, float | None], ...] = ()
    relied_on: tuple[str, ...] = ()
    loss_policy: dict = field(default_factory=dict)
    caps: tuple[CapCase, ...] = ()

    def as_dict(self) -> dict:
        plain = asdict(replace(self, cases=(), caps=(), policy=self.policy))
        plain |= {
            "as_of": self.as_of.isoformat(),
            "cases": [case.as_dict() for case in self.cases],
            "caps": [cap.as_dict() for cap in self.caps],
            "policy": self.policy.as_dict(),
        }
        return json.loads(json.dumps(plain))

    @classmethod
    def from_dict(cls, plain: dict) -> "Snapshot":
        """The snapshot a rating was made from, to rate it again or to change one thing and try."""
        sentences = ("missing", "critical", "closing", "assumed", "relied_on")
        return cls(
            as_of=date.fromisoformat(plain["as_of"]),
            cases=tuple(SpanCase.from_dict(case) for case in plain["cases"]),
            caps=tuple(CapCase.from_dict(cap) for cap in plain.get("caps", ())),
            policy=RatingPolicy.from_dict(plain["policy"]),
            vehicles=tuple(vehicle_from_dict(vehicle) for vehicle in plain["vehicles"]),
            loss_policy=plain.get("loss_policy") or {},
            pressures=tuple((index, psi) for index, psi in plain["pressures"]),
            **{name: tuple(plain[name]) for name in sentences},
        )

    @property
    def digest(self) -> str:
        """sha256 of the canonical JSON, without the dates that are only printed: the same wood, the same digest."""
        plain = self.as_dict()
        for name in ("as_of", "relied_on", *(("caps",) if not plain["caps"] else ())):
            del plain[name]
        for case in plain["cases"]:
            case["inspection_date"] = ""
            if case["bars"] is not None:
                case["bars"]["reading_date"] = ""
        canonical = json.dumps(_numbers_alike(plain), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
        return hashlib.sha256(canonical.encode()).hexdigest()


def _numbers_alike(value):
    """1350 and 1350.0 are one number: a table's whole numbers come back from JSON as they please."""
    if isinstance(value, dict):
        return {key: _numbers_alike(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_numbers_alike(item) for item in value]
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def assemble_snapshot(*, structure: Structure, as_of: date) -> Snapshot:
    """Read a structure's rows as they stood on a day and turn them into what the kernel rates."""
    findings = standing_findings(structure, as_of)
    pressures = bar_pressures(structure=structure, as_of=as_of)
    layers, assumed = standing_layers(structure=structure, as_of=as_of, findings=findings)
    rail, rail_assumed = railing_plf(structure)
    last = received_inspections(structure, as_of).first()
    settings = rating_settings_of(structure.agency)
    losses = loss_policy(structure.agency, settings)
    known = circumstances(structure=structure, as_of=as_of)
    shared = {
        "roadway_width_ft": structure.roadway_width_ft or 0.0,
        "deck_width_ft": structure.deck_width_ft or 0.0,
        "surfacing": layers,
        "railing_plf": rail,
        "inspection_date": last.field_completed_on.isoformat() if last else "",
        "adtt": known.adtt,
        "condition_rating": known.superstructure,
    }
    missing, closing, cases = _missing_widths(structure), [], []
    assumed += [*rail_assumed, *known.assumed]
    spans = list(structure.spans.all())
    if not spans:
        missing.append("No span is on record; enter the span length, its system and its members.")
    units, broken_units = continuous_units(spans)
    missing += broken_units
    held = gather_caps(
        structure=structure, spans=spans, findings=findings, policy=losses, substructure=known.substructure
    )
    closing, assumed = closing + held.closing, assumed + held.assumed
    for span in spans:
        gathered = _gathered(structure, span, findings, losses)
        missing, closing = missing + gathered.missing, closing + gathered.closing
        assumed += gathered.assumed
        if not gathered.missing and not gathered.closing:
            unit = units.get(span.index, "")
            case = _span_case(span, gathered, pressures, shared)
            cases.append(replace(case, continuous_unit=unit, held_down=span.held_down if unit else None))
    assumed += [f"Span {i}: {reason}" for i, pressure in pressures.by_span.items() for reason in pressure.reasons]
    return Snapshot(
        as_of=as_of,
        cases=tuple(cases) if not missing else (),
        caps=tuple(held.caps) if not missing else (),
        policy=rating_policy(structure.agency, settings),
        vehicles=vehicles_to_rate(structure.agency, as_of, settings),
        loss_policy=losses.as_dict(),
        missing=tuple(missing),
        critical=tuple(_critical(findings)),
        closing=tuple(closing),
        assumed=tuple(dict.fromkeys(assumed)),
        pressures=tuple((index, pressure.counted_psi) for index, pressure in sorted(pressures.by_span.items())),
        relied_on=tuple(_relied_on(findings, pressures)),
    )


def _missing_widths(structure: Structure) -> list[str]:
    words = {"roadway_width_ft": "roadway width, curb to curb", "deck_width_ft": "deck width, out to out"}
    return [f"The {word} is not on record; measure it in feet." for name, word in words.items()
            if not getattr(structure, name)]  # fmt: skip


def _gathered(structure: Structure, span: Span, findings: list[Finding], losses: LossPolicy) -> Gathered:
    groups = list(MemberGroup.objects.filter(span=span))
    indexes = set(structure.spans.values_list("index", flat=True))
    here = [finding for finding in findings if _is_in(finding, span, indexes)]
    widths = Widths(roadway_ft=structure.roadway_width_ft or 0.0, deck_ft=structure.deck_width_ft or 0.0)
    gathered = gather_members(span=span, groups=groups, findings=here, widths=widths, policy=losses)
    deck = gather_deck(span=span, groups=groups, findings=here, deck_ft=widths.deck_ft, policy=losses)
    gathered.deck, gathered.assumed = deck.deck, gathered.assumed + deck.assumed
    return gathered


def _is_in(finding: Finding, span: Span, indexes: set[int]) -> bool:
    """The member says where it is, else the span's number; a number no span bears any more may mean any of them."""
    if finding.member is not None:
        return finding.member.span_id == span.pk
    return finding.span_index == span.index or finding.span_index not in indexes


def _span_case(span: Span, gathered: Gathered, pressures: StructurePressures, shared: dict) -> SpanCase:
    on_stringers = span.system in ON_STRINGERS
    deck = span.deck_kind if on_stringers and span.deck_kind else DeckKind.NONE.value
    if span.system in (System.STRESS_LAMINATED_T, System.STRESS_LAMINATED_BOX):
        deck = DeckKind.STRESS_LAMINATED.value
    return SpanCase(
        label=str(span.index),
        span_ft=span.length_ft,
        system=KERNEL_SYSTEM[span.system],
        lanes_loaded=span.lanes_loaded,
        members=tuple(gathered.members),
        deck_kind=str(deck),
        deck_thickness_in=span.deck_thickness_in or 0.0,
        deck_interconnected=span.interconnected,
        skew_deg=span.skew_deg,
        bars=_bars(span, pressures),
        other_dead_psf=gathered.other_dead_psf,
        wet_service=span.wet_service or gathered.wet,
        deck_butt_jointed=None if span.system in WITH_BARS else span.butt_jointed,
        distribution=span.distribution,
        deck=gathered.deck,
        **shared,
    )


def _bars(span: Span, pressures: StructurePressures) -> BarState | None:
    return bar_state(span=span, pressures=pressures) if span.system in WITH_BARS else None


def _critical(findings: list[Finding]) -> list[str]:
    told = []
    for finding in findings:
        columns = {field.name: field.value_from_object(finding) for field in finding._meta.concrete_fields}
        told += grave_sentences(columns | {"where": place_words(finding)})
    return sorted(set(told))


def place_words(finding: Finding) -> str:
    """Where a finding is, in a phrase."""
    parts = []
    if finding.span_index is not None:
        parts.append(f"span {finding.span_index}")
    if finding.bar is not None:
        parts.append(str(finding.bar))
    if finding.member_number is not None:
        parts.append(f"member {finding.member_number} from the left")
    if finding.station_ft is not None:
        parts.append(f"{finding.station_ft:g} ft from the first bearing")
    return ", ".join(parts)


def _relied_on(findings: list[Finding], pressures: StructurePressures) -> list[str]:
    """What the answer rests on, dated: printed with it, outside the digest."""
    days = sorted({finding.inspection.field_completed_on for finding in findings})
    told = [f"Findings of {day}." for day in days]
    for index, pressure in sorted(pressures.by_span.items()):
        if pressure.oldest is not None:
            told.append(f"Span {index}: bar readings from {pressure.oldest} on.")
    return told
