"""A day in the field as a person has it: far from any signal, with a telephone that is closed, started again, wrong.

The law behind every check is the same: what was entered reaches the office exactly once, byte for byte, or stays on the
telephone and says so. Nothing is compared with what the app itself reports: the office's table and files are read.
"""

import re
from datetime import date

import pytest

from .field_held import Records, sha256
from .field_person import Line, new_telephone, numbers_offered, picture, put_away, quick_visit, telephone_with_disk

pytestmark = pytest.mark.browser


def tapped(card, place: int, across: float) -> None:
    """A finger on a drawing, so far across it (0 to 1)."""
    drawing = card.locator(".drawing-box").nth(place)
    box = drawing.bounding_box()
    drawing.tap(position={"x": box["width"] * across, "y": box["height"] / 2})


def placed_by_tapping(card) -> None:
    """On the elevation and on the section; what it gives stands as numbers. The span first, where there are more."""
    span = card.locator("[data-field=span_index]").get_by_label("1 span")
    if span.count():
        span.check()
    tapped(card, 0, 0.4)
    tapped(card, 1, 0.3)
    assert float(card.locator("[name=station_ft]").input_value()) > 0
    assert int(card.locator("[name=member_number]").input_value()) >= 1


# Kind, sizes and face of one finding a structure; a crack across the grain is never whole without its photograph.
FINDINGS = (
    ("Crack across the grain", "crack", {"depth_in": "1/2"}, "Bottom"),
    ("Decay on a face", "surface_decay", {"extent_ft": "2 1/2", "depth_in": "3/4"}, "Top"),
    ("Check or shake", "check", {"extent_ft": "4", "depth_in": "0.5"}, "Top"),
)


def enter_finding(phone, row, photo: bytes) -> None:
    """One finding with its place, its evidence and its photograph; what lacks is said until nothing does."""
    kind, _, sizes, face = row
    card = phone.new_finding(kind)
    still = card.locator(".still")
    assert "Still missing" in still.inner_text() and "the face" in still.inner_text()
    placed_by_tapping(card)
    for name, typed in sizes.items():
        card.locator(f"[name={name}]").fill(typed)
    card.get_by_label(face, exact=True).check()
    asks_for_photo = "photo" in still.inner_text()
    assert asks_for_photo == (kind == "Crack across the grain")
    phone.photograph(card, photo)
    card.locator("canvas").wait_for()
    still.get_by_text("Nothing is missing").wait_for()
    card.get_by_label("Note").fill(f"Seen at {kind.lower()}.")
    card.get_by_role("button", name="Done with this finding").click()


def enter_visit(phone, number: str) -> str:
    identity = phone.begin(number)
    visit = phone.page.locator("#visit")
    phone.lead()
    visit.get_by_label("Team", exact=True).fill("Oakes, Sorrel")
    visit.get_by_role("button", name="Dry").click()
    visit.get_by_role("textbox", name="Air temperature").fill("52")
    phone.answer_last_time()
    phone.rate()
    return identity


def missing(phone) -> str:
    """What the end of the form still asks for."""
    phone.page.wait_for_timeout(600)  # the list is made anew half a second after a change
    return phone.page.locator("#finish [role=status]").inner_text()


def test_a_day_without_signal_reaches_the_office_once_and_whole(browser, site, tmp_path):
    disk = tmp_path / "telephone"
    records = Records(site)
    at_first = records.count()
    photos = [picture(f"day {place}") for place in range(3)]
    phone = telephone_with_disk(browser, site, disk)
    phone.sign_in()
    numbers = phone.take_along()[:3]
    phone.context.set_offline(True)
    phone.open()
    identities = []
    for place, number in enumerate(numbers):
        identity = enter_visit(phone, number)
        identities.append(identity)
        enter_finding(phone, FINDINGS[place], photos[place])
        phone.saved()
        before = phone.work(identity)["body"]
        phone = closed_and_opened(phone, place, browser, site, disk)
        assert phone.work(identity)["body"] == before, "what was entered is not what is there"
        phone.go_on(identity)
        assert phone.page.locator("#visit [name=team]").input_value() == "Oakes, Sorrel"
        assert "Still missing" not in missing(phone), missing(phone)
        phone.hand_in()
        phone.page.get_by_role("heading", name="Handed in").wait_for()
    assert phone.page.inner_text("#unsent-count") == "Unsent: 3 records, 3 photos"
    assert not any(records.inspections(identity) for identity in identities)
    phone.at("#/")
    phone.context.set_offline(False)
    if phone.page.locator("#note-signed-out").count():
        phone.sign_in()
    phone.until_sent()
    assert records.count() == at_first + 3
    for identity, photo, row in zip(identities, photos, FINDINGS, strict=True):
        held = records.one(identity)
        assert held.state != "draft" and held.completed_on == str(date.today())
        assert held.findings.count(row[1]) >= 1 and held.photos == [sha256(photo)]
        assert records.receipts(identity) == ["filed"], "more than one record went"
    put_away(phone.context)


def closed_and_opened(phone, place, browser, site, disk):
    """First the page only, then the whole browser (the telephone started again), then not at all."""
    if place == 0:
        phone.close_page()
    elif place == 1:
        put_away(phone.context)
        phone = telephone_with_disk(browser, site, disk)
        phone.context.set_offline(True)
    phone.open()
    return phone


@pytest.fixture
def phone(browser, site):
    made = new_telephone(browser, site)
    made.sign_in()
    yield made
    put_away(made.context)


@pytest.fixture
def records(site):
    return Records(site)


def press_until_sent(phone, most: int = 60) -> None:
    """As an impatient person does; each press goes as far as the line lets it."""
    phone.at("#/unsent")
    for _ in range(most):
        phone.page.get_by_role("button", name="Send now").dblclick()
        phone.page.wait_for_timeout(300)
        if phone.page.inner_text("#unsent-count") == "Nothing unsent":
            return
    phone.until_sent()


def every_second_dropped_and_some_answers_lost(request, turn: int) -> str:
    return "dropped" if turn % 2 == 0 else "lost" if turn % 6 == 3 else "through"


def test_a_line_that_drops_every_second_request_and_two_taps_make_no_second_record(phone, records):
    number = phone.take_along(numbers_offered(phone)[0])[0]
    line, at_first = Line(phone.context, every_second_dropped_and_some_answers_lost), records.count()
    photos = [picture(f"flaky {place}", 1280, 960, rough=True) for place in range(3)]
    assert all(len(photo) > 256 * 1024 for photo in photos), "each should need more than one piece"
    identity = quick_visit(phone, number, "Rail post bent at the second panel.", *photos)
    phone.page.get_by_role("button", name="Hand in", exact=True).dblclick()
    phone.page.get_by_role("heading", name=re.compile("Handed in|Sent")).wait_for()
    press_until_sent(phone)
    held = records.one(identity)
    assert records.count() == at_first + 1
    assert held.state != "draft" and held.findings == ["other"]
    assert held.photos == sorted(sha256(photo) for photo in photos)
    assert records.receipts(identity) == ["filed"]
    assert {what for _, _, what in line.asked} == {"dropped", "lost", "through"}
    assert phone.work(identity) is None, "the office has it, and the telephone keeps it"


def test_an_answer_lost_after_the_office_had_the_record_makes_no_second_one(phone, records):
    number = phone.take_along(numbers_offered(phone)[1])[0]
    lost = []

    def fate(request, turn: int) -> str:
        if request.method == "POST" and "/records/" in request.url and len(lost) < 2:
            lost.append(turn)
            return "lost"
        return "through"

    Line(phone.context, fate)
    identity = quick_visit(phone, number, "Deck scraped.")
    phone.hand_in()
    phone.page.get_by_role("heading", name="Handed in").wait_for()
    # The answer is lost, and the person thinks of something more before it is asked for again.
    phone.page.get_by_role("button", name="Open it again to change it").click()
    phone.page.get_by_label("Notes on the whole").fill("Deck scraped, and the rail too.")
    phone.saved()
    phone.hand_in()
    press_until_sent(phone)
    assert len(lost) == 2
    told = records.one(identity)
    # What is handed in is changed only by way of the engineer: the newer words are kept apart, not dropped in silence.
    if told.notes != "Deck scraped, and the rail too.":
        assert "held" in records.receipts(identity)


def test_a_sign_in_run_out_in_the_middle_loses_nothing_and_is_not_tried_blindly(phone, records):
    number = phone.take_along(numbers_offered(phone)[2])[0]
    line = Line(phone.context)
    photo = picture("signed out")
    identity = quick_visit(phone, number, "Guard post gone.", photo)
    phone.context.clear_cookies(name="sessionid")
    phone.hand_in()
    phone.page.locator("#note-signed-out").wait_for()
    asked = len(line.asked)
    phone.page.wait_for_timeout(5000)  # longer than the first waits of the back-off together
    assert len(line.asked) == asked, line.asked[asked:]
    assert records.inspections(identity) == [] and phone.work(identity)["state"] == "ready"
    phone.page.locator("#note-signed-out").get_by_role("link", name="Sign in").click()
    phone.page.wait_for_url(re.compile("/sign-in/"))
    phone.sign_in()
    phone.until_sent()
    assert records.one(identity).photos == [sha256(photo)] and records.receipts(identity) == ["filed"]


# The telephone's clock a year ahead, in the page only, as where a battery was out.
A_YEAR_AHEAD = """(() => {
  const Right = Date;
  const ahead = 365 * 864e5;
  globalThis.Date = class extends Right {
    constructor(...given) { super(...(given.length ? given : [Right.now() + ahead])); }
    static now() { return Right.now() + ahead; }
  };
})()"""


def test_a_clock_wrong_by_a_year_hands_in_nothing_dated_next_year_in_silence(phone, records):
    number = phone.take_along(numbers_offered(phone)[3])[0]
    phone.context.set_offline(True)
    phone.page.add_init_script(A_YEAR_AHEAD)
    phone.open()
    identity = quick_visit(phone, number, "Approach slab broken.")
    day = phone.page.get_by_label("Day of the field work").input_value()
    assert int(day[:4]) == date.today().year + 1, "the telephone had no way to know better"
    phone.hand_in()
    phone.page.get_by_role("heading", name="Handed in").wait_for()
    phone.context.set_offline(False)
    phone.page.get_by_role("heading", name="kept there as a draft").wait_for()
    held = records.one(identity)
    assert held.state == "draft"
    assert "still to come" in phone.page.locator(".frozen").inner_text()
    # Now the office's clock is known: the form itself says that the day is wrong, and the right one goes through.
    phone.page.get_by_role("button", name="Open it again to change it").click()
    phone.page.locator("#visit").get_by_text("is still to come; today is").wait_for()
    phone.page.get_by_label("Day of the field work").fill(str(date.today()))
    phone.saved()
    phone.hand_in()
    phone.until_sent()
    held = records.one(identity)
    assert held.state != "draft" and held.completed_on == str(date.today())


def test_forty_photographs_of_one_inspection_arrive_byte_for_byte(phone, records):
    number = phone.take_along(numbers_offered(phone)[4])[0]
    phone.context.set_offline(True)
    phone.open()
    photos = [picture(f"forty {place}") for place in range(40)]
    identity = quick_visit(phone, number, "Every panel point of the truss.", *photos)
    assert phone.page.inner_text("#unsent-count") == "Unsent: 1 record, 40 photos"
    phone.hand_in()
    phone.page.get_by_role("heading", name="Handed in").wait_for()
    phone.context.set_offline(False)
    phone.until_sent()
    assert records.one(identity).photos == sorted(sha256(photo) for photo in photos)


ROOM_BYTES = 4_000_000


def test_a_telephone_nearly_full_says_so_and_keeps_what_it_had(browser, site, records):
    phone = new_telephone(browser, site)
    # Before the store is opened: the browser remembers for a while how much room there was.
    phone.page.goto(f"{site.address}/sign-in/?next=/field/")
    cdp = phone.context.new_cdp_session(phone.page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": site.address, "quotaSize": ROOM_BYTES})
    phone.sign_in()
    number = phone.take_along(numbers_offered(phone)[5])[0]
    phone.context.set_offline(True)
    phone.open()
    kept = picture("kept before it was full")
    identity = quick_visit(phone, number, "Before the room ran out.", kept)
    whole = phone.page.locator("#photos")
    # Large enough to be drawn anew: only what the page has made itself counts against its room in this browser.
    many = [picture(f"full {place}", 1600, 1200, rough=True) for place in range(12)]
    assert all(len(each) > 600_000 for each in many)
    phone.photograph(whole, *many)
    whole.get_by_text("could not be kept").first.wait_for()
    assert "It stays where it is on this device" in whole.inner_text()
    there = [row["sha256"] for row in phone.on_disk("photos") if row["work"] == identity]
    assert sha256(kept) in there and len(there) < 13
    assert phone.work(identity)["body"]["inspection"]["notes"] == "Before the room ran out."
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": site.address})
    phone.saved()
    phone.hand_in()
    phone.page.get_by_role("heading", name="Handed in").wait_for()
    phone.context.set_offline(False)
    phone.until_sent()
    assert records.one(identity).photos == sorted(there), "what was kept is what arrived, and nothing else"
    put_away(phone.context)
