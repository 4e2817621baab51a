"""Photographs from the field come in pieces, in order, and count only once the whole agrees with its checksum.

A piece is on the disk before the row says so: after a power cut the file may be longer than the row, never shorter, and
what is too much is cut off at the next piece. What is refused as no photograph is put aside for the office, not
deleted.
"""

import hashlib
import logging
import os
from datetime import datetime
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone

from inspections.models import PhotoUpload
from inspections.rules.field_clock import moment_from
from inspections.rules.refusals import Refused
from inspections.vocabulary.states import UploadState
from inventory.actions.receive_photo import receive_photo
from inventory.models import Agency, Person
from inventory.queries.people import agencies_of
from inventory.queries.structures import structures_for
from inventory.rules.photo import MOST_BYTES
from inventory.rules.refusals import Refused as RefusedAtInventory

from .photo_places import link_arrived

log = logging.getLogger(__name__)
MOST_PIECE = 256 * 1024
ARRIVING, ASIDE = "arriving", "aside"
MOST_WRONG = 3
"""After so many wholes that disagree with their checksum the device's word for it is wrong, not the line."""


class OtherPhoto(Refused):
    """The identity is taken by another photograph."""


class WrongPlace(Exception):
    """The piece does not join on; the device goes on from `upload.received_bytes`."""

    def __init__(self, upload: PhotoUpload):
        self.upload = upload
        super().__init__(f"{upload.received_bytes} bytes are here")


def begin_photo(*, identity: UUID, about: dict, by: Person, at: datetime) -> PhotoUpload:
    """Announce a photograph; announced again it goes on where it was.

    `about`: sha256 (64 hex digits), size_bytes, structure (row id), device, and caption, taken_at, lon, lat as the
    device has them. Raises Refused where these cannot be, OtherPhoto where the identity belongs to another file.
    """
    digest, size = _checked(about)
    before = PhotoUpload.objects.filter(identity=identity).first()
    if before is None:
        before = _new_upload(identity, about, digest, size, by, at)
    if not agencies_of(by).filter(pk=before.agency_id).exists() or (before.sha256, before.size_bytes) != (digest, size):
        raise OtherPhoto("The site already has another photograph of this identity; give this one a new identity.")
    if before.state == UploadState.KEPT:
        link_arrived(identity, at)
    return before


def _checked(about: dict) -> tuple[str, int]:
    digest, size = about.get("sha256"), about.get("size_bytes")
    if not isinstance(digest, str) or len(digest) != 64 or set(digest.lower()) - set("0123456789abcdef"):
        raise Refused("The photograph's checksum is missing: 64 hexadecimal digits of SHA-256 are awaited.")
    if not isinstance(size, int) or isinstance(size, bool) or not 0 < size < 2**31:
        raise Refused("The photograph's size in bytes is missing or not above zero.")
    try:
        UUID(str(about.get("device")))
    except ValueError:
        raise Refused("The photograph does not say which device it comes from.") from None
    return digest.lower(), size


def _new_upload(identity: UUID, about: dict, digest: str, size: int, by: Person, at: datetime) -> PhotoUpload:
    pk = about.get("structure")
    is_row = isinstance(pk, int) and not isinstance(pk, bool) and 0 < pk < 2**63
    structure = structures_for(by).filter(pk=pk).first() if is_row else None
    too_large = size > MOST_BYTES
    values = {
        "agency": structure.agency if structure else _agency_of(by),
        "structure": structure,
        "person": by,
        "device": UUID(str(about["device"])),
        "sha256": digest,
        "size_bytes": size,
        "about": {name: _short(about.get(name)) for name in ("caption", "taken_at", "lon", "lat", "structure")},
        "state": UploadState.REFUSED if too_large else UploadState.OPEN,
        "problem": f"The photograph is {size / 2**20:.0f} MB; at most {MOST_BYTES // 2**20} MB are taken. It stays on "
        "the device: bring it to the office as a file, or send a smaller copy."
        if too_large
        else "",
        "path": "" if too_large else f"{ARRIVING}/{identity}.part",
        "started_at": at,
        "touched_at": at,
    }
    try:
        with transaction.atomic():
            return PhotoUpload.objects.create(identity=identity, **values)
    except IntegrityError:
        return PhotoUpload.objects.get(identity=identity)


def _agency_of(by: Person) -> Agency:
    agency = agencies_of(by).first()
    if agency is None:
        raise Refused("You belong to no agency any more, so the site cannot keep this. It stays on your device.")
    return agency


def _short(value):
    if isinstance(value, str):
        return value.replace("\x00", "").encode("utf-8", "replace").decode()[:500]
    return value if isinstance(value, int | float) and abs(value) < 1e12 else None


def take_piece(*, identity: UUID, from_byte: int, piece: bytes, by: Person, at: datetime) -> PhotoUpload:
    """Append a piece; the last one is followed by the check of the whole. Raises WrongPlace where it does not join on.

    A photograph that is done already is answered as it stands, whatever is sent.
    """
    if len(piece) > MOST_PIECE:
        raise Refused(f"A piece may have at most {MOST_PIECE // 1024} kB.")
    upload = _append(identity, from_byte, piece, by, at)
    if upload.state == UploadState.OPEN and upload.received_bytes == upload.size_bytes:
        upload = finish_photo(upload_id=upload.pk, at=at)
    return upload


def take_whole(*, identity: UUID, about: dict, data: bytes, by: Person, at: datetime) -> PhotoUpload:
    """A photograph brought as a whole: what is here of it already is taken, the rest from `data`."""
    upload = begin_photo(identity=identity, about=about, by=by, at=at)
    if upload.state == UploadState.REFUSED and not upload.path:
        # Too large to be sent; brought by hand it is put aside, not lost.
        aside = Path(settings.MEDIA_ROOT) / ASIDE / f"{identity}.bin"
        aside.parent.mkdir(parents=True, exist_ok=True)
        aside.write_bytes(data)
        PhotoUpload.objects.filter(pk=upload.pk).update(path=f"{ASIDE}/{identity}.bin")
    elif upload.state == UploadState.OPEN and len(data) == upload.size_bytes:
        try:
            upload = _append(identity, upload.received_bytes, data[upload.received_bytes :], by, at)
        except WrongPlace as wrong:
            # Cut short on the disk, or the device itself is sending just now.
            here = wrong.upload.received_bytes
            upload = _append(identity, here, data[here:], by, at)
        upload = finish_photo(upload_id=upload.pk, at=at)
    elif upload.state == UploadState.OPEN:
        raise Refused(f"{len(data)} bytes are in the file, {upload.size_bytes} were announced.")
    return upload


@transaction.atomic
def _append(identity: UUID, from_byte: int, piece: bytes, by: Person, at: datetime) -> PhotoUpload:
    upload = PhotoUpload.objects.select_for_update().get(identity=identity, agency__in=agencies_of(by))
    if upload.state != UploadState.OPEN:
        return upload
    path = path_of(upload)
    here = path.stat().st_size if path.is_file() else 0
    if here < upload.received_bytes:
        # The file was lost or cut short outside the site: what is here counts.
        upload.received_bytes = here
        upload.save(update_fields=["received_bytes"])
    if from_byte != upload.received_bytes or from_byte + len(piece) > upload.size_bytes:
        raise WrongPlace(upload)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("r+b" if path.is_file() else "x+b") as file:
        file.truncate(upload.received_bytes)
        file.seek(upload.received_bytes)
        file.write(piece)
        file.flush()
        os.fsync(file.fileno())
    upload.received_bytes += len(piece)
    upload.touched_at = at
    upload.save(update_fields=["received_bytes", "touched_at"])
    return upload


def finish_photo(*, upload_id: int, at: datetime) -> PhotoUpload:
    """Hold the whole against its checksum and keep it as a photograph of its structure. Safe to run twice."""
    upload = PhotoUpload.objects.select_related("structure", "person").get(pk=upload_id)
    if upload.state != UploadState.OPEN or upload.received_bytes < upload.size_bytes:
        return upload
    path = path_of(upload)
    data = path.read_bytes() if path.is_file() else b""
    if len(data) != upload.size_bytes or hashlib.sha256(data).hexdigest() != upload.sha256:
        return _begin_anew(upload, at)
    if upload.structure is None:
        return _set_aside(
            upload, "The structure is not in the register any more; the photograph is kept at the office.", at
        )
    try:
        document = receive_photo(
            structure=upload.structure, data=data, by=upload.person, at=at, **_told_by_device(upload, at)
        )
    except RefusedAtInventory as refused:
        return _set_aside(upload, f"{refused.sentence} What came is kept at the office.", at)
    upload = _conclude(upload, at, state=UploadState.KEPT, document=document, path="", problem="")
    transaction.on_commit(lambda: path.unlink(missing_ok=True))
    link_arrived(upload.identity, at)
    return upload


def _told_by_device(upload: PhotoUpload, at: datetime) -> dict:
    """Caption, moment and place; a moment still to come is left out, the clock of the device is wrong then."""
    taken_at = moment_from(upload.about.get("taken_at"))
    if taken_at is not None and (taken_at > at or taken_at.year < 1990):
        taken_at = None
    lon, lat = upload.about.get("lon"), upload.about.get("lat")
    has_place = all(isinstance(v, int | float) for v in (lon, lat)) and abs(lon) <= 180 and abs(lat) <= 90
    return {
        "title": upload.about.get("caption") or "",
        "identity": upload.identity,
        "taken_at": taken_at,
        "taken_on": timezone.localtime(taken_at).date() if taken_at else None,
        "lon": lon if has_place else None,
        "lat": lat if has_place else None,
    }


def _begin_anew(upload: PhotoUpload, at: datetime) -> PhotoUpload:
    wrong = int(upload.about.get("wrong") or 0) + 1
    upload.about["wrong"] = wrong
    if wrong >= MOST_WRONG:
        return _set_aside(
            upload, "What came disagrees with its checksum again and again; it is kept at the office.", at
        )
    said = "What came disagrees with its checksum: the photograph is fetched again from the beginning."
    throw_away(upload.identity)
    return _conclude(upload, at, received_bytes=0, problem=said, about=upload.about)


def _set_aside(upload: PhotoUpload, problem: str, at: datetime) -> PhotoUpload:
    aside = Path(settings.MEDIA_ROOT) / ASIDE / f"{upload.identity}.bin"
    aside.parent.mkdir(parents=True, exist_ok=True)
    path = path_of(upload)
    if path.is_file():
        os.replace(path, aside)
    return _conclude(
        upload,
        at,
        state=UploadState.REFUSED,
        problem=problem[:300],
        path=f"{ASIDE}/{upload.identity}.bin",
        about=upload.about,
    )


@transaction.atomic
def _conclude(upload: PhotoUpload, at: datetime, **values) -> PhotoUpload:
    fresh = PhotoUpload.objects.select_for_update().get(pk=upload.pk)
    if fresh.state == UploadState.OPEN:
        for name, value in {**values, "touched_at": at}.items():
            setattr(fresh, name, value)
        fresh.save()
    return fresh


def path_of(upload: PhotoUpload) -> Path:
    """Where the bytes of an upload lie."""
    return Path(settings.MEDIA_ROOT) / (upload.path or f"{ARRIVING}/{upload.identity}.part")


def throw_away(identity: UUID) -> None:
    """The pieces that came so far."""
    (Path(settings.MEDIA_ROOT) / ARRIVING / f"{identity}.part").unlink(missing_ok=True)
