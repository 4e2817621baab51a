"""What each kind of damage to timber, and each reading taken in it, needs before the inspector leaves.

Moisture meters only say "wet" above 30 percent [memory]; sound stress-wave times across the grain are 259 to 305
microseconds a foot (FPL-GTR-119 [memory]), along it about 60 (FHWA [checked]), so under 150 asks about the direction
[model]; a zone under 75 percent of sound drilling resistance begins to count as lost (owner policy [model]); a
photograph of what is grave: common practice, no source. Other limits of the questions are a model.
"""

from inspections.vocabulary.findings import Change, Face, FindingGroup, FindingKind

from .evidence_terms import STILL_THERE, Asks, Evidence, Fits, Needs, When, photo_wanted
from .grave import CRUSHED_PLATE_IN, SEVERE_WAVE_RATIO
from .loss_policy import DEFAULT

_PLACE = ("span_index", "member", "member_number", "station_ft")
_ZONE = ("extent_ft", "width_in", "height_in")
_SIDES = (Face.TOP, Face.BOTTOM, Face.LEFT, Face.RIGHT)
_ALL = (*_SIDES, Face.END)
_UP_DOWN, _ACROSS = (Face.TOP, Face.BOTTOM), (Face.LEFT, Face.RIGHT)

_FROM_A_FACE = (
    Fits(field="depth_in", name="The depth", sizes=("depth_in",), word="deep", faces=_UP_DOWN),
    Fits(
        field="depth_in",
        name="The depth",
        sizes=("width_in",),
        word="wide",
        faces=_ACROSS,
        unless_side_by_side=True,
    ),
)
_HOLE = (
    Fits(field="width_in", name="The width", sizes=("width_in",), word="wide", unless_side_by_side=True),
    Fits(field="height_in", name="The height", sizes=("depth_in",), word="deep"),
)
_NOT_LESS = (When("change", "isnt", Change.LESS), When("change", "isnt", Change.GONE))


def _shrank(field: str) -> Asks:
    return Asks(
        field=field,
        when=(When(field, "under", 1.0, of=f"before.{field}"), *_NOT_LESS),
        words="Last time it was {other} in, now {value} in, and wood does not grow back: measure again, or mark it "
        "“Less than before” and say why in the note.",
    )


_HALF_GONE = tuple(
    Asks(
        field="depth_in",
        when=(When("depth_in", "over", 0.5, of=f"member.{size}"), When("face", "in", faces)),
        words="{value} in is more than half of a member {other} in " + word + ": is it the depth in inches?",
    )
    for size, faces, word in (("depth_in", _UP_DOWN, "deep"), ("width_in", _ACROSS, "wide"))
)

TIMBER: dict[str, Evidence] = {
    FindingKind.SURFACE_DECAY: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, "extent_ft", "face", "depth_in"),
        asks=("photo", "note"),
        faces=_ALL,
        above_zero=("depth_in",),
        further=(photo_wanted(When("face", "is", Face.END)),),
        fits=_FROM_A_FACE,
        questions=(_shrank("depth_in"), *_HALF_GONE),
        grave=((When("face", "is", Face.END), STILL_THERE),),
        how="Probe to sound wood; the depth is what was lost or soft, measured from the face as built.",
    ),
    FindingKind.INTERNAL_VOID: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, *_ZONE),
        asks=("offset_in", "photo", "note"),
        above_zero=("width_in", "height_in"),
        fits=_HOLE,
        within_member=True,
        questions=(_shrank("width_in"), _shrank("height_in")),
        how="Drill or core from two faces; give the void's width and height, and its centre above mid-depth.",
    ),
    FindingKind.CHECK: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, "extent_ft", "face", "depth_in"),
        asks=("photo", "note"),
        faces=_ALL,
        fits=_FROM_A_FACE,
        questions=(_shrank("depth_in"),),
        how="Push a feeler gauge in; the depth is how far it goes across the member.",
    ),
    FindingKind.SPLIT: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, "extent_ft"),
        asks=("face", "depth_in", "photo", "note"),
        fits=(
            Fits(
                field="depth_in",
                name="The depth",
                sizes=("width_in", "depth_in"),
                word="across",
                unless_side_by_side=True,
            ),
        ),
        how="A split goes through; give the depth only where it stops short of the other face.",
    ),
    FindingKind.CRACK: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, "face", "depth_in"),
        asks=("value_in", "photo", "note"),
        faces=_SIDES,
        further=(photo_wanted(),),
        fits=_FROM_A_FACE,
        grave=((STILL_THERE,),),
        how="Across the grain: always grave.",
    ),
    FindingKind.CRUSHING: Evidence(
        group=FindingGroup.TIMBER,
        needs=("span_index", "depth_in"),
        asks=("member", "member_number", "bar", "station_ft", "photo", "note"),
        further=(
            Needs(
                fields=("bar", "member_number"),
                any_of=True,
                words="which member, counted from the left edge, or the bar",
            ),
            photo_wanted(When("bar", "given"), When("depth_in", "above", CRUSHED_PLATE_IN)),
        ),
        fits=(Fits(field="depth_in", name="The depth", sizes=("depth_in",), word="deep"),),
        grave=((When("bar", "given"), When("depth_in", "above", CRUSHED_PLATE_IN), STILL_THERE),),
        how="Name the member at its bearing, or the bar at its plate.",
    ),
    FindingKind.BROKEN: Evidence(
        group=FindingGroup.TIMBER,
        needs=("span_index", "member", "member_number"),
        asks=("station_ft", "photo", "note"),
        further=(photo_wanted(),),
        grave=((STILL_THERE,),),
        how="Always grave: call at once.",
    ),
    FindingKind.WEAR: Evidence(
        group=FindingGroup.TIMBER,
        needs=(*_PLACE, "extent_ft", "face", "depth_in"),
        asks=("photo", "note"),
        faces=_SIDES,
        fits=_FROM_A_FACE,
        questions=(_shrank("depth_in"), *_HALF_GONE),
        how="Depth worn away from the face as built.",
    ),
}

INSTRUMENT: dict[str, Evidence] = {
    FindingKind.MOISTURE: Evidence(
        group=FindingGroup.INSTRUMENT,
        needs=("span_index", "member", "station_ft", "moisture_pct", "moisture_depth_in"),
        asks=("member_number", "wood_temp_f", "photo", "note"),
        questions=(
            Asks(
                field="moisture_pct",
                when=(When("moisture_pct", "above", 30),),
                words="Above 30 % a meter only says wet: {value} % is kept as wet. Were the pins in wood, not in "
                "free water?",
            ),
        ),
        how="Read at 1, 2 and 3 in with insulated pins; one finding each.",
    ),
    FindingKind.DRILLING: Evidence(
        group=FindingGroup.INSTRUMENT,
        needs=(*_PLACE, "resistance_pct"),
        asks=(*_ZONE, "offset_in", "photo", "note"),
        further=(Needs(fields=_ZONE, when=(When("resistance_pct", "below", 75),), above_zero=True),),
        fits=_HOLE,
        within_member=True,
        questions=(
            Asks(
                field="resistance_pct",
                when=(When("resistance_pct", "above", 110),),
                words="{value} % is more than sound wood: was the needle in a knot or on steel?",
            ),
        ),
        how="Under 75 % of sound wood, give the size of the weak zone and its length. Plug the hole.",
    ),
    FindingKind.STRESS_WAVE: Evidence(
        group=FindingGroup.INSTRUMENT,
        needs=(*_PLACE, "wave_time_us_per_ft"),
        asks=(*_ZONE, "offset_in", "photo", "note"),
        questions=(
            Asks(
                field="wave_time_us_per_ft",
                when=(When("wave_time_us_per_ft", "below", 150),),
                words="{value} µs/ft is faster than sound wood across the grain: was it read along the grain?",
            ),
        ),
        grave=((When("wave_time_us_per_ft", "least", SEVERE_WAVE_RATIO * DEFAULT.wave_sound_us_per_ft), STILL_THERE),),
        how="Across the grain. A slow time asks for drilling at the same place: without its size the whole section "
        "counts.",
    ),
}
