"""Published videos are silent, short, and say nothing beside their pictures.

The videos are recorded by Chromium, whose player also judges what becomes of them.
"""

from __future__ import annotations

import base64
import pathlib
import struct
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.reading import limits
from rungbook.reading.pictures import UnusablePicture
from rungbook.reading.videos import published

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SECRET = b"+48.1351+011.5820 Erika Mustermann"
RECORD = """async ([type, sound]) => {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [64, 48];
  const stream = canvas.captureStream(20);
  if (sound) {
    const context = new AudioContext();
    const target = context.createMediaStreamDestination();
    const tone = context.createOscillator();
    tone.connect(target); tone.start();
    stream.addTrack(target.stream.getAudioTracks()[0]);
  }
  if (!MediaRecorder.isTypeSupported(type)) return null;
  const parts = [], recorder = new MediaRecorder(stream, { mimeType: type });
  recorder.ondataavailable = (event) => parts.push(event.data);
  recorder.start();
  for (let n = 0; n < 8; n++) {
    canvas.getContext("2d").fillStyle = `hsl(${n * 40}, 80%, 50%)`;
    canvas.getContext("2d").fillRect(0, 0, 64, 48);
    await new Promise((done) => setTimeout(done, 80));
  }
  await new Promise((done) => { recorder.onstop = done; recorder.stop(); });
  const bytes = new Uint8Array(await new Blob(parts).arrayBuffer());
  return btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
}"""
PLAY = """async (url) => {
  const video = document.createElement("video");
  video.muted = true; video.src = url;
  document.body.append(video);
  return await new Promise((done) => {
    video.onerror = () => done([video.error.message]);
    video.onended = () => done([video.videoWidth, video.videoHeight, video.currentTime]);
    video.play().catch((error) => done([String(error)]));
    setTimeout(() => done(["not done", video.currentTime]), 20000);
  });
}"""
TYPES = {"video/mp4": ".mp4", "video/webm": ".webm", "video/webm;codecs=vp9": ".webm"}


@pytest.fixture(scope="module")
def recorded(browser: Browser) -> Iterator[dict[tuple[str, bool], bytes]]:
    """Videos by their type and whether they have sound."""
    page = browser.new_page()
    found = {}
    for kind in TYPES:
        for sound in (False, True):
            data = page.evaluate(RECORD, [kind, sound])
            if data is None:
                pytest.skip(f"this Chromium records no {kind}")
            found[kind, sound] = base64.b64decode(data)
    yield found
    page.close()


def box(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I4s", len(content) + 8, kind) + content


def element(id: bytes, content: bytes) -> bytes:
    return id + (len(content) | 1 << 56).to_bytes(8, "big") + content


def talking(content: bytes, ending: str) -> bytes:
    """A video that says where it was recorded, as telephones do."""
    if ending == ".webm":
        tags = element(b"\x12\x54\xc3\x67", element(b"\x73\x73", SECRET))
        attached = element(b"\x19\x41\xa4\x69", element(b"\x61\xa7", SECRET))
        return content + tags + attached
    place = box(b"udta", box(b"\xa9xyz", struct.pack(">HH", len(SECRET), 0x15C7) + SECRET))
    extended = struct.pack(">I4sQ", 1, b"meta", 16 + len(SECRET)) + SECRET
    at = content.index(b"moov") - 4
    (size,) = struct.unpack_from(">I", content, at)
    moov = content[at + 8 : at + size] + place  # what follows is found relative to itself
    return (
        content[:at] + box(b"moov", moov) + content[at + size :] + box(b"uuid", SECRET) + extended
    )


@pytest.mark.parametrize("kind", TYPES)
def test_only_the_pictures_are_published_and_they_play(
    recorded: dict[tuple[str, bool], bytes], kind: str, browser: Browser, tmp_path: pathlib.Path
) -> None:
    content = talking(recorded[kind, False], TYPES[kind])
    video = published(content, TYPES[kind])
    assert SECRET in content and SECRET not in video.content
    for maker in (b"Chrome", b"Lavf", b"libwebm", b"MediaRecorder"):
        assert maker not in video.content
    assert len(video.content) == len(content)
    assert video.size == (64, 48) and 0.4 < video.seconds < 5
    assert published(video.content, TYPES[kind]).content == video.content
    file = tmp_path / f"a{TYPES[kind]}"
    file.write_bytes(video.content)
    page = browser.new_page()
    page.goto(tmp_path.as_uri())
    wide, high, seconds = page.evaluate(PLAY, file.as_uri())
    assert (wide, high) == video.size and seconds == pytest.approx(video.seconds, abs=0.3)
    page.close()


@pytest.mark.parametrize("kind", TYPES)
def test_a_video_with_sound_is_not_published(
    recorded: dict[tuple[str, bool], bytes], kind: str
) -> None:
    with pytest.raises(UnusablePicture, match="it has a track of sound, text or places"):
        published(recorded[kind, True], TYPES[kind])


def test_a_moment_of_recording_is_not_published(recorded: dict[tuple[str, bool], bytes]) -> None:
    content = bytearray(recorded["video/mp4", False])
    at = content.index(b"mvhd") + 8
    content[at : at + 8] = b"\x11\x22\x33\x44\x55\x66\x77\x88"
    made = published(bytes(content), ".mp4").content
    assert made[at : at + 8] == bytes(8)


@pytest.mark.parametrize("kind", TYPES)
def test_a_video_cut_off_or_damaged_anywhere_is_no_fault_of_ours(
    recorded: dict[tuple[str, bool], bytes], kind: str
) -> None:
    content = talking(recorded[kind, False], TYPES[kind])
    for at in range(0, len(content), max(1, len(content) // 400)):
        for damaged in (content[:at], content[:at] + b"\xff" * 9 + content[at + 9 :]):
            try:
                published(damaged, TYPES[kind])
            except UnusablePicture as fault:
                assert ": " in str(fault)


BAD: dict[str, Any] = {
    "nothing": b"",
    "words": b"a film",
    "no track": box(b"ftyp", b"isom") + box(b"moov", b""),
    "an endless box": struct.pack(">I4s", 8, b"ftyp") + struct.pack(">I4s", 0, b"moov") * 9,
    "a box that ends before it begins": box(b"ftyp", b"isom") + struct.pack(">I4s", 4, b"moov"),
    "many boxes": box(b"ftyp", b"") + box(b"moov", box(b"trak", b"") * 200_000),
    "deep boxes": box(b"ftyp", b"") + struct.pack(">I4s", 0, b"moov") * 100_000,
    "a picture": b"\xff\xd8\xff\xe0",
}


@pytest.mark.parametrize("what", BAD)
@pytest.mark.parametrize("ending", [".mp4", ".webm"])
def test_what_is_no_video_is_said(what: str, ending: str) -> None:
    with pytest.raises(UnusablePicture, match=r": (save it|cut it)"):
        published(BAD[what], ending)


def test_a_large_video_is_not_even_looked_at() -> None:
    with pytest.raises(UnusablePicture, match="it is larger than 10 MB: cut it"):
        published(bytes(limits.MOST_VIDEO_BYTES + 1), ".mp4")
