"""Files and folders: encodings, broken text, hostile trees."""

import os
import pathlib

import pytest

from builders.library import library_folder
from builders.reading import LADDER, SOUND, changed, sound_library, told
from rungbook.reading import limits
from rungbook.reading.read import NoLibrary, read_library

BAD = "exercises/calf/bad.md"


def told_of(tmp_path: pathlib.Path, content: str | bytes, file: str = BAD) -> list[str]:
    return told(sound_library(tmp_path, files={file: content}))


def test_a_missing_folder_cannot_be_read_at_all(tmp_path: pathlib.Path) -> None:
    with pytest.raises(NoLibrary, match=r"there is no folder .*nowhere: name the library's folder"):
        read_library(tmp_path / "nowhere")


def test_a_file_is_no_library(tmp_path: pathlib.Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(NoLibrary, match="cannot be read"):
        read_library(tmp_path / "file")


def test_an_empty_folder_is_told_what_to_do(tmp_path: pathlib.Path) -> None:
    assert told(read_library(tmp_path)) == [
        "library.yml:1:1 missing-field: the library has no exercise: "
        "add exercises/<area>/<id>.md, or run `rungbook new`",
        "library.yml:1:1 unreadable-file: there is no library.yml: "
        "make one (it may be empty) or mend --library",
    ]


def test_one_exercise_and_an_empty_library_yml_are_a_library(tmp_path: pathlib.Path) -> None:
    stretch = {"title": "Calf stretch", "position": "standing"}
    library = read_library(library_folder(tmp_path, {"calf/stretch": stretch}))
    assert told(library) == []
    assert library.exercises["stretch"].area == "calf"


def test_crlf_a_byte_order_mark_and_spaces_after_the_dashes_change_nothing(
    tmp_path: pathlib.Path,
) -> None:
    plain = sound_library(tmp_path / "plain").exercises["raise"]
    windows = SOUND.replace("---\n", "--- \n").replace("\n", "\r\n").encode("utf-8-sig")
    library = sound_library(tmp_path / "windows", files={"exercises/calf/raise.md": windows})
    assert told(library) == []
    assert dict(library.exercises["raise"]) | {"source": None} == dict(plain) | {"source": None}


def test_places_count_past_a_byte_order_mark_and_crlf(tmp_path: pathlib.Path) -> None:
    text = changed("sides: both", "sides: three").replace("\n", "\r\n").encode("utf-8-sig")
    library = sound_library(tmp_path, files={"exercises/calf/raise.md": text})
    assert [str(finding.place) for finding in library.findings] == ["exercises/calf/raise.md:4:8"]


CASES = [
    ("---\ntitle: Für\n---\n".encode("latin-1"),
     "bad.md:2:9 unreadable-file: the text is not UTF-8 (byte 12): save the file again as UTF-8"),
    ("---\ntitle: x\n---\n".encode("utf-16"),
     "bad.md:1:1 unreadable-file: the text is UTF-16 (byte 0): save the file again as UTF-8"),
    (b"---\ntitle: a\x00b\n---\n",
     "bad.md:2:9 unreadable-file: the character U+0000 is not text anyone can see: delete it"),
    ("---\ntitle: a\u2028b\n---\n".encode(),
     "bad.md:2:9 unreadable-file: the character U+2028 is not text anyone can see: delete it"),
    ("---\ntitle: a\u202eb\n---\n".encode(),
     "bad.md:2:9 unreadable-file: the character U+202E is not text anyone can see: delete it"),
    (b"",
     "bad.md:1:1 unreadable-file: the file must begin with a line '---', then its keys, "
     "then another '---'"),
    (b"# A heading\n",
     "bad.md:1:1 unreadable-file: the file must begin with a line '---', then its keys, "
     "then another '---'"),
    (b"---\ntitle: x\n",
     "bad.md:1:1 unreadable-file: the front matter has no end: "
     "add a line '---' below its last key"),
    (b"---\njust words\n---\n",
     "bad.md:2:1 unreadable-file: keys with values are expected here, such as 'title: …'"),
    (b"---\n- a\n- b\n---\n",
     "bad.md:2:1 unreadable-file: keys with values are expected here, such as 'title: …'"),
    (b"---\ntitle: x: y\n---\n",
     "bad.md:2:9 unreadable-file: broken YAML: mapping values are not allowed in this context: "
     "a second colon in one line: put the text after the first one in quotes"),
    (b"---\ntitle: x\n  purpose: [a]\n---\n",
     "bad.md:3:10 unreadable-file: broken YAML: mapping values are not allowed in this context: "
     "indents that do not match: line it up with the keys above"),
    (b"---\ntitle: x\ntitle: y\n---\n",
     "bad.md:3:1 wrong-value: the key 'title' is written twice: remove one of them"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "expected"), CASES, ids=lambda value: repr(value)[:30])
def test_a_file_that_cannot_be_read_is_told(
    tmp_path: pathlib.Path, content: bytes, expected: str
) -> None:
    assert told_of(tmp_path, content) == [expected]


def test_an_unreadable_exercise_does_not_cascade(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, files={"exercises/calf/hop.md": b"\xff"})
    assert [finding.check for finding in library.findings] == ["unreadable-file"]
    assert library.withheld == {"hop"}


def test_a_huge_file_is_refused(tmp_path: pathlib.Path) -> None:
    content = b"---\ntitle: x\n---\n" + b"x" * limits.MOST_BYTES
    assert told_of(tmp_path, content) == [
        "bad.md:1:1 unreadable-file: the file is too large (1.0 MB, more than 1 MB): split it"
    ]


def test_a_pipe_is_not_waited_for(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, {"calf/raise": SOUND})
    os.mkfifo(folder / "exercises/calf/pipe.md")
    assert "pipe" not in read_library(folder).exercises


def test_an_id_is_unique_across_folders(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"shin/raise": SOUND})
    assert told(library)[-1] == (
        "exercises/shin/raise.md:1:1 duplicate-id: the id 'raise' is already that of "
        "exercises/calf/raise.md: rename one of the two files"
    )


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Heel Raise.md", "rename it, for instance to heel-raise.md"),
        ("heel_raise.md", "rename it, for instance to heel-raise.md"),
        ("con.md", "rename it"),
        ("übung.md", "rename it, for instance to ubung.md"),
    ],
)
def test_a_file_name_that_is_no_id_is_told(
    tmp_path: pathlib.Path, name: str, expected: str
) -> None:
    assert told_of(tmp_path, SOUND, f"exercises/calf/{name}") == [
        f"{name}:1:1 wrong-value: a file's name is its id, "
        f"in a-z, 0-9 and single hyphens: {expected}"
    ]


def test_a_file_with_a_bad_name_does_not_cascade(tmp_path: pathlib.Path) -> None:
    text = changed("to: hop", "to: hop-one-leg")
    files = {"exercises/calf/Hop One-Leg.md": "---\ntitle: Hop\n---\n"}
    library = sound_library(tmp_path, {"calf/raise": text}, files=files)
    assert [finding.check for finding in library.findings] == ["wrong-value"]
    assert library.withheld == {"Hop One-Leg", "hop-one-leg"}


def test_a_text_file_of_another_kind_is_not_passed_over(tmp_path: pathlib.Path) -> None:
    assert told_of(tmp_path, SOUND, "exercises/calf/other.yml") == [
        "other.yml:1:1 unreadable-file: only files ending in .md are read here: "
        "rename it or move it away"
    ]


def test_hidden_files_are_passed_over(tmp_path: pathlib.Path) -> None:
    assert told_of(tmp_path, b"\xff", "exercises/calf/.raise.md.swp") == []


def test_a_link_out_of_the_library_is_never_followed(tmp_path: pathlib.Path) -> None:
    secret = tmp_path / "secret.md"
    secret.write_text(SOUND)
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "more.md").write_text(SOUND)
    folder = library_folder(tmp_path, {"calf/raise": {"title": "Raise"}})
    (folder / "exercises/calf/secret.md").symlink_to(secret)
    (folder / "exercises/outside").symlink_to(tmp_path / "outside")
    (folder / "exercises/calf/nowhere.md").symlink_to(tmp_path / "nowhere")
    (folder / "pictures").symlink_to(tmp_path)
    library = read_library(folder)
    words = "a link that leads out of the library or nowhere: put the file itself here"
    assert told(library) == [
        f"nowhere.md:1:1 unsafe-path: {words}",
        f"secret.md:1:1 unsafe-path: {words}",
        f"exercises/outside:1:1 unsafe-path: {words}",
        f"pictures:1:1 unsafe-path: {words}",
    ]
    assert sorted(library.exercises) == ["raise"]


def test_a_link_within_the_library_is_followed(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, {"calf/raise": {"title": "Raise"}})
    (folder / "exercises/calf/again.md").symlink_to(folder / "exercises/calf/raise.md")
    assert sorted(read_library(folder).exercises) == ["again", "raise"]


def test_folders_that_link_in_a_circle_are_named_once(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, {"calf/raise": {"title": "Raise"}})
    (folder / "exercises/calf/round").symlink_to(folder / "exercises")
    library = read_library(folder)
    assert told(library) == [
        "round:1:1 unsafe-path: a link back to a folder that holds it: remove it"
    ]
    assert sorted(library.exercises) == ["raise"]


def test_a_picture_in_pictures_is_found(tmp_path: pathlib.Path) -> None:
    text = changed("sides: both", "pictures: [{file: a/raise.jpg, alt: x}, {file: notes.txt}]")
    library = sound_library(
        tmp_path,
        {"calf/raise": text},
        files={"pictures/a/raise.jpg": b"x", "pictures/notes.txt": b""},
    )
    assert told(library) == [
        "raise.md:4:48 wrong-value: 'notes.txt' is no picture a browser shows: "
        "save it as .jpg, .jpeg, .png, .webp, .gif, .avif, .svg, .mp4, .webm"
    ]


def test_a_folder_that_is_no_area_is_told_once(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"claf/one": {"title": "One"}, "claf/two": {"title": "Two"}})
    assert told(library) == [
        "exercises/claf/one.md:2:1 unknown-reference: the folder 'claf' is no area: "
        "did you mean 'calf'? Else add it to vocabulary/areas.yml or write 'area:' in its exercises"
    ]


def test_a_ladder_is_read_with_its_text(tmp_path: pathlib.Path) -> None:
    ladder = sound_library(tmp_path).ladders["calf"]
    assert (ladder.title, ladder.text) == ("Calf loading", "For calves.")
    assert LADDER.startswith("---")
