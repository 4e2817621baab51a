"""The crew at the road: a sign is seen standing, or missing; with a photograph and the place where there are any."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction

from inspections.models import OwedMessage, Recommendation
from inspections.rules import lifecycle
from inspections.rules.clocks.terms import day
from inspections.rules.refusals import Refused
from inspections.rules.sign_seen import overtaken, place_faults
from inspections.vocabulary.states import RecommendationState
from inventory.actions.tell import tell_event
from inventory.models import Document, Person, Posting, Sign, Structure
from inventory.queries.inspection_policy import policy_of
from inventory.queries.people import people_with
from inventory.vocabulary.roles import Permit, Role
from inventory.vocabulary.structures import SignState

from .lock import day_of, lock_structure, require_move, require_permit
from .post import all_signs_stand, is_take_down
from .standing import refresh_standing


@dataclass(frozen=True, kw_only=True)
class Sighting:
    """What the crew gives beside the word: the day, and where there are any a photograph and the place in degrees."""

    on: date
    photo: Document | None = None
    lon: float | None = None
    lat: float | None = None

    def adds_nothing(self, sign: Sign) -> bool:
        """Sent again: the photograph and the place are those on record, or none."""
        same_photo = self.photo is None or self.photo.pk == sign.photo_id
        return same_photo and (self.lon is None or (self.lon, self.lat) == (sign.lon, sign.lat))


@transaction.atomic
def confirm_sign(
    *,
    sign: Sign,
    on: date,
    by: Person,
    at: datetime,
    photo: Document | None = None,
    lon: float | None = None,
    lat: float | None = None,
) -> Sign:
    """Record a sign seen standing and legible (or, where so ordered, taken down) on a day.

    `photo` is a photograph of this structure, `lon` and `lat` where it was seen, degrees. The same word sent again
    changes nothing. The last sign brings the posting into force.
    """
    seen = Sighting(on=on, photo=photo, lon=lon, lat=lat)
    structure, sign, permits = _open(sign, by)
    if sign.state in (SignState.CONFIRMED, SignState.REMOVED) and sign.confirmed_on == on and seen.adds_nothing(sign):
        return sign
    _require_current(sign, seen, at, missing=False)
    posting = sign.posting
    if on < posting.decided_on and sign.state == SignState.ORDERED:
        raise Refused(
            f"The sign was ordered on {day(posting.decided_on)}, so it cannot have been seen on {day(on)}: "
            "correct the day."
        )
    down = is_take_down(sign)
    is_same = sign.state == SignState.CONFIRMED and sign.confirmed_on == on
    sign.state = SignState.REMOVED if down else SignState.CONFIRMED
    sign.set_on = sign.set_on or on
    sign.confirmed_on, sign.confirmed_by, sign.missing_seen_on = on, by, None
    _keep_evidence(sign, seen, is_same)
    what = "taken down" if down else "seen standing"
    _tell("confirm_sign", f"Sign {what} {sign.approach}: {sign.code} {sign.legend}.", structure, sign, seen, by, at)
    if all_signs_stand(posting):
        _bring_into_force(posting, structure, permits, on, at)
    refresh_standing(structure=structure, as_of=day_of(at))
    return sign


@transaction.atomic
def report_sign_missing(
    *,
    sign: Sign,
    on: date,
    by: Person,
    at: datetime,
    photo: Document | None = None,
    lon: float | None = None,
    lat: float | None = None,
) -> Sign:
    """Record a sign missing or illegible; it is owed until it is confirmed again (30 days, 23 CFR 650.313 [memory]).

    The days run anew from the first day on which it was seen missing; a second report does not put them off. The
    supervisors are told at once. The same word sent again changes nothing.
    """
    seen = Sighting(on=on, photo=photo, lon=lon, lat=lat)
    structure, sign, _permits = _open(sign, by)
    was_missing = sign.state == SignState.MISSING
    if was_missing and sign.missing_seen_on == on and seen.adds_nothing(sign):
        return sign
    _require_current(sign, seen, at, missing=True)
    if is_take_down(sign):
        raise Refused("This sign is to be taken down: if it is gone already, confirm that it was taken down.")
    sign.state = SignState.MISSING
    sign.missing_seen_on = min(on, sign.missing_seen_on) if was_missing and sign.missing_seen_on else on
    _keep_evidence(sign, seen, was_missing)
    still = "still missing" if was_missing else "missing"
    _tell("sign_missing", f"Sign {still} {sign.approach}: {sign.code} {sign.legend}.", structure, sign, seen, by, at)
    _warn_supervisors(sign, structure, by, at)
    refresh_standing(structure=structure, as_of=day_of(at))
    return sign


def _open(sign: Sign, by: Person) -> tuple[Structure, Sign, frozenset[Permit]]:
    structure = lock_structure(sign.posting.structure_id)
    permits = require_permit(by, structure, Permit.CONFIRM_SIGN)
    fresh = Sign.objects.select_for_update().get(pk=sign.pk)
    fresh.posting = Posting.objects.select_for_update().get(pk=fresh.posting_id)
    return structure, fresh, permits


def _require_current(sign: Sign, seen: Sighting, at: datetime, *, missing: bool) -> None:
    """Refused where the sign, the day, the place or the photograph cannot be meant."""
    if sign.posting.superseded_on is not None or sign.state == SignState.REMOVED:
        raise Refused("This sign belongs to a restriction that is no longer in force; open the structure again.")
    if seen.on > day_of(at):
        raise Refused(f"A sign cannot have been seen on {day(seen.on)}, which is still to come: correct the day.")
    faults = place_faults(seen.lon, seen.lat)
    if seen.photo is not None and seen.photo.structure_id != sign.posting.structure_id:
        faults.append("The photograph belongs to another structure: take one of this sign.")
    late = overtaken(
        missing=missing,
        on=seen.on,
        state=sign.state,
        confirmed_on=sign.confirmed_on,
        missing_seen_on=sign.missing_seen_on,
    )
    if faults or late:
        raise Refused(*faults, *([late] if late else []))


def _keep_evidence(sign: Sign, seen: Sighting, is_same_sighting: bool) -> None:
    """Photograph and place belong to the last sighting: a new one without them does not borrow the old ones."""
    if seen.photo is not None or not is_same_sighting:
        sign.photo = seen.photo
    if seen.lon is not None or not is_same_sighting:
        sign.lon, sign.lat = seen.lon, seen.lat
    sign.save()


def _warn_supervisors(sign: Sign, structure: Structure, by: Person, at: datetime) -> None:
    days = policy_of(structure.agency).sign_missing_days
    until = sign.missing_seen_on + timedelta(days=days)
    sentence = (
        f"Sign missing at {structure.number} {structure.title}, {sign.approach}: {sign.code} {sign.legend}. Seen "
        f"{day(sign.missing_seen_on)} by {by}; put it back by {day(until)}."
    )
    OwedMessage.objects.bulk_create(
        [
            OwedMessage(
                person=person,
                structure=structure,
                sentence=sentence[:400],
                key=f"sign-missing:{sign.pk}:{sign.missing_seen_on}",
                created_at=at,
            )
            for person in people_with(structure.agency, Role.SUPERVISOR)
        ],
        ignore_conflicts=True,
    )


def _bring_into_force(
    posting: Posting, structure: Structure, permits: frozenset[Permit], on: date, at: datetime
) -> None:
    if posting.in_force_from is None:
        posting.in_force_from = on
        posting.save(update_fields=["in_force_from"])
    for adopted in Recommendation.objects.select_for_update().filter(
        posting=posting, state=RecommendationState.ADOPTED
    ):
        require_move(lifecycle.RECOMMENDATION, adopted.state, RecommendationState.IN_FORCE, permits)
        adopted.state = RecommendationState.IN_FORCE
        adopted.revision += 1
        adopted.save(update_fields=["state", "revision"])
        tell_event(
            verb="in_force",
            sentence=f"In force: {posting.words}; every sign was seen.",
            at=at,
            by=None,
            structure=structure,
            detail={"posting": posting.pk},
        )


def _tell(verb: str, sentence: str, structure: Structure, sign: Sign, seen: Sighting, by: Person, at: datetime) -> None:
    detail = {"sign": sign.pk, "on": seen.on.isoformat()}
    if seen.photo is not None:
        detail["photo"] = seen.photo.pk
    if seen.lon is not None:
        detail |= {"lon": seen.lon, "lat": seen.lat}
    tell_event(verb=verb, sentence=sentence, at=at, by=by, structure=structure, detail=detail)
