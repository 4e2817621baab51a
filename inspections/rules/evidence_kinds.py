"""What each kind of finding needs before the inspector leaves: one row a kind, read by form, server and device.

The last bar force is asked about where it is more than half away [model]; a photograph of what is grave: common
practice, no source. Other limits of the questions are a model. Timber and the readings in it: evidence_timber.
"""

from inspections.vocabulary.findings import FindingGroup, FindingKind, ForceMethod

from .evidence_terms import BEYOND_FT, STILL_THERE, Asks, Evidence, Needs, When, photo_wanted
from .evidence_timber import INSTRUMENT, TIMBER
from .gauge import JUMP_RATIO
from .grave import STEP_IN

EVERY = Evidence(
    group="",
    needs=(),
    further=(photo_wanted(When("condition_state", "is", 4)),),
    questions=(
        Asks(
            field="station_ft",
            # Farther than the slack at the bearing is no question but a fault.
            when=(
                When("station_ft", "over", 1.0, of="span.length_ft"),
                When("station_ft", "under", 1.0, of="span.length_ft", more=-BEYOND_FT),
            ),
            words="{value} ft is past the end of the span of {other} ft: stations run from the first bearing of this "
            "span.",
        ),
        Asks(
            field="extent_ft",
            when=(When("extent_ft", "over", 1.0, of="span.length_ft"),),
            words="{value} ft along the member is longer than the span of {other} ft: is it the length in feet?",
        ),
    ),
    grave=((When("condition_state", "is", 4), STILL_THERE),),
)
"""What holds for a finding of any kind, after what its own row says."""

_BAR: dict[str, Evidence] = {
    FindingKind.BAR_FORCE: Evidence(
        group=FindingGroup.BAR,
        needs=("bar", "force_method"),
        asks=("force_lb", "jack", "gauge_psi", "wood_temp_f", "moisture_pct", "photo", "note"),
        further=(Needs(fields=("force_lb",), when=(When("force_method", "isnt", ForceMethod.HAND_LOOSE),)),),
        questions=(
            Asks(
                field="force_lb",
                when=(
                    When("force_lb", "off", JUMP_RATIO, of="bar.last_force_lb"),
                    When("force_method", "isnt", ForceMethod.HAND_LOOSE),
                ),
                words="{value} lb is more than half away from the last reading of {other} lb: read it again, or keep "
                "it as read.",
            ),
            Asks(
                field="force_lb",
                when=(When("force_method", "is", ForceMethod.HAND_LOOSE), When("force_lb", "above", 0)),
                words="{value} lb, and yet loose to the hand: a loose bar counts as no force.",
            ),
            Asks(
                field="force_method",
                when=(When("force_method", "is", ForceMethod.LOCK_OFF),),
                words="The pressure at lock-off shows no standing force: it is kept, and counts nowhere.",
            ),
        ),
        grave=((When("force_method", "is", ForceMethod.HAND_LOOSE),),),
        how="Lift-off or load cell; a bar loose to the hand counts as no force. The pressure at lock-off shows no "
        "standing force.",
    ),
    FindingKind.BAR_DEFECT: Evidence(
        group=FindingGroup.BAR,
        needs=("span_index", "bar"),
        asks=("station_ft", "depth_in", "photo", "note"),
        further=(
            Needs(
                fields=("photo", "note"),
                any_of=True,
                words="a photo, or a note that says what is wrong with the bar,",
            ),
        ),
        how="Pitted, bent, or not to be identified: photograph it or say in the note what is wrong. The bar is not "
        "jacked until the engineer releases it.",
    ),
    FindingKind.SLIP: Evidence(
        group=FindingGroup.BAR,
        needs=("span_index", "station_ft", "value_in"),
        asks=("member", "member_number", "photo", "note"),
        above_zero=("value_in",),
        further=(photo_wanted(When("value_in", "above", STEP_IN)), photo_wanted(When("value_in", "below", -STEP_IN))),
        grave=(
            (When("value_in", "above", STEP_IN), STILL_THERE),
            (When("value_in", "below", -STEP_IN), STILL_THERE),
        ),
        how="Height of the step between two laminations.",
    ),
}

_DECK: dict[str, Evidence] = {
    FindingKind.CAMBER: Evidence(
        group=FindingGroup.DECK,
        needs=("span_index", "value_in"),
        asks=("station_ft", "photo", "note"),
        further=(photo_wanted(When("value_in", "below", 0)),),
        questions=(
            Asks(
                field="value_in",
                when=(When("value_in", "below", 0),),
                words="{value} in means that the span sags below level, which is grave: is the sign right?",
            ),
            Asks(
                field="value_in",
                when=(When("value_in", "under", 1.0, of="before.value_in", more=0.25),),
                words="Last time it was {other} in, now {value} in: the span is going down. Read the line again.",
            ),
        ),
        grave=((When("value_in", "below", 0), STILL_THERE),),
        how="At midspan; up is positive, sag is negative.",
    ),
    FindingKind.SURFACE_CRACK: Evidence(
        group=FindingGroup.DECK,
        needs=("span_index", "station_ft"),
        asks=("extent_ft", "value_in", "area_pct", "photo", "note"),
        how="Width of the crack, and its length.",
    ),
    FindingKind.POTHOLE: Evidence(
        group=FindingGroup.DECK,
        needs=("span_index", "station_ft"),
        asks=("value_in", "area_pct", "photo", "note"),
    ),
    FindingKind.SURFACE_THICKNESS: Evidence(
        group=FindingGroup.DECK,
        needs=("value_in",),
        asks=("span_index", "station_ft", "photo", "note"),
        questions=(
            Asks(
                field="value_in",
                when=(When("value_in", "above", 8),),
                words="{value} in of surfacing is a heavy load: was it measured down to the deck, and in inches?",
            ),
        ),
        how="Full thickness of all layers down to the deck.",
    ),
}

_AROUND: dict[str, Evidence] = {
    FindingKind.CONNECTION: Evidence(
        group=FindingGroup.AROUND,
        needs=("span_index", "note"),
        asks=("member", "member_number", "station_ft", "photo"),
    ),
    FindingKind.SETTLEMENT: Evidence(
        group=FindingGroup.AROUND, needs=("value_in", "note"), asks=("span_index", "photo"), grave=((STILL_THERE,),)
    ),
    FindingKind.SCOUR: Evidence(group=FindingGroup.AROUND, needs=("note",), asks=("value_in", "span_index", "photo")),
    FindingKind.SIGN: Evidence(
        group=FindingGroup.AROUND,
        needs=("note",),
        asks=("photo",),
        how="Which approach, and what is wrong with the sign.",
    ),
    FindingKind.OTHER: Evidence(
        group=FindingGroup.AROUND, needs=("note",), asks=("span_index", "member", "station_ft", "photo")
    ),
}

EVIDENCE: dict[str, Evidence] = {**TIMBER, **INSTRUMENT, **_BAR, **_DECK, **_AROUND}
