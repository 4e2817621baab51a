"""What common practice says about a span being set: sentences where an entry lies outside, never a value filled in.

All of it is common practice, no source: about 20,000 lb per bar in passes from one side, the whole sequence repeated
because adjacent bars lose force as others are pulled; bottom bars about every 20 ft, which keep the section from
cupping; a tack coat and 2 to 5 in of asphalt at the least, better tack, a thin lift, a waterproofing membrane and a
final 2 to 3 in, crowned. A target force has no default: it comes from the design or the engineer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.rules.setting import place_words
from inventory.vocabulary.structures import System

PASS_FORCE_LB = (15_000, 25_000)  # "about 20,000"
BOTTOM_BAR_MOST_FT = 25  # "about every 20 ft"
ASPHALT_IN = (2, 5)
FINAL_LIFT_IN = (2, 3)
ASKEW_FT = 1.0


@dataclass(frozen=True, kw_only=True)
class Beam:
    """A delivered beam as far as its lift is judged."""

    mark: str
    place: int
    length_ft: float | None = None
    weight_lb: float | None = None
    lift_first_ft: float | None = None
    lift_second_ft: float | None = None


def pass_sentences(*, pass_forces_lb: Sequence[float], passes_planned: int, target_force_lb: float | None) -> list[str]:
    """What stands out in the passes planned and made."""
    said = []
    least, most = PASS_FORCE_LB
    if passes_planned == 1:
        said.append(
            "One pass is planned. Adjacent bars lose force as others are pulled, so the whole sequence is usually "
            "repeated (common practice, no source)."
        )
    for number, force in enumerate(pass_forces_lb, start=1):
        if not least <= force <= most:
            said.append(
                f"Pass {number} went to {force:,.0f} lb a bar; passes of about 20,000 lb are usual (common practice, "
                "no source). The design and the engineer govern."
            )
        if target_force_lb and force > target_force_lb * 1.02:
            said.append(
                f"Pass {number} went to {force:,.0f} lb a bar, above the {target_force_lb:,.0f} lb asked for. "
                "Ask the engineer before the next pull."
            )
    return said


def bottom_bar_sentences(*, system: str, span_ft: float, bottom_stations_ft: Sequence[float]) -> list[str]:
    """Bottom bars of T- and box-beam spans: gaps from bearing to bearing above about 20 ft."""
    if system not in (System.STRESS_LAMINATED_T, System.STRESS_LAMINATED_BOX) or span_ft <= BOTTOM_BAR_MOST_FT:
        return []
    usual = "One about every 20 ft keeps the section from cupping (common practice, no source)."
    if not bottom_stations_ft:
        return [f"No bottom bar is on record. {usual}"]
    places = [0.0, *sorted(bottom_stations_ft), span_ft]
    widest = max(b - a for a, b in zip(places, places[1:], strict=False))
    return [f"{widest:.0f} ft lie between bottom bars. {usual}"] if widest > BOTTOM_BAR_MOST_FT else []


def surfacing_sentences(
    *, laid_in: dict[str, float], has_membrane: bool, has_tack: bool, is_complete: bool
) -> list[str]:
    """Asphalt laid so far, by step; the whole is judged once every layer of the list is laid or passed over."""
    said = []
    final = laid_in.get("final_lift")
    if final is not None and "thin_lift" in laid_in and not FINAL_LIFT_IN[0] <= final <= FINAL_LIFT_IN[1]:
        said.append(f"The final lift is {final:g} in; 2 to 3 in, crowned, is usual (common practice, no source).")
    total = laid_in.get("thin_lift", 0) + laid_in.get("final_lift", 0)
    if is_complete and total and not ASPHALT_IN[0] <= total <= ASPHALT_IN[1]:
        said.append(f"{total:g} in of asphalt were laid; 2 to 5 in are usual (common practice, no source).")
    if is_complete and total and not has_tack:
        said.append("No tack coat is on the list; one is the least under asphalt (common practice, no source).")
    if is_complete and total and not has_membrane:
        said.append(
            "No waterproofing membrane was laid. It is the better practice: tack, thin lift, membrane, final lift "
            "(common practice, no source)."
        )
    return said


def lift_sentences(beams: Sequence[Beam]) -> list[str]:
    """Total weight and heaviest lift, what is not known of them, and beams that would hang askew (statics).

    A uniform beam hangs level when the middle between its lift points is its own middle.
    """
    said = []
    weights = [(beam.weight_lb, beam.mark) for beam in beams if beam.weight_lb]
    if weights:
        heaviest, mark = max(weights)
        said.append(
            f"Together {sum(weight for weight, _ in weights):,.0f} lb; the heaviest lift is {heaviest:,.0f} lb "
            f"(beam {mark}), rigging not counted."
        )
    unknown = [beam.mark for beam in beams if not beam.weight_lb]
    if unknown:
        said.append(f"No weight is entered for {', '.join(unknown)}: no lift before it is known.")
    for beam in beams:
        if None in (beam.length_ft, beam.lift_first_ft, beam.lift_second_ft):
            continue
        off = (beam.lift_first_ft + beam.lift_second_ft) / 2 - beam.length_ft / 2
        if abs(off) > ASKEW_FT:
            said.append(
                f"The lift points of beam {beam.mark} lie {abs(off):.1f} ft off its middle: it would hang askew unless "
                "its weight lies there too. Ask the maker."
            )
    return said


def place_sentences(places: Sequence[int]) -> list[str]:
    """Places that are missing between the outermost two."""
    if not places:
        return []
    missing = sorted(set(range(min(places), max(places) + 1)) - set(places))
    if not missing:
        return []
    return [f"No beam is entered for the place {', '.join(place_words(place) for place in missing)}."]
