"""Posting: the sign in force, the recommendation held against it, and what the reader may do about them."""

from django.http import HttpRequest
from django.utils.safestring import mark_safe

from inspections.drawings.signs import sign_face
from inspections.queries.inspections import open_proposal, posting_in_force
from inspections.rules.posting import EMERGENCY_FIELDS, terms_of
from inventory.drawings.shapes import SignShape
from inventory.models import Posting, Structure
from inventory.queries.people import permits_of
from inventory.vocabulary.roles import Permit
from inventory.vocabulary.structures import Restriction, SignState


def face_of(terms: object, *, key: str, is_awaited: bool = False) -> str:
    """The sign that a posting or a recommendation asks for, as SVG."""
    single = terms.single_ton if terms else None
    classes = (terms.single_unit_ton, terms.combination_ton, terms.double_ton) if terms else ()
    emergency = tuple(getattr(terms, name) for name in EMERGENCY_FIELDS) if terms else ()
    shape = SignShape(
        restriction=terms.restriction if terms else Restriction.UNKNOWN.value,
        single_ton=single,
        class_tons=classes if any(ton is not None for ton in classes) else (),
        emergency_tons=emergency if any(ton is not None for ton in emergency) else (),
        is_awaited=is_awaited,
    )
    return mark_safe(sign_face(shape, key=key))  # noqa: S308 the writer escapes every text


def posting_context(posting: Posting | None, *, key: str) -> dict:
    """The sign in force, drawn, with its signs at the road."""
    signs = list(posting.signs.all()) if posting else []
    awaited = [sign for sign in signs if sign.state in (SignState.ORDERED, SignState.MISSING)]
    return {
        "posting": posting,
        "posting_words": terms_of(posting).words if posting else "not known",
        "posting_face": face_of(posting, key=f"{key}-now", is_awaited=bool(awaited)),
        "signs": signs,
        "signs_awaited": awaited,
    }


def load(request: HttpRequest, structure: Structure) -> dict:
    permits = permits_of(request.user, structure.agency)
    proposal = open_proposal(structure)
    return {
        **posting_context(posting_in_force(structure), key=f"sign-{structure.pk}"),
        "proposal": proposal,
        "proposal_words": terms_of(proposal).words if proposal else "",
        "proposal_face": face_of(proposal, key=f"sign-{structure.pk}-proposed", is_awaited=True) if proposal else "",
        "may_decide": Permit.DECIDE_POSTING in permits,
        "may_restrict": Permit.RESTRICT_NOW in permits,
        "may_confirm": Permit.CONFIRM_SIGN in permits,
    }
