"""Pictures and documents of a claim: kept by their content, counted, clean when they leave, refused where hostile."""

from __future__ import annotations

import io
import re
import shutil
import struct
import zipfile
import zlib
from datetime import date
from pathlib import Path

import pytest
from PIL import ExifTags, Image, PngImagePlugin

from models.errors import EvidenceError
from pipelines.review.claims import evidence, packets, pictures
from pipelines.review.claims.picture_reader import MOST_PIXELS, document_fault
from pipelines.shop import durable
from pipelines.shop.settings import Settings
from tests.pipelines.review.claims.claim_shop import claim_shop, opened, settings_in, sheet_of

SCRIPT = "<script>alert(1)</script>"
GPS = {1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)}


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return settings_in(tmp_path)


def put(settings: Settings, name: str, content: bytes, parcel: str = "P1") -> Path:
    folder = durable.make_folder(evidence.folder(settings, parcel))
    (folder / name).write_bytes(content)
    return folder / name


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), colour: str = "red", **more: object) -> bytes:
    written = io.BytesIO()
    Image.new("RGB", size, colour).save(written, kind, **more)
    return written.getvalue()


def located() -> bytes:
    """A camera's picture: where it was taken, by what, a remark with a script, lying on its side."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Model] = "Camera of a person"
    exif[ExifTags.Base.ImageDescription] = SCRIPT
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(GPS)
    return picture(exif=exif, comment=SCRIPT.encode())


def bomb() -> bytes:
    """A PNG of some kilobytes that would unfold to more pixels than any camera takes."""
    side = 40_000
    assert side * side > MOST_PIXELS

    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(1 << 20)))
        + chunk(b"IEND", b"")
    )


def unfolding_text() -> bytes:
    """A PNG whose remark unfolds to two hundred megabytes."""
    remarks = PngImagePlugin.PngInfo()
    remarks.add_text("Comment", "x" * 200_000_000, zip=True)
    return picture("PNG", pnginfo=remarks)


def test_files_are_kept_by_content_and_sorted_by_name_or_by_word(settings: Settings) -> None:
    put(settings, "label 1.jpg", picture(colour="red"))
    put(settings, "IMG_2.JPG", picture(colour="blue"))
    put(settings, "again.jpg", picture(colour="blue"))
    put(settings, "proof.pdf", b"%PDF-1.7\n1 0 obj << /Type /Catalog >> endobj")
    found = evidence.attach(settings, "P1", {"IMG_2": "contents", "again": "contents", "proof": "value"})
    assert found.refused == {}
    assert [each.kind for each in evidence.kept(settings, "P1")] == ["contents", "label", "value"]
    assert {path.name for path in evidence.folder(settings, "P1").iterdir()} == {
        each.name for each in evidence.kept(settings, "P1")
    }
    assert evidence.attach(settings, "P1", {}).kept == {}


def test_a_file_can_be_sorted_anew(settings: Settings) -> None:
    put(settings, "IMG_1.jpg", picture())
    evidence.attach(settings, "P1", {})
    assert [each.kind for each in evidence.kept(settings, "P1")] == ["other"]
    evidence.attach(settings, "P1", {"other-": "tape"})
    assert [each.kind for each in evidence.kept(settings, "P1")] == ["tape"]


def hostile() -> dict[str, tuple[bytes, str]]:
    """By the name of each file: what it holds, and why it is refused. Made by the test alone: it takes a second."""
    return {
        "bomb.png": (bomb(), "more than a camera's picture|cannot be read"),
        "text.png": (unfolding_text(), "cannot be read"),
        "page.jpg": (f"<html>{SCRIPT}</html>".encode(), "cannot be read"),
        "vector.svg": (f"<svg>{SCRIPT}</svg>".encode(), "is none of"),
        "other.png": (picture("GIF"), "cannot be read"),
        "program.exe": (b"MZ", "is none of"),
        "torn.jpg": (picture(size=(640, 480))[:300], "cannot be read"),
        "empty.jpg": (b"", "is empty"),
        "runs.pdf": (b"%PDF-1.7 << /OpenAction << /S /JavaScript /JS (app.alert(1)) >> >>", "acts by itself"),
        "hidden.pdf": (
            b"%PDF-1.7 stream\n" + zlib.compress(b"<< /S /Java#53cript >>") + b"endstream",
            "acts by itself",
        ),
        "page.pdf": (SCRIPT.encode(), "is no PDF"),
        "folded.pdf": (b"%PDF-1.7 stream\n" + zlib.compress(bytes(100 << 20)) + b"endstream", "unfolds"),
    }


def test_hostile_files_stay_where_they_lie_and_are_named_with_a_reason(settings: Settings) -> None:
    files = hostile()
    for name, (content, _) in files.items():
        put(settings, name, content)
    put(settings, "good.jpg", picture())
    found = evidence.attach(settings, "P1", {})
    wrong = {
        name: found.refused.get(name)
        for name, (_, why) in files.items()
        if not re.search(why, found.refused.get(name, ""))
    }
    assert wrong == {}
    assert list(found.kept) == ["good.jpg"]


def test_two_hundred_megabytes_are_refused_unread_and_links_are_not_followed(
    settings: Settings, tmp_path: Path
) -> None:
    large = put(settings, "large.jpg", picture())
    with large.open("r+b") as opened_file:
        opened_file.truncate(200 << 20)  # a hole: no disk is taken
    (tmp_path / "secret.jpg").write_bytes(picture())
    (large.parent / "link.jpg").symlink_to(tmp_path / "secret.jpg")
    found = evidence.attach(settings, "P1", {})
    assert found.kept == {}
    assert found.refused["large.jpg"].startswith("has 200 MB")
    assert found.refused["link.jpg"].startswith("is a link")


def test_a_reader_that_dies_refuses_that_file_and_the_next_is_read(settings: Settings) -> None:
    good = put(settings, "good.jpg", picture())
    with pictures.reader() as reader:
        assert reader.fault(good, "JPEG") == ""
        assert reader.running is not None
        reader.running.running.kill()
        reader.running.running.wait()
        assert "more time or memory" in reader.fault(good, "JPEG")
        assert reader.fault(good, "JPEG") == ""
        last = reader.running
    assert last is not None and last.running.poll() is not None


def test_a_copy_that_leaves_holds_pixels_alone(settings: Settings, tmp_path: Path) -> None:
    source = put(settings, "a.jpg", located() + SCRIPT.encode())
    with Image.open(source) as before:
        assert before.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    with pictures.reader() as reader:
        assert reader.copy(source, "JPEG", tmp_path / "b.jpg") == ""
    copied = (tmp_path / "b.jpg").read_bytes()
    with Image.open(tmp_path / "b.jpg") as after:
        assert (
            after.size,
            dict(after.getexif()),
            set(after.info) - {"jfif", "jfif_version", "jfif_unit", "jfif_density"},
        ) == (
            (48, 64),  # stood upright
            {},
            set(),
        )
    assert b"script" not in copied and b"Camera" not in copied and b"Exif" not in copied


def test_an_altered_file_is_never_handed_on(settings: Settings) -> None:
    put(settings, "label.jpg", picture())
    (kept,) = evidence.attach(settings, "P1", {}).kept.values()
    (evidence.folder(settings, "P1") / kept.name).write_bytes(picture(colour="blue"))
    with pytest.raises(EvidenceError, match="was altered"):
        list(evidence.whole(settings, "P1"))


@pytest.mark.parametrize("parcel", ["P1", "..", "a/b", "CON", "x" * 300, "ü ñ.", "a:b\\c"])
def test_any_label_number_has_a_folder_of_its_own_inside_the_shop(settings: Settings, parcel: str) -> None:
    place = evidence.folder(settings, parcel)
    assert place.parent == settings.folder / "evidence"
    assert place.resolve().is_relative_to(settings.folder.resolve())
    put(settings, "label.jpg", picture(), parcel)
    assert len(evidence.attach(settings, parcel, {}).kept) == 1
    assert evidence.erase(settings, parcel) == 1
    assert not place.exists()


def test_a_packet_holds_the_sheet_the_lines_and_clean_pictures(settings: Settings, tmp_path: Path) -> None:
    put(settings, "label.jpg", located(), "part")
    put(settings, f"closed {'x' * 20}.png", picture("PNG", (3_000, 1_000)), "part")
    evidence.attach(settings, "part", {})
    with claim_shop() as connection:
        opened(connection, "part", date(2026, 11, 3), date(2026, 10, 30))
        sheet = sheet_of(connection, tmp_path, "part")
    made = packets.write(settings, sheet, tmp_path / "packet.zip")
    assert made.missing == ["contents", "cushioning", "tape", "value"]
    with zipfile.ZipFile(made.path) as packed:
        names = packed.namelist()
        page = packed.read("claim.html").decode()
        sizes = {name: Image.open(io.BytesIO(packed.read(name))).size for name in names if name.endswith(".jpg")}
        whole = b"".join(packed.read(name) for name in names)
    assert names == ["claim.html", "to-carrier.txt", "invoice-lines.csv", "value.csv", "01-closed.jpg", "02-label.jpg"]
    assert sizes == {"01-closed.jpg": (2_000, 667), "02-label.jpg": (48, 64)}
    assert SCRIPT.encode() not in whole and b"Camera" not in whole
    assert "script-src &#39;none&#39;" in page and 'href="./01-closed.jpg"' in page
    shutil.rmtree(settings.folder / "evidence")


def test_a_usual_document_is_no_hostile_one() -> None:
    """An opening page and a picture's bytes that look like a short name are no script."""
    assert document_fault(b"%PDF-1.4 << /OpenAction [3 0 R /Fit] >> stream\nxx/JS yy/AA zz\nendstream") == ""
