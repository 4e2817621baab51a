"""Member groups and what was found on them to the kernel's member cases: sound, outer, and each damaged one."""

from dataclasses import dataclass, field

from inspections.models import Finding
from inspections.rules.loss_policy import LossPolicy
from inspections.rules.losses import Found, end_decay_in, laminations_lost, section_loss, worst_of
from inspections.rules.stringer_row import StringerPlace, stringer_places
from inspections.vocabulary.findings import FindingKind
from inventory.mechanics.rating import DeckCase, DesignValue, MakerWetFactors, MemberCase, SectionLoss
from inventory.models import MemberGroup, Span
from inventory.vocabulary.structures import MemberRole, Product, System

from .flanges import Flanges, as_found
from .material import design_value

MAIN_ROLE = {
    System.SAWN_STRINGER: (MemberRole.STRINGER, "stringer"),
    System.GLULAM_STRINGER: (MemberRole.STRINGER, "stringer"),
    System.NAIL_LAMINATED: (MemberRole.LAMINATION, "lamination_deck"),
    System.SPIKE_LAMINATED: (MemberRole.LAMINATION, "lamination_deck"),
    System.STRESS_LAMINATED: (MemberRole.LAMINATION, "lamination_deck"),
    System.GLULAM_PANEL: (MemberRole.PANEL, "panel_deck"),
    System.STRESS_LAMINATED_T: (MemberRole.WEB, "web"),
    System.STRESS_LAMINATED_BOX: (MemberRole.WEB, "web"),
}
WORDS = {"stringer": "stringer", "lamination_deck": "deck lamination", "panel_deck": "panel", "web": "web"}
WET_OVER_PCT = {Product.GLULAM: 16.0}
WET_OVER_SAWN_PCT = 19.0


@dataclass
class Gathered:
    """Members and deck of a span as they are gathered, what is missing, what calls for closing, what was assumed."""

    members: list[MemberCase] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    closing: list[str] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    wet: bool = False
    other_dead_psf: float = 0.0
    deck: DeckCase | None = None


@dataclass(frozen=True, kw_only=True)
class Widths:
    """Of the whole structure, feet."""

    roadway_ft: float
    deck_ft: float


def gather_members(
    *, span: Span, groups: list[MemberGroup], findings: list[Finding], widths: Widths, policy: LossPolicy
) -> Gathered:
    """All member cases of a span; `groups` are every member group of it, `findings` those standing in it.

    `policy` says what drilling and stress-wave readings take from the section.
    """
    gathered = Gathered()
    if span.system not in MAIN_ROLE:
        gathered.missing.append(
            f"Span {span.index}: the system '{System.label_of(span.system).lower()}' cannot be rated here; record the "
            "load-carrying system, or have the engineer rate it."
        )
        return gathered
    row_role, role = MAIN_ROLE[span.system]
    main = [group for group in groups if group.role == row_role]
    if not main:
        wanted = MemberRole.label_of(row_role).lower()
        gathered.missing.append(f"Span {span.index}: no {wanted} is on record; enter its size, spacing and grade.")
    by_role = {group.role: group for group in groups} if role == "web" else {}
    flanges = Flanges(top=by_role.get(MemberRole.FLANGE), bottom=by_role.get(MemberRole.BOTTOM_FLANGE), policy=policy)
    flange_findings = [f for f in findings if f.member_id is not None and f.member_id in flanges.ids]
    for group in main:
        # What names no group may be on any of them.
        mine = [f for f in findings if f.member_id in (group.pk, None)]
        label = (group.label or f"group {group.pk}") + ", " if len(main) > 1 else ""
        _Group(span, group, role, label, len(main) == 1, mine, flanges, flange_findings, widths, policy).add_to(
            gathered
        )
    return gathered


@dataclass
class _Group:
    span: Span
    row: MemberGroup
    role: str
    prefix: str
    alone: bool
    findings: list[Finding]
    flanges: Flanges
    flange_findings: list[Finding]
    widths: Widths
    policy: LossPolicy

    def add_to(self, gathered: Gathered) -> None:
        where = f"Span {self.span.index}, {self.prefix}{WORDS[self.role]}"
        value, missing = design_value(self.row, where)
        gathered.missing += missing
        flange = self._flange(gathered, where)
        if value is None:
            return
        found = [(self._number(f), as_found(f)) for f in self.findings if f.bar_id is None]
        by_number: dict[int | None, list[Found]] = {}
        for number, item in found:
            by_number.setdefault(number, []).append(item)
        broken = frozenset(n for n, item in found if item.kind == FindingKind.BROKEN and n is not None)
        if any(item.kind == FindingKind.BROKEN for item in by_number.get(None, [])):
            gathered.missing.append(
                f"{where}: a member was found broken or missing, but which one is not recorded; give its number from "
                "the left edge."
            )
        make = _Maker(self, value, flange, self._wet(gathered), by_number)
        if self.role == "lamination_deck":
            gathered.members.append(make.deck(broken))
        elif self.role == "stringer":
            self._stringers(make, broken, gathered, where)
        else:
            self._each(make, broken, gathered, where)

    def _number(self, finding: Finding) -> int | None:
        """Which member it was found on; None, so any of them, where the group has no such number."""
        number = finding.member_number
        return number if finding.member_id is not None and number and number <= self.row.count else None

    def _stringers(self, make: "_Maker", broken: frozenset[int], gathered: Gathered, where: str) -> None:
        """An inner and an outer one stand for those without damage; damaged ones and their neighbours by themselves."""
        places = self._places(broken)
        if not places:
            gathered.closing.append(f"{where}: every member is broken or missing.")
            return
        alike: dict[tuple[StringerPlace, int | None], list[int]] = {}
        for number, place in places.items():
            alike.setdefault((place, number if make.is_damaged(number) else None), []).append(number)
        for (place, own), numbers in alike.items():
            gathered.members.append(self._stringer(make, place, own, numbers))
        for number in sorted(n for n in broken if make.is_damaged(n)):
            # A weak stringer that broke must not rate higher than while it stood weak.
            gathered.members.append(self._stringer(make, self._places(broken - {number})[number], number, [number]))
        if not self.alone:
            self._inner_beside_other_rows(make, gathered)

    def _places(self, broken: frozenset[int]) -> dict[int, StringerPlace]:
        return stringer_places(
            count=self.row.count,
            spacing_ft=self.row.spacing_ft,
            roadway_width_ft=self.widths.roadway_ft,
            deck_width_ft=self.widths.deck_ft,
            broken=broken,
            whole_width=self.alone,
        )

    def _stringer(self, make: "_Maker", place: StringerPlace, own: int | None, numbers: list[int]) -> MemberCase:
        plain = own is None and place.reach == 1.0
        kind = "outer" if place.outer else "inner"
        return make.case(
            f"{kind} stringers" if plain else f"stringer {_names(numbers)}",
            [] if own is None else numbers,
            exterior=place.outer,
            spacing_ft=None if self.row.spacing_ft is None else self.row.spacing_ft * place.reach,
            curb_offset_ft=place.curb_offset_ft,
            # The kernel finds the overhang from the count, which holds only where the row is whole about this one.
            count=self.row.count if self.alone and place.reach == 1.0 else None,
        )

    def _inner_beside_other_rows(self, make: "_Maker", gathered: Gathered) -> None:
        """Where rows of unlike stringers stand side by side, each is rated as outer and as inner."""
        inner = make.case("inner stringers", [], exterior=False, spacing_ft=self.row.spacing_ft, count=None)
        if all(member.label != inner.label for member in gathered.members):
            gathered.members.append(inner)

    def _each(self, make: "_Maker", broken: frozenset[int], gathered: Gathered, where: str) -> None:
        """Panels and webs: an inner and an outer one for those without damage, and every damaged one by itself.

        A broken one has nobody to count on. An outer web has a flange on one side only; an outer panel carries the
        railing where panels are not shown to act together.
        """
        for number in sorted(broken):
            gathered.closing.append(f"{where} {number} is broken or missing, and nothing is shown to carry its share.")
        word = WORDS[self.role]
        common = {"spacing_ft": self.row.spacing_ft, "count": self.row.count if self.alone else None}
        gathered.members.append(make.case(f"{word}s", [], **common))
        if self._has_outer:
            gathered.members.append(make.case(f"outer {word}s", [], exterior=True, **common))
        for number in range(1, self.row.count + 1):
            if make.is_damaged(number) and number not in broken:
                outer = self._has_outer and (number in (1, self.row.count) or not self.alone)
                gathered.members.append(make.case(f"{word} {number}", [number], exterior=outer, **common))

    @property
    def _has_outer(self) -> bool:
        return self.role == "web" or not self.span.interconnected

    def _wet(self, gathered: Gathered) -> bool | None:
        """True where a moisture reading shows wet service although the span is recorded dry; None follows the span."""
        limit = WET_OVER_PCT.get(self.row.product, WET_OVER_SAWN_PCT)
        found = [(f, limit) for f in self.findings] + [(f, WET_OVER_SAWN_PCT) for f in self.flange_findings]
        over = [
            (f.moisture_pct, most)
            for f, most in found
            if f.kind == FindingKind.MOISTURE and f.moisture_pct and f.moisture_pct > most
        ]
        if self.span.wet_service or not over:
            return None
        reading, most = max(over)
        gathered.wet = True
        gathered.assumed.append(
            f"Span {self.span.index}: recorded as dry, but moisture of {reading:g} % was read, over {most:g} %: "
            "rated as wet."
        )
        return True

    def _flange(self, gathered: Gathered, where: str) -> tuple[float, DesignValue] | None:
        if self.flanges.top is None:
            return None
        gathered.missing += self.flanges.uncounted(self.flange_findings, self.span, where)
        gathered.other_dead_psf = self.flanges.lost_psf(self.flange_findings, self.span)
        value, missing = design_value(self.flanges.top, f"{where}, flange")
        gathered.missing += missing
        depth = self.flanges.depth_in(self.flanges.top, self.flange_findings, self.span)
        return None if value is None else (depth, value)

    @property
    def bottom_depth_in(self) -> float | None:
        if self.flanges.bottom is None:
            return None
        return self.flanges.depth_in(self.flanges.bottom, self.flange_findings, self.span)


@dataclass
class _Maker:
    """Makes member cases of one group."""

    group: _Group
    value: DesignValue
    flange: tuple[float, DesignValue] | None
    wet: bool | None
    by_number: dict[int | None, list[Found]]

    def case(self, name: str, numbers: list[int], **fields) -> MemberCase:
        """A case with the losses of the numbered members; damage whose member was not named is on every one."""
        row = self.group.row
        found = [item for number in (None, *numbers) for item in self.by_number.get(number, [])]
        flange_depth, flange_value = self.flange or (None, None)
        return MemberCase(
            label=self.group.prefix + name,
            role=self.group.role,
            material=self.value,
            width_in=row.width_in,
            depth_in=row.depth_in,
            shape="round" if row.product == Product.ROUND else "rectangle",
            braced=not row.unbraced_ft,
            unbraced_ft=row.unbraced_ft or None,
            bearing_length_in=self._bearing(found),
            incised=row.incised or None,  # a box not ticked tells nothing: the kernel says what it takes
            wet_service=self.wet,
            maker_wet=_maker_wet(row),
            flange_depth_in=flange_depth,
            flange_material=flange_value,
            bottom_flange_depth_in=self.group.bottom_depth_in,
            losses=worst_of(self._losses(found)),
            **fields,
        )

    def is_damaged(self, number: int) -> bool:
        """True where something found on this very member takes from its section or its bearing."""
        found = self.by_number.get(number, [])
        return bool(self._losses(found)) or end_decay_in(found) > 0

    def deck(self, broken: frozenset[int]) -> MemberCase:
        """One lamination stands for the deck: the broken ones of the worst strip, and damage that any one has."""
        every = [number for number in self.by_number if number is not None]
        case = self.case("deck laminations", every)
        lost = laminations_lost(broken, lamination_in=self.group.row.width_in)
        if not lost:
            return case
        span_ft = self.group.span.length_ft
        loss = SectionLoss(kind="lamination_lost", from_ft=0.0, to_ft=span_ft, count=lost)
        return MemberCase(**{name: getattr(case, name) for name in MemberCase.__dataclass_fields__} | {
            "losses": (*case.losses, loss)
        })  # fmt: skip

    def _losses(self, found: list[Found]) -> list[SectionLoss]:
        row = self.group.row
        sizes = {"width_in": row.width_in, "depth_in": row.depth_in, "span_ft": self.group.span.length_ft}
        policy = self.group.policy
        return [loss for item in found if (loss := section_loss(item, policy=policy, **sizes)) is not None]

    def _bearing(self, found: list[Found]) -> float | None:
        length = self.group.row.bearing_length_in
        return None if length is None else length - end_decay_in(found)


def _maker_wet(row: MemberGroup) -> MakerWetFactors | None:
    """The wet factors of a composite from its maker's report, if all four are on record."""
    factors = (row.maker_wet_bending, row.maker_wet_shear, row.maker_wet_bearing, row.maker_wet_modulus)
    names = ("bending", "shear", "bearing", "modulus")
    return None if None in factors else MakerWetFactors(**dict(zip(names, factors, strict=True)))


def _names(numbers: list[int]) -> str:
    return ", ".join(str(number) for number in numbers)
