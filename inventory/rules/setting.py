"""How a span is set: the order of its beams, the checklist, which of its steps are holds, and when one may be passed.

The order outward from a reference beam, the holds and the passes bar by bar are common practice, no source; the State's
manual, the design and the engineer of record govern. Stressing at erection in several passes: `memory` of EM 7700-8 and
the construction section of LRFD, which also asks for full force again about a week later and after four to eight weeks.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from inventory.rules.refusals import Refused
from inventory.rules.sizes import limit_faults
from inventory.vocabulary.structures import WITH_BARS, System

MOST_PASSES = 8

# The holds in one table: the work stops here until a named person has seen it. Key of the step -> why.
HOLDS = {
    "reference": "Every other beam is set against this one: braced and on the centre line before the next is lifted.",
    "tied": "A tall beam rolls over by itself: each is tied before the crane lets go, and all before anyone works on.",
    "aligned": "Stressing fixes what stands out of line: edges, tops and ends in line before the first pull.",
    "stressed": "A beam fastened down cannot move in as the bars close the deck: no other beam is fastened down until "
    "stressing is done.",
    "opening": "No traffic before the forces are read after the last pass and the engineer of record agrees.",
}

LAYERS = {
    "tack": ("Tack coat", "tack"),
    "thin_lift": ("Thin first lift of asphalt", "asphalt"),
    "membrane": ("Waterproofing membrane", "membrane"),
    "final_lift": ("Final lift of asphalt, crowned", "asphalt"),
}
SURFACING = {
    "better": ("Tack, thin lift, membrane, final lift (better practice)", tuple(LAYERS)),
    "least": ("Tack and one lift of asphalt (the least)", ("tack", "final_lift")),
    "none": ("None now", ()),
}

BEAM_LIMITS = {
    "place": ("The place", "from", -200, 200, ""),
    "length_ft": ("The length", "above", 0, 200, "ft"),
    "depth_in": ("The depth", "above", 0, 120, "in"),
    "weight_lb": ("The weight", "above", 0, 200_000, "lb"),
    "lift_first_ft": ("The first lift point", "from", 0, 200, "ft"),
    "lift_second_ft": ("The second lift point", "from", 0, 200, "ft"),
}


@dataclass(frozen=True, kw_only=True)
class Step:
    """One line of a checklist as it is proposed."""

    key: str
    title: str

    @property
    def is_hold(self) -> bool:
        return self.key in HOLDS


@dataclass(frozen=True, kw_only=True)
class StepState:
    """A line of a checklist as it stands."""

    order: int
    title: str
    is_hold: bool = False
    done_on: date | None = None
    passed_over_reason: str = ""


def setting_order(places: Iterable[int]) -> list[int]:
    """Places outward from the reference beam, side by side in turn: 0, 1, -1, 2, -2 and so on.

    Both sides grow together so that the span stays balanced on its bearings (common practice, no source).
    """
    return sorted(places, key=lambda place: (abs(place), place < 0))


def place_words(place: int) -> str:
    """A place as it is written: 0, +1, -1."""
    return f"{place:+d}" if place else "0"


def centred_places(count: int) -> list[int]:
    """Places of `count` beams about the centre line, the odd one to the right: 4 give -1, 0, 1, 2. `count` >= 0."""
    return [index - (count - 1) // 2 for index in range(count)]


def is_tall(*, system: str, depth_in: float | None, width_in: float | None) -> bool:
    """Whether a beam must be tied against roll-over: every T-beam, and any beam deeper than it is wide."""
    return system == System.STRESS_LAMINATED_T or bool(depth_in and width_in and depth_in > width_in)


def proposed_steps(
    *, system: str, beams: Sequence[tuple[int, str]], tall: bool, passes: int, each_beam: bool, surfacing: str
) -> list[Step]:
    """The checklist of a span: `beams` are (place, mark); one step for each further beam, or one for all with a count.

    Refused without a beam at place 0, or with passes outside 1 to 8 where the span has bars.
    """
    marks = dict(beams)
    order = setting_order(marks)
    if not order or order[0] != 0:
        raise Refused("No beam has the place 0. Say in the delivery list which one is the reference beam.")
    has_bars = system in WITH_BARS
    if has_bars and not 1 <= passes <= MOST_PASSES:
        raise Refused({"passes": f"Passes must be from 1 to {MOST_PASSES}; {passes} was entered. Correct it."})
    if surfacing not in SURFACING:
        raise Refused({"surfacing": "Choose the surfacing among those listed."})
    steps = [
        Step(key="delivered", title="Beams checked against the delivery list; damaged ones set apart"),
        Step(key="reference", title=f"Reference beam {marks[0]} set and braced on the centre line"),
        *_outward(order[1:], marks, tall, each_beam),
    ]
    if tall:
        steps.append(Step(key="tied", title="Every tall beam tied against roll-over"))
    if has_bars:
        steps += _stressing(passes)
    steps.append(Step(key="fastened", title="Beams fastened down to their bearings"))
    steps.append(Step(key="rail", title="Rail and posts fixed"))
    steps += [Step(key=key, title=LAYERS[key][0]) for key in SURFACING[surfacing][1]]
    return [*steps, Step(key="opening", title="Opened to traffic")]


def _outward(order: list[int], marks: dict[int, str], tall: bool, each_beam: bool) -> list[Step]:
    tied = ", tied before the crane lets go" if tall else ""
    if each_beam:
        return [
            Step(key=f"beam{place:+d}", title=f"Beam {marks[place]} set at place {place_words(place)}{tied}")
            for place in order
        ]
    if not order:
        return []
    shown = ", ".join(place_words(place) for place in order[:4]) + (" and so on" if len(order) > 4 else "")
    return [Step(key="beams", title=f"The other {len(order)} set outward one by one, places {shown}{tied}")]


def _stressing(passes: int) -> list[Step]:
    pulls = [
        Step(
            key=f"pass-{number}",
            title=f"Pass {number}: {'bars pulled one after another from one side' if number == 1 else 'the whole sequence again'}",  # noqa: E501
        )
        for number in range(1, passes + 1)
    ]
    return [
        Step(key="aligned", title="Profiles aligned before stressing: edges, tops and ends in line"),
        Step(key="bars", title="Bars inserted, plates and nuts on; bars and threads sound"),
        *pulls,
        Step(key="stressed", title="Stressing done and forces read; no other beam is fastened down before this"),
    ]


def asks_of(key: str) -> str:
    """What a step asks beside its day: force_lb, thickness_in, count, or nothing."""
    if key.startswith("pass-"):
        return "force_lb"
    if key in LAYERS and key != "tack":
        return "thickness_in"
    return "count" if key in ("beams", "bars") else ""


def is_beam_step(key: str) -> bool:
    return key == "reference" or key.startswith("beam")


def open_before(steps: Sequence[StepState], order: int, day: date) -> list[StepState]:
    """Earlier steps that on `day` were neither done nor passed over with a reason."""
    return [
        step
        for step in steps
        if step.order < order and not step.passed_over_reason and (step.done_on is None or step.done_on > day)
    ]


def order_faults(*, open_steps: Sequence[StepState], by: str, reason: str) -> dict[str, str]:
    """Passing a step while an earlier one is open needs a named person and a reason; field -> sentence."""
    if not open_steps:
        return {}
    holds = [step for step in open_steps if step.is_hold]
    first = (holds or open_steps)[0]
    what = f"the hold '{first.title}'" if first.is_hold else f"'{first.title}'"
    more = f" and {len(open_steps) - 1} more" if len(open_steps) > 1 else ""
    faults = {}
    if not reason.strip():
        faults["passed_over_reason"] = (
            f"On that day {what}{more} was not done. Do that first, or give the reason why it is passed over."
        )
    if not by.strip():
        faults["passed_over_by"] = f"Name the person who decides to pass over {what}{more}."
    return faults


def beam_faults(row: dict) -> dict[str, str]:
    """One line of a delivery list: mark, place, sizes, lift points on the beam and in order."""
    faults = limit_faults(row, BEAM_LIMITS)
    if not (row.get("mark") or "").strip():
        faults["mark"] = "Enter the mark as it is painted on the beam."
    if row.get("place") is None:
        faults["place"] = "Enter the place from the reference beam: 0, 1, -1 and so on."
    length, first, second = row.get("length_ft"), row.get("lift_first_ft"), row.get("lift_second_ft")
    for field, at in (("lift_first_ft", first), ("lift_second_ft", second)):
        if at is not None and length is not None and at > length and field not in faults:
            faults[field] = f"A lift point at {at:g} ft lies off a beam of {length:g} ft. Correct one of them."
    if first is not None and second is not None and second <= first and "lift_second_ft" not in faults:
        faults["lift_second_ft"] = "The second lift point lies beyond the first, both from the near end."
    return faults


def list_faults(rows: Sequence[dict]) -> dict[int, dict[str, str]]:
    """All lines together: number of the line -> field -> sentence. No mark and no place may come twice."""
    found: dict[int, dict[str, str]] = {}
    marks: dict[str, int] = {}
    places: dict[int, int] = {}
    for number, row in enumerate(rows):
        faults = beam_faults(row)
        mark, place = (row.get("mark") or "").strip(), row.get("place")
        if mark and mark in marks:
            faults["mark"] = f"Line {marks[mark] + 1} has the mark {mark} too. Each beam has its own."
        if place is not None and place in places:
            faults["place"] = f"Line {places[place] + 1} has the place {place_words(place)} too. One beam to a place."
        marks.setdefault(mark, number)
        places.setdefault(place, number)
        if faults:
            found[number] = faults
    return found
