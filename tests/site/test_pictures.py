"""Pictures come from the library's own folder only, and say nothing but what they show."""

from __future__ import annotations

import base64
import io
import pathlib
from typing import TYPE_CHECKING, Any

import exifread
import pytest
from PIL import Image

from builders.sites import TODAY, analysis, pages, raise_arm
from rungbook.pipeline import store
from rungbook.site.pages.pictures import picture_path
from rungbook.site.publishing import pictures as publishing
from rungbook.site.publishing.live import LiveSite
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser

DRAWING = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 30" onload="alert(1)"><path d="M0 0h9"/></svg>'


def photograph(size: tuple[int, int] = (2000, 1500)) -> bytes:
    """A JPEG with a name and a place in it."""
    exif = Image.Exif()
    exif[0x013B] = "Erika Mustermann"
    exif.get_ifd(0x8825).update({1: "N", 2: (48.0, 8.0, 1.0)})
    out = io.BytesIO()
    Image.new("RGB", size, "red").save(out, "JPEG", exif=exif)
    return out.getvalue()


def written(*pictures: dict[str, str], **files: bytes) -> dict[str, Any]:
    return {
        "exercises": {"arm/raise": raise_arm("Raise", pictures=list(pictures))},
        "files": {f"pictures/{name.replace('__', '.')}": content for name, content in files.items()},
    }  # fmt: skip


@pytest.fixture
def root(tmp_path: pathlib.Path) -> pathlib.Path:
    library = tmp_path / "library"
    (library / "pictures").mkdir(parents=True)
    (library / "pictures" / "a.jpg").write_bytes(b"picture")
    (library / "library.yml").write_text("name: x\n")
    (tmp_path / "secret.jpg").write_bytes(b"secret")
    return library


def test_a_picture_of_the_library_is_found(root: pathlib.Path) -> None:
    assert picture_path([root], "a.jpg") == (root / "pictures" / "a.jpg").resolve()


@pytest.mark.parametrize(
    "name", ["../library.yml", "../../secret.jpg", "/etc/passwd", "b.jpg", "."]
)
def test_nothing_else_is(root: pathlib.Path, name: str) -> None:
    assert picture_path([root], name) is None


def test_a_link_out_of_the_folder_is_not_followed(root: pathlib.Path) -> None:
    (root / "pictures" / "link.jpg").symlink_to(root.parent / "secret.jpg")
    assert picture_path([root], "link.jpg") is None


def test_a_photograph_is_published_small_and_without_what_the_camera_wrote(
    tmp_path: pathlib.Path,
) -> None:
    found = analysis(tmp_path, **written({"file": "a.jpg", "alt": "Red"}, a__jpg=photograph()))
    assert publish(found, tmp_path / "site", draft=True).warnings == ()
    made = (tmp_path / "site/pictures/a.jpg").read_bytes()
    assert dict(exifread.process_file(io.BytesIO(made), details=True)) == {}
    for file in (tmp_path / "site").rglob("*"):
        assert not file.is_file() or b"Mustermann" not in file.read_bytes()
    assert Image.open(io.BytesIO(made)).size == (1280, 960)
    page = (tmp_path / "site/exercises/raise.html").read_text()
    assert '<img src="../pictures/a.jpg" alt="Red" width="1280" height="960">' in page


def test_a_preview_shows_the_same(tmp_path: pathlib.Path) -> None:
    found = analysis(tmp_path, **written({"file": "a.jpg", "alt": "Red"}, a__jpg=photograph()))
    live = LiveSite(found.measured.library.root)
    live.rebuild(TODAY)
    made = live.get("pictures/a.jpg")
    assert made is not None and b"Mustermann" not in made
    assert live.get("pictures/b.jpg") is None
    assert live.get("pictures/../library.yml") is None


def test_a_photograph_is_made_anew_once(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    found = analysis(tmp_path, **written({"file": "a.jpg", "alt": "Red"}, a__jpg=photograph()))
    assert store.place() is not None
    library, names = found.measured.library, ["a.jpg"]
    first = list(publishing.picture_files(library, names))
    monkeypatch.setattr(publishing, "published", lambda *_: pytest.fail("made again"))
    assert list(publishing.picture_files(library, names)) == first


def test_a_drawing_is_published_clean(tmp_path: pathlib.Path) -> None:
    found = analysis(tmp_path, **written({"file": "a.svg", "alt": "Line"}, a__svg=DRAWING))
    publish(found, tmp_path / "site", draft=True)
    made = (tmp_path / "site/pictures/a.svg").read_bytes()
    assert b"onload" not in made and b'<path d="M0 0h9"' in made
    assert 'width="40" height="30"' in (tmp_path / "site/exercises/raise.html").read_text()


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("a.jpg", b"no picture", "it is no picture that can be read: save it again"),
        ("a.svg", b"<html/>", "it holds no drawing: save it as plain SVG"),
        ("a.png", photograph((9, 9))[:30], "it is"),
    ],
)
def test_a_picture_that_cannot_be_shown_is_told_and_left_out(
    tmp_path: pathlib.Path, name: str, content: bytes, why: str
) -> None:
    files = {name.replace(".", "__"): content}
    found = analysis(tmp_path, **written({"file": name, "alt": "Red"}, **files))
    (finding,) = [one for one in found.findings if one.check == "unusable-picture"]
    assert finding.message.startswith(f"'{name}' is left out of the site: {why}")
    assert "pictures/" not in pages(found)["exercises/raise.html"]


def test_a_photograph_that_proves_damaged_is_a_warning_of_the_build(tmp_path: pathlib.Path) -> None:
    cut = photograph()[:9000]
    found = analysis(tmp_path, **written({"file": "a.jpg", "alt": "Red"}, a__jpg=cut))
    published = publish(found, tmp_path / "site", draft=True)
    assert published.warnings == ("Left out, since they are damaged: a.jpg.",)


RULES = [
    ({"file": "a.mp4", "alt": "x"}, "a video needs a 'still', the picture for paper"),
    ({"file": "a.jpg", "alt": "x", "still": "a.jpg"}, "only a video has a 'still'"),
    ({"file": "a.mp4", "alt": "x", "still": "a.mp4"}, "'a.mp4' is no picture a browser shows"),
    ({"file": "a.mp4", "alt": "x", "still": "b.jpg"}, "there is no picture 'b.jpg' in pictures/"),
    ({"file": "a.mp4", "alt": "x", "still": "../a.jpg"}, "'../a.jpg' leads out of pictures/"),
    ({"file": "big.jpg", "alt": "x"}, "'big.jpg' is larger than 10 MB: save it smaller"),
    ({"file": "big.mp4", "alt": "x", "still": "a.jpg"}, "'big.mp4' is larger than 10 MB"),
    ({"file": "a.mov", "alt": "x", "still": "a.jpg"}, "'a.mov' is no picture a browser shows"),
]


@pytest.mark.parametrize(("picture", "message"), RULES, ids=lambda value: str(value)[:60])
def test_a_picture_that_breaks_a_rule_is_told(
    tmp_path: pathlib.Path, picture: dict[str, str], message: str
) -> None:
    big = bytes(10_000_001)
    files = {
        "a__jpg": photograph((9, 9)),
        "a__mp4": b"",
        "a__mov": b"",
        "big__jpg": big,
        "big__mp4": big,
    }
    found = analysis(tmp_path, **written(picture, **files))
    told = [one.message for one in found.findings if one.level == "error"]
    assert any(one.startswith(message) for one in told), told


def test_a_video_plays_on_its_page_and_prints_as_its_still(
    tmp_path: pathlib.Path, browser: Browser
) -> None:
    page = browser.new_page()
    recorded = page.evaluate(
        """async () => {
          const canvas = document.createElement("canvas"), parts = [];
          const recorder = new MediaRecorder(canvas.captureStream(20), { mimeType: "video/webm" });
          recorder.ondataavailable = (event) => parts.push(event.data);
          recorder.start();
          for (let n = 0; n < 6; n++) {
            canvas.getContext("2d").fillRect(n, 0, 9, 9);
            await new Promise((done) => setTimeout(done, 80));
          }
          await new Promise((done) => { recorder.onstop = done; recorder.stop(); });
          const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
          return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
        }"""
    )
    video = {"file": "a.webm", "alt": "An arm rises", "still": "a.jpg"}
    files = {"a__webm": base64.b64decode(recorded), "a__jpg": photograph()}
    found = analysis(tmp_path, **written(video, **files))
    assert [one.message for one in found.findings if "picture" in one.check] == []
    publish(found, tmp_path / "site", draft=True)
    problems: list[str] = []
    page.on("console", lambda message: problems.append(message.text))
    page.goto((tmp_path / "site/exercises/raise.html").as_uri())
    shown = page.locator("video")
    assert shown.get_attribute("aria-label") == "An arm rises"
    assert shown.get_attribute("autoplay") is None and shown.get_attribute("preload") == "none"
    assert shown.get_attribute("poster") == "../pictures/a.jpg"
    ended = shown.evaluate(
        """async (video) => {
          await video.play();
          if (!video.ended) await new Promise((done) => { video.onended = done; });
          return video.videoWidth;
        }"""
    )
    assert ended == 300  # the canvas's own width
    assert page.locator("img.print-only").is_hidden()
    page.emulate_media(media="print")
    assert shown.is_hidden() and page.locator("img.print-only").is_visible()
    assert [text for text in problems if "Content Security Policy" in text] == []
    page.close()
