"""The form on the device, as a person fills it in by the bridge: offline, on a telephone, with a finger."""

import hashlib
import io

import pytest
from PIL import Image

from .conftest import keep_picture
from .field_telephone import BARS, ON_DISK, inspectors_telephone, start_finding

pytestmark = pytest.mark.browser


telephone = pytest.fixture(scope="module")(inspectors_telephone)


@pytest.fixture
def field(telephone):
    return telephone.opened


def press(drawing, shape) -> None:
    """A finger on the middle of a shape of a drawing."""
    there, whole = shape.bounding_box(), drawing.bounding_box()
    x = there["x"] + there["width"] / 2 - whole["x"]
    y = there["y"] + there["height"] / 2 - whole["y"]
    drawing.click(position={"x": x, "y": y})


def test_an_inspection_entered_offline_stands_on_the_device_as_typed(field):
    phone = field()
    page = phone.page
    phone.begin()
    page.locator("#visit [name=team]").fill("Oakes, Sorrel")
    page.locator("#visit [name=air_temp_f]").fill("41")

    # Last time's findings by one press each.
    before = page.locator("#last-time li.card")
    assert before.count() >= 2
    before.nth(0).get_by_role("button", name="As before").click()
    before.nth(1).get_by_role("button", name="Repaired or gone").click()

    card = start_finding(page, "surface_decay")
    still = card.locator(".still")
    assert "the face" in still.inner_text() and "the depth" in still.inner_text()
    elevation, section = card.locator(".drawing-box").nth(0), card.locator(".drawing-box").nth(1)
    press(elevation, elevation.locator("circle.bar[data-bar='3']"))
    press(section, section.locator("rect.lamination").nth(24))
    card.locator("[name=extent_ft]").fill("3 1/2")
    card.get_by_label("Top").check()
    card.locator("[name=depth_in]").fill("1-1/4")
    card.locator("[name=note]").fill("Soft under the drain.")
    assert "Nothing is missing" in still.inner_text()
    elevation.scroll_into_view_if_needed()
    keep_picture(page, "field-form-phone", full_page=False)

    read_second_bar(page)
    page.locator("#rating-deck").get_by_label("5 Fair").check()

    body = phone.work()["body"]
    assert body["inspection"]["team"] == "Oakes, Sorrel" and body["inspection"]["air_temp_f"] == 41
    assert body["inspection"]["deck_rating"] == "5"
    assert_as_typed(body["findings"], phone.pack)

    # Closed and opened again, everything is there.
    page.reload()
    page.locator("#finish").wait_for()
    assert page.locator("#visit [name=team]").input_value() == "Oakes, Sorrel"
    assert phone.work()["body"] == body
    hand_in_unfinished(phone)


def read_second_bar(page) -> None:
    """Bar 2 read three times on the gauge of the first jack."""
    bars = page.locator("#bars")
    bars.get_by_role("button", name="Next bar").click()
    bars.get_by_label("Lift-off").check()
    bars.get_by_label("psi on the gauge").check()
    bars.locator("[name=jack]").select_option(index=1)
    bars.get_by_text("Read again").click()
    for place, psi in enumerate((5000, 5100, 5200), start=1):
        bars.locator(f"[name=reading-{place}]").fill(str(psi))


def test_a_force_no_bar_may_carry_stops_the_jack(field):
    phone = field()
    phone.begin("Bar-force check")
    bars = phone.page.locator("#bars")
    bars.get_by_label("Load cell").check()
    bar = phone.pack["spans"][0]["bars"][0]
    # 0.70 of strength times net area: EM 7700-8 chapter 9 and AASHTO LRFD 9.9.5.6 [memory].
    limit_lb = 0.70 * bar["tensile_psi"] * bar["net_area_in2"]
    bars.locator("[name=reading-1]").fill(f"{limit_lb * 1.02:.0f}")
    assert f"limit of {limit_lb:,.0f} lb" in bars.locator(".caution", has_text="stop jacking").inner_text()
    bars.locator("[name=reading-1]").fill(f"{limit_lb * 0.98:.0f}")
    bars.locator(".caution", has_text="stop jacking").wait_for(state="detached")


def assert_as_typed(findings: list[dict], pack: dict) -> None:
    same, gone, decay, reading = findings
    assert (same["change"], gone["change"], decay["change"]) == ("same", "gone", "new")
    assert (decay["extent_ft"], decay["depth_in"], decay["face"]) == (3.5, 1.25, "top")
    assert decay["note"] == "Soft under the drain."
    # The bar under the finger stands where the register says; a tenth of a foot is the width of a line.
    third = next(bar for bar in pack["spans"][0]["bars"] if bar["position"] == 3)
    assert decay["station_ft"] == pytest.approx(third["station_ft"], abs=0.2)
    # The 25th lamination from the left.
    assert decay["member_number"] == 25
    # 5100 psi on the mean of three; pounds = psi times what the jack's calibration says.
    per_psi = pack["jacks"][0]["pounds_per_psi"]
    assert reading["gauge_psi"] == pytest.approx(5100)
    assert reading["force_lb"] == pytest.approx(5100 * per_psi)
    assert reading["repeats_lb"] == pytest.approx([5000 * per_psi, 5100 * per_psi, 5200 * per_psi])
    assert (reading["force_method"], reading["bar"]) == ("lift_off", pack["spans"][0]["bars"][1]["id"])


def hand_in_unfinished(phone) -> None:
    """Handed in although something is missing: only after it was said that it arrives as a draft."""
    page = phone.page
    page.get_by_role("button", name="Hand in", exact=True).click()
    assert "draft" in page.locator("#finish [role=alert]").inner_text()
    assert phone.kept()["state"] == "open"
    page.get_by_role("button", name="Hand in all the same").click()
    page.get_by_role("heading", name="Handed in").wait_for()
    work = phone.kept()
    assert work["state"] == "ready" and work["body"]["inspection"]["submit"] is True


def big_photograph() -> bytes:
    """4000 x 3000 px lying on its side (orientation 6, Exif 2.32), with the place written into it."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "Secret camera"
    exif.get_ifd(0x8825)[1] = "N"
    kept = io.BytesIO()
    Image.linear_gradient("L").resize((4000, 3000)).convert("RGB").save(kept, "JPEG", exif=exif, quality=90)
    assert b"Secret camera" in kept.getvalue()
    return kept.getvalue()


def test_a_photograph_is_made_smaller_and_loses_what_the_camera_wrote(field):
    phone = field()
    page = phone.page
    phone.begin()
    chooser = page.locator("#photos input[type=file]").nth(1)
    chooser.set_input_files(
        [
            {"name": "big.jpg", "mimeType": "image/jpeg", "buffer": big_photograph()},
            {"name": "list.pdf", "mimeType": "application/pdf", "buffer": b"%PDF-1.4"},
        ]
    )
    page.locator("#photos li canvas").wait_for()
    page.locator("#photos").get_by_text("list.pdf is not a picture").wait_for()
    page.locator("#photos [name=caption]").fill("Upstream face")
    page.wait_for_timeout(600)
    (photo,) = page.evaluate(
        f"""async () => Promise.all((await ({ON_DISK})("photos")).map(async (photo) => (
          {{ ...photo, blob: [...new Uint8Array(await photo.blob.arrayBuffer())] }})))"""
    )
    sent = bytes(photo["blob"])
    picture = Image.open(io.BytesIO(sent))
    # Upright: 3000 x 4000, its longest side 2400 px, so 1800 x 2400.
    assert (picture.format, picture.size) == ("JPEG", (1800, 2400))
    assert not picture.getexif() and b"Exif" not in sent and b"Secret" not in sent
    assert photo["sha256"] == hashlib.sha256(sent).hexdigest() and photo["size_bytes"] == len(sent)
    assert photo["caption"] == "Upstream face" and photo["finding"] is None and photo["taken_at"]

    page.get_by_role("button", name="Remove this photograph").click()
    page.get_by_role("button", name="Put it back").click()
    page.locator("#photos li canvas").wait_for()
    assert [row["identity"] for row in page.evaluate(ON_DISK, "photos")] == [photo["identity"]]


def test_a_critical_finding_takes_two_presses_and_says_first_whom_to_call(field):
    phone = field(contacts=[{"role": "sheriff", "name": "Sheriff", "phone": "555-0100", "note": ""}])
    page = phone.page
    phone.begin()
    page.get_by_role("link", name="Critical finding: call now").click()
    page.locator(".critical .orders").wait_for()
    keep_picture(page, "critical-phone", full_page=False)
    orders = page.locator("main").inner_text()
    said = [orders.index(words) for words in ("Stay.", "Block the road.", "Call.", "Then record.", "Call now")]
    assert said == sorted(said) and said[-1] < orders.index("Bridge closed")
    page.get_by_role("button", name="Bridge closed, whole or in part").click()
    page.get_by_text("Recorded").first.wait_for()
    work = phone.critical()
    critical = work["body"]["critical"]
    assert (work["state"], critical["kind"], work["number"]) == ("ready", "closure", BARS)
    assert critical["identity"] == work["identity"] and critical["words"] and critical["found_at"]

    page.get_by_role("button", name="Told the sheriff now").click()
    page.locator(".critical [name=words]").fill("Stringer 4 broken through.")
    page.wait_for_timeout(3000)
    work = phone.critical()
    assert work["body"]["critical"]["words"] == "Stringer 4 broken through."
    assert [notice["role"] for notice in work["body"]["critical"]["notices"]] == ["sheriff"]


DRAFT, CHECK = "0b0fdc56-6f3c-4c50-9a6e-9f5a4f4f1a10", "1d9bd1f7-0a9e-4c0e-8f0e-2c1f7f0f7a11"
ASKED = [
    {"finding": CHECK, "field": "depth_in", "words": "The depth of the check", "was": None},
    {"finding": "", "field": "photo", "words": "A photograph of the upstream face", "was": None},
]
SENT_BACK = {
    "identity": DRAFT,
    "kind": "routine",
    "state": "sent_back",
    "revision": 3,
    "review_reason": "How deep is the check?",
    "inspection": {"field_completed_on": "2026-03-02", "team": "Oakes", "deck_rating": "6"},
    "asked": [{**row, "answered": False, "why_not": ""} for row in ASKED],
    "findings": [{"identity": CHECK, "kind": "check", "span_index": 1, "station_ft": 4}],
    "elements": [],
}


def test_what_was_sent_back_comes_first_as_a_short_form(field):
    phone = field(drafts=[SENT_BACK])
    page = phone.page
    page.get_by_role("button", name="Go on with it").click()
    page.locator("#asked").wait_for()
    assert page.locator(".field-form section.panel").first.get_attribute("id") == "asked"
    cards = page.locator("#asked li.card")
    assert cards.count() == 2 and "2 of 2 still to answer" in page.locator("#asked .count").inner_text()
    cards.nth(0).locator("[name=depth_in]").fill("0.75")
    cards.nth(1).locator("[name=why_not]").fill("High water")
    page.get_by_text("All that was asked is answered").wait_for()
    work = phone.work()
    assert work["base_revision"] == 3 and work["identity"] == DRAFT
    assert work["body"]["findings"][0]["depth_in"] == 0.75
    assert work["body"]["inspection"]["asked"][1]["why_not"] == "High water"
    assert work["body"]["inspection"]["deck_rating"] == "6"
