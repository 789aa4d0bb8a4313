"""The record as a person meets it: type, save, restart, reopen, correct; a new check; failed saves; the dossier."""

import random
import re
import shutil
from pathlib import Path

from PIL import Image
from playwright.sync_api import expect

from rotorkit.aircraft import set_value
from rotorkit.record import Record, verify
from tests.browser.driver import FRONT, OWN, Desk
from tests.browser.test_notebooks import VERDICT, look_at, opened
from tests.record.drives import fill, read_only_drive, small_drive

STATE = f"{FRONT} .rotorkit-form .rotorkit-kept"


def state(desk: Desk, said: str) -> None:
    """The form's top says so in words, and says it once."""
    found = desk.page.locator(STATE)
    expect(found).to_have_count(1)
    expect(found).to_contain_text(said)


def read(desk: Desk, dial: str) -> None:
    """Type a reading and look at what was understood: what has not been worked yet is not saved."""
    desk.fill("Dial reading", dial)
    desk.wait_text(f"understood: {dial}")


def save(desk: Desk, who: str = "A. Builder", note: str = "") -> None:
    desk.fill("Work done by", who)
    if note:
        if not desk.field("Note").count():
            look_at(desk, "Note, history")
        desk.field("Note").fill(note)
    desk.button("Save to the record").press("Enter")


def test_type_save_restart_reopen_correct(desk: Desk) -> None:
    opened(desk, "cable_tension")
    state(desk, "Never saved.")
    read(desk, "28; 28.5; 28")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
    save(desk, note="after rigging\n<b>bold</b>")
    desk.wait_text(re.compile("Saved as entry 1"))
    state(desk, "Saved. What is in the form is in the record: entry 1")
    read(desk, "19; 19; 19")
    state(desk, "Changed since saved.")
    desk.look("record-changed")

    desk.restart_kernel()
    desk.run_all()
    assert desk.field("Dial reading").input_value() == "19; 19; 19", "what was typed and not saved is there again"
    look_at(desk, "Note, history")
    state(desk, "Changed since saved. Your draft of ")
    read(desk, "28; 28.5; 28")
    state(desk, "Saved.")
    desk.page.goto("about:blank")
    desk.lab.end_kernels()
    opened(desk, "cable_tension")
    assert desk.field("Dial reading").input_value() == "28; 28.5; 28"
    look_at(desk, "Note, history")
    desk.wait_text("<b>bold</b>")

    read(desk, "27; 27; 27.5")
    desk.field("Save it as").select_option(index=1)
    desk.button("Save to the record").press("Enter")
    desk.wait_text(re.compile("Say who did the work: a name or initials; say why this corrects entry 1"))
    desk.fill("Why it is corrected", "the gauge stood on the wrong riser")
    save(desk)
    desk.wait_text(re.compile("Saved as entry 2, which replaces entry 1"))
    desk.wait_text("Replaced by entry 2.")
    desk.wait_text(re.compile("Corrects entry 1: the gauge stood on the wrong riser"))
    read(desk, "26; 26; 26")
    save(desk)
    desk.wait_text(re.compile("Saved as entry 3"))
    over_time = desk.page.locator(f"{FRONT} [role=img][aria-label*='over time']")
    expect(over_time).to_be_visible()
    assert desk.field("Save it as").input_value() == "a new entry"
    desk.look("record-section", desk.page.locator(f"{FRONT} .rotorkit-panel"))

    desk.field("Start again from").select_option(index=2)
    desk.button("Put these readings into the form").press("Enter")
    desk.wait_text(re.compile("The readings of entry 1 are now in the form"))
    assert desk.field("Dial reading").input_value() == "28; 28.5; 28"
    state(desk, "Changed since saved.")
    assert desk.axe() == []
    record = Record(desk.folder)
    assert [entry.replaces for entry in record.entries()] == [None, 1, None]
    assert verify(record).whole


def test_a_new_check_begins_in_the_form(desk: Desk) -> None:
    opened(desk, "cable_tension")
    desk.field("Readings of").select_option(label="a new check (an empty form)")
    expect(desk.field("Name of the new check")).to_be_visible()
    for label, text in (("Riser", "1"), ("Dial reading", "27; 27; 27"), ("Temperature of the airframe", "60 °F")):
        desk.fill(label, text)
    desk.fill("Name of the new check", "Left pedal, after ten hours")
    save(desk)
    desk.wait_text(re.compile("Saved as entry 1"))
    assert desk.field("Readings of").input_value() == "Left pedal, after ten hours"
    desk.restart_kernel()
    desk.run_all()
    desk.field("Readings of").select_option(label="Left pedal, after ten hours")
    state(desk, "Saved.")
    assert desk.field("Dial reading").input_value() == "27; 27; 27"


def test_a_full_and_a_read_only_drive_keep_what_was_typed(desk: Desk) -> None:
    made, place = desk.folder, desk.lab.root / "small-drive"
    place.mkdir()
    with small_drive("2m", place) as drive:
        shutil.copytree(made, drive, dirs_exist_ok=True)
        desk.folder = drive
        opened(desk, "cable_tension")
        read(desk, "28; 28; 28")
        fill(drive)
        save(desk, note="a note")
        desk.wait_text(re.compile("is full. Make room, then save again. Nothing was saved"))
        desk.look("record-full")
        (drive / "filler").unlink()
        with read_only_drive(drive):
            desk.button("Save to the record").press("Enter")
            desk.wait_text(re.compile("read-only.* Nothing was saved; what you typed is still in the form"))
        assert desk.field("Dial reading").input_value() == "28; 28; 28"
        assert desk.field("Note").input_value() == "a note"
        state(desk, "Never saved.")
        desk.button("Save to the record").press("Enter")
        desk.wait_text(re.compile("Saved as entry 1"))
        desk.lab.end_kernels()
    desk.folder = made


def test_a_damaged_record_is_told_and_what_was_typed_stays(desk: Desk) -> None:
    opened(desk, "cable_tension")
    read(desk, "28; 28; 28")
    (desk.folder / "record.sqlite").write_bytes(b"")
    save(desk, note="a note")
    desk.wait_text(re.compile("record.sqlite is empty .*cut off"))
    desk.wait_text(re.compile("Nothing was saved; what you typed is still in the form"))
    assert desk.field("Dial reading").input_value() == "28; 28; 28"
    assert desk.field("Note").input_value() == "a note"
    assert desk.field("Work done by").input_value() == "A. Builder"
    desk.look("record-failed")
    (desk.folder / "record.sqlite").unlink()
    desk.button("Save to the record").press("Enter")
    desk.wait_text(re.compile("Saved as entry 1"))


def test_worksheet_photographs_board_and_dossier(desk: Desk) -> None:
    opened(desk, "hover_margin")
    worksheet_and_photographs(desk, "hover_today")
    opened(desk, "home")
    desk.wait_text(re.compile(r"First engine run: \d+ of \d+ jobs need work"))
    desk.wait_text(re.compile("entry 3"))
    desk.look("record-board")
    desk.button("Write the dossier").press("Enter")
    desk.wait_text(re.compile("Written: dossier.html"), seconds=60)
    page = desk.folder / "dossier.html"
    assert page.is_file()
    desk.look("record-dossier-written")
    view(desk, page)
    for name in ("dossier.pdf", "dossier.html"):
        desk.outputs.get_by_role("link", name=name, exact=True).press("Enter")
        expect(desk.page.get_by_role("tab", name=name)).to_be_visible()
        desk.page.get_by_role("tab", name="home.ipynb").click()
    desk.button("Weight and balance").press("Enter")
    desk.wait_text(re.compile("It is not complete, and says so"), seconds=60)
    report = desk.outputs.get_by_role("link", name=re.compile(r"^weight.*\.pdf$"))
    report.press("Enter")
    expect(desk.page.get_by_role("tab", name=re.compile(r"^weight.*\.pdf$"))).to_be_visible()


def worksheet_and_photographs(desk: Desk, check: str) -> None:
    """A worksheet written, and photographs attached to what is saved, by keyboard alone: together they are more than a
    web server takes at once by itself."""
    # from now on, not only from the moment before the key: that may come first
    desk.page.on("filechooser", lambda _chooser: None)
    look_at(desk, "Worksheet")
    desk.button("Write the worksheet (PDF)").press("Enter")
    link = desk.outputs.get_by_role("link", name=f"worksheet_{check}.pdf")
    expect(link).to_be_visible(timeout=20000)
    assert (desk.folder / f"worksheet_{check}.pdf").read_bytes().startswith(b"%PDF")
    desk.look("record-worksheet")

    look_at(desk, "Photos")
    desk.wait_text(re.compile("Photographs belong to a saved check"))
    pick = desk.button("Choose photographs to attach (0)")  # the widget itself counts
    expect(pick).to_be_disabled()
    save(desk)
    desk.wait_text(re.compile("They are attached to entry 1"))
    expect(pick).to_be_enabled()
    noisy = [desk.folder / f"rivets {i}.png" for i in (1, 2)]
    for i, file in enumerate(noisy):  # noise: it does not become smaller
        noise = random.Random(i).randbytes(1600 * 1400 * 3)
        Image.frombytes("RGB", (1600, 1400), noise).save(file, compress_level=0)
    assert sum(file.stat().st_size for file in noisy) > 12_000_000
    desk.field("Attached by").press("Tab")
    expect(pick).to_be_focused()
    with desk.page.expect_file_chooser() as chooser:
        desk.page.keyboard.press("Enter")
    chooser.value.set_files(noisy)
    desk.wait_text(re.compile("2 photographs attached: saved as entry 2, which replaces entry 1"), seconds=30)
    expect(desk.outputs.get_by_role("img", name="Photograph rivets 2.png")).to_be_visible()
    desk.look("record-photographs")
    assert desk.axe() == []
    for name, data, said in (
        ("notes.png", b"no picture", "notes.png is not a photograph that can be shown"),
        ("of a telephone.heic", b"\0\0\0\x18ftypheic" + bytes(40), "of a telephone.heic .*HEIC file"),
        ("cut off.jpg", b"", "cut off.jpg is an empty file"),
    ):
        (desk.folder / name).write_bytes(data)
        with desk.page.expect_file_chooser() as chooser:
            pick.press("Enter")
        chooser.value.set_files(desk.folder / name)
        desk.wait_text(re.compile(said))
    assert len(Record(desk.folder).entries()) == 2
    assert [one.name for one in Record(desk.folder).entry(2).photographs] == [file.name for file in noisy]
    large = desk.folder / "twenty million points.jpg"
    Image.radial_gradient("L").resize((5200, 3900)).convert("RGB").save(large)
    with desk.page.expect_file_chooser() as chooser:
        pick.press("Enter")
    chooser.value.set_files(large)
    desk.wait_text(re.compile("1 photograph attached: saved as entry 3, which replaces entry 2"), seconds=30)
    expect(desk.outputs.get_by_role("img", name="Photograph twenty million points.jpg")).to_be_visible()
    look_at(desk, "Worksheet")
    link.press("Enter")
    expect(desk.page.get_by_role("tab", name=f"worksheet_{check}.pdf")).to_be_visible()


def view(desk: Desk, page: Path) -> None:
    """The document by itself, without scripts, asking nobody for anything."""
    text = page.read_text("utf-8")
    assert "<script" not in text
    other = desk.page.context.new_page()
    other.on("request", lambda asked: None if asked.url.startswith(OWN) else desk.requests.append(asked.url))
    other.set_content(text)
    expect(other.get_by_text("Hover, with two aboard").first).to_be_visible()
    for name in ("rivets 1.png", "twenty million points.jpg"):
        expect(other.get_by_role("img", name=f"Photograph {name}").first).to_be_visible()
    desk.look("record-dossier", other)
    other.close()


def test_an_open_form_follows_what_is_changed_elsewhere_and_keeps_the_field_that_is_typed_in(desk: Desk) -> None:
    opened(desk, "cable_tension")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
    desk.field("Dial reading").focus()
    file = desk.folder / "aircraft.toml"
    before = file.read_text("utf-8")
    set_value(file, "cables.pedal_left.limits.tension", {"low": "90 lbf", "high": "95 lbf", "source": "by hand"})
    desk.wait_text("The aircraft file was changed elsewhere: worked out again with it.")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("out of limits")
    expect(desk.field("Dial reading")).to_be_focused()
    desk.look("record-changed-elsewhere")
    file.write_text(before + "\n[cables", encoding="utf-8")
    desk.wait_text(re.compile("A file cannot be read as it is now"))
    desk.look("record-cannot-be-read")
    file.write_text(before, encoding="utf-8")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
