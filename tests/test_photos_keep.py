"""A photograph is kept as it is, under a harmless name, over no other file, whole or not at all; and found again."""

from __future__ import annotations

import os
import unicodedata
import warnings
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pictures import drawn, packed, picture, telling
from rich_parts.stopped import Child, Say
from rich_parts.trials import half_files
from test_workbook_no_room import as_somebody_else, fill, limited, mounted, open_to_all

from tracker import NotWritten, Unreadable, find_photo, keep_photo, look_at_photo
from tracker.photos.names import LONGEST, free_names, harmless

JPG = (".jpg", ".jpeg")


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    path = tmp_path / "my-horse.xlsx"
    path.write_bytes(b"a workbook, which is not looked into")
    return path


def folder(workbook: Path) -> Path:
    return workbook.with_name("my-horse.xlsx photos")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIC"])
def test_the_original_is_kept_byte_for_byte(workbook: Path, kind: str) -> None:
    content = telling(kind)
    kept = keep_photo(workbook, content, "left front.jpg")
    assert kept.path == folder(workbook) / kept.name
    assert kept.path.read_bytes() == content
    assert kept.path.stem == "left front"
    assert kept.path.suffix == {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "HEIC": ".heic"}[kind]
    assert kept.photo == look_at_photo(content)
    assert not kept.known
    assert half_files(workbook.parent) == []


def test_the_same_picture_again_is_not_doubled_whatever_its_name(workbook: Path) -> None:
    first = keep_photo(workbook, picture(), "a.jpg")
    again = keep_photo(workbook, picture(), "b.jpg")
    assert again.known
    assert (again.name, again.path) == ("a.jpg", first.path)
    assert os.listdir(folder(workbook)) == ["a.jpg"]


def test_another_picture_of_the_same_name_gets_a_number_and_nothing_is_written_over(workbook: Path) -> None:
    names = [keep_photo(workbook, picture(seed=seed), name).name for seed, name in
             enumerate(["hoof.jpg", "hoof.jpg", "HOOF.JPG", "hoof.jpg"])]  # fmt: skip
    assert names == ["hoof.jpg", "hoof 2.jpg", "HOOF 3.JPG", "hoof 4.jpg"]
    assert [find_photo(workbook, name).read_bytes() for name in names] == [picture(seed=s) for s in range(4)]


def test_a_file_of_the_owners_that_comes_meanwhile_is_not_written_over(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_photo(workbook, picture(seed=1), "first.jpg")
    mine = folder(workbook) / "hoof.jpg"
    monkeypatch.setattr("tracker.photos.keep.free_names", lambda *_: iter(["hoof.jpg", "hoof 2.jpg"]))
    mine.write_bytes(b"the owner's")
    assert keep_photo(workbook, picture(seed=2), "hoof.jpg").name == "hoof 2.jpg"
    monkeypatch.setattr(os, "link", no_links)
    monkeypatch.setattr("tracker.photos.keep.free_names", lambda *_: iter(["hoof.jpg", "hoof 3.jpg"]))
    assert keep_photo(workbook, picture(seed=3), "hoof.jpg").name == "hoof 3.jpg"
    assert mine.read_bytes() == b"the owner's"
    assert half_files(workbook.parent) == []


def no_links(*_: object) -> None:
    raise PermissionError(1, "Operation not permitted")  # as Linux says on a FAT disk (link(2))


def test_what_is_no_photograph_is_not_kept(workbook: Path) -> None:
    for content in (b"", b"words", picture()[:-20], picture("PNG")[:-30]):
        with pytest.raises(Unreadable):
            keep_photo(workbook, content, "hoof.jpg")
    assert os.listdir(workbook.parent) == ["my-horse.xlsx"]


def test_the_name_in_a_message_cannot_upset_a_screen(workbook: Path) -> None:
    with pytest.raises(Unreadable) as refused:
        keep_photo(workbook, b"", "a\x1b[2J\n.jpg")
    assert str(refused.value).isprintable()


def test_a_workbook_that_is_not_there_keeps_no_photographs(tmp_path: Path) -> None:
    with pytest.raises(NotWritten) as refused:
        keep_photo(tmp_path / "gone.xlsx", picture(), "hoof.jpg")
    assert refused.value.problem.kind == "file-missing"
    assert os.listdir(tmp_path) == []


def test_a_linked_workbook_has_its_photographs_beside_the_real_one(workbook: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.xlsx"
    link.symlink_to(workbook)
    assert keep_photo(link, picture(), "hoof.jpg").path.parent == folder(workbook)
    assert find_photo(link, "hoof.jpg").parent == folder(workbook)


def test_a_photograph_is_as_private_as_its_workbook(workbook: Path) -> None:
    workbook.chmod(0o600)
    assert keep_photo(workbook, picture(), "hoof.jpg").path.stat().st_mode & 0o777 == 0o600


# Names


@pytest.mark.parametrize(
    ("given_name", "kept_as"),
    [
        ("IMG_1042.JPG", "IMG_1042.JPG"),
        ("linker Vorderhuf – Größe.jpeg", "linker Vorderhuf – Größe.jpeg"),
        ("копыто 左前.jpg", "копыто 左前.jpg"),
        (unicodedata.normalize("NFD", "sabot antérieur.jpg"), "sabot antérieur.jpg"),
        ("../../etc/passwd", "passwd.jpg"),
        ("C:\\fakepath\\hoof.jpg", "hoof.jpg"),
        ("/hoof.jpg", "hoof.jpg"),
        ("..", "photo.jpg"),
        ("", "photo.jpg"),
        (".jpg", "photo.jpg"),
        (".hidden.jpg", "hidden.jpg"),
        ("hoof.png", "hoof.jpg"),
        ("hoof.exe", "hoof.exe.jpg"),
        ("hoof. .jpg", "hoof.jpg"),
        ("hoof.jpg.", "hoof.jpg"),
        ("hoof.jpg. .", "hoof.jpg"),
        ("ho\u200bof.jpg", "hoof.jpg"),
        ("=1+1.jpg", "1+1.jpg"),
        ("+@-hoof.jpg", "hoof.jpg"),
        ("12:30 <left>|right?.jpg", "12-30 -left--right-.jpg"),
        ("CON.jpg", "photo CON.jpg"),
        ("nul.left.jpg", "photo nul.left.jpg"),
        ("COM¹.jpg", "photo COM¹.jpg"),
        ("console.jpg", "console.jpg"),
        ("a\0b\nc\u202egpj.exe", "ab cgpj.exe.jpg"),
        ("Bildschirmfoto 10.11\u202fAM.jpg", "Bildschirmfoto 10.11 AM.jpg"),
    ],
)
def test_a_name_is_made_harmless_and_keeps_its_letters(given_name: str, kept_as: str) -> None:
    # Microsoft, "Naming Files, Paths, and Namespaces": signs and names that Windows does not take.
    assert harmless(given_name, JPG) == kept_as


_WINDOWS = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{device}{number}" for device in ("com", "lpt") for number in "0123456789¹²³"
}


@given(
    st.text()
    | st.text(alphabet="./\\: CONcon1¹\0\u202e é字").map(lambda text: text + ".jpg")
    | st.text(min_size=150)
)
def test_any_name_becomes_one_that_every_system_takes(name: str) -> None:
    kept = harmless(name, JPG)
    assert kept.lower().endswith(JPG)
    assert len(kept.encode()) <= LONGEST
    assert not set(kept) & set('<>:"/\\|?*')
    assert all(unicodedata.category(sign) not in ("Cc", "Cs") for sign in kept)
    assert not kept.startswith((".", " "))
    assert not kept.startswith(
        ("=", "+", "-", "@")
    )  # OWASP, "CSV Injection": a spreadsheet may work these out
    assert kept.split(".")[0].rstrip().lower() not in _WINDOWS
    assert " ".join(kept.split()) == kept  # as it will be read again from a cell
    assert harmless(kept, JPG) == kept
    assert Path(kept).name == kept


@given(st.lists(st.sampled_from(["a.jpg", "A.JPG", "é.jpg", "e\u0301.jpg", "x" * 200 + ".jpg"]), max_size=12))
def test_names_stay_apart_on_every_system(names: list[str]) -> None:
    taken: list[str] = []
    for name in names:
        taken.append(next(free_names(harmless(name, JPG), taken)))
    assert len({unicodedata.normalize("NFC", name).casefold() for name in taken}) == len(names)
    assert all(len(name.encode()) <= LONGEST for name in taken)


@settings(deadline=None)  # it waits for the disk
@given(name=st.text(max_size=300))
def test_whatever_its_name_it_can_be_written_and_found(
    tmp_path_factory: pytest.TempPathFactory, name: str
) -> None:
    workbook = tmp_path_factory.mktemp("any") / "my-horse.xlsx"
    workbook.write_bytes(b"")
    kept = keep_photo(workbook, picture(), name)
    assert find_photo(workbook, kept.name) == kept.path
    assert kept.path.parent == folder(workbook)


# Finding


def test_a_photograph_is_found_as_people_write_its_name(workbook: Path) -> None:
    path = keep_photo(workbook, picture(), "Linker Huf é.JPG").path
    for written in (
        "Linker Huf é.JPG",
        "linker huf é.jpg",
        "Linker Huf e\u0301.JPG",
        " Linker  Huf é ",
        "linker huf é",
    ):
        assert find_photo(workbook, written) == path


def test_a_name_without_its_ending_that_fits_two_finds_neither(workbook: Path) -> None:
    keep_photo(workbook, picture(), "hoof.jpg")
    keep_photo(workbook, picture("PNG"), "hoof.png")
    with pytest.raises(Unreadable):
        find_photo(workbook, "hoof")


def test_a_photograph_that_is_gone_is_one_sentence_that_says_where_it_was_looked_for(workbook: Path) -> None:
    with pytest.raises(Unreadable) as refused:
        find_photo(workbook, "hoof.jpg")
    assert refused.value.problem.kind == "photo-missing"
    assert refused.value.problem.message == (
        f"There is no photograph hoof.jpg in the folder {folder(workbook)}, and it is looked for nowhere else."
    )


@pytest.mark.parametrize(
    "trick",
    ["../secret.jpg", "..\\secret.jpg", "sub/secret.jpg", "{outside}", "link.jpg", "sub", "sub.jpg", "pipe.jpg", "",
     ".", "..", "secret.jpg\0", "my-horse.xlsx", "notes.txt", "x" * 5000],
)  # fmt: skip
def test_no_name_leads_out_of_the_folder(workbook: Path, trick: str) -> None:
    inside = folder(workbook)
    (inside / "sub").mkdir(parents=True)
    (inside / "sub.jpg").mkdir()
    (inside / "notes.txt").write_text("no photograph")
    secret = workbook.with_name("secret.jpg")
    for path in (secret, inside / "sub" / "secret.jpg"):
        path.write_bytes(picture())
    (inside / "link.jpg").symlink_to(secret)
    os.mkfifo(inside / "pipe.jpg")
    with pytest.raises(Unreadable) as refused:
        find_photo(workbook, trick.format(outside=secret))
    assert refused.value.problem.kind == "photo-missing"


def test_a_folder_that_lives_on_another_disk_is_the_folder_all_the_same(
    workbook: Path, tmp_path: Path
) -> None:
    (tmp_path / "large disk").mkdir()
    folder(workbook).symlink_to(tmp_path / "large disk")
    kept = keep_photo(workbook, picture(), "hoof.jpg")
    assert find_photo(workbook, "hoof.jpg") == kept.path
    assert os.listdir(tmp_path / "large disk") == ["hoof.jpg"]


@pytest.mark.parametrize("what", ["a file", "a link that leads nowhere", "a link to itself"])
def test_a_folder_that_is_none_is_said_in_one_sentence_and_left_as_it_is(workbook: Path, what: str) -> None:
    place = folder(workbook)
    if what == "a file":
        place.write_bytes(b"the owner's")
    else:
        place.symlink_to(place if what == "a link to itself" else workbook.with_name("gone"))
    with pytest.raises(NotWritten) as refused:
        keep_photo(workbook, picture(), "hoof.jpg")
    said = refused.value.problem.message
    assert "my-horse.xlsx photos is no folder, or a link that leads to none" in said
    assert os.path.lexists(place)
    if what == "a file":
        assert place.read_bytes() == b"the owner's"
    with pytest.raises(Unreadable) as missing:
        find_photo(workbook, "hoof.jpg")
    assert missing.value.problem.kind == "photo-missing"


def test_a_workbook_that_is_a_link_to_itself_is_one_sentence(tmp_path: Path) -> None:
    loop = tmp_path / "loop.xlsx"
    loop.symlink_to(loop)
    with pytest.raises(NotWritten):
        keep_photo(loop, picture(), "hoof.jpg")
    with pytest.raises(Unreadable):
        find_photo(loop, "hoof.jpg")


def test_a_file_in_the_folder_that_may_not_be_read_keeps_no_other_out() -> None:
    with open_to_all() as place:
        workbook = place / "my-horse.xlsx"
        workbook.write_bytes(b"")
        kept = keep_photo(workbook, picture(seed=1), "first.jpg")
        for path in (folder(workbook), place / "my-horse.xlsx backups"):
            path.chmod(0o777)
        (place / "my-horse.xlsx backups" / "in use").chmod(0o666)
        kept.path.write_bytes(bytes(len(picture(seed=2))))  # of the same length, so it would be looked into
        kept.path.chmod(0o000)
        as_somebody_else(
            lambda: check(keep_photo(workbook, picture(seed=2), "second.jpg").name, "second.jpg")
        )


def test_a_folder_that_may_not_be_looked_into_is_not_said_to_be_without_the_photograph() -> None:
    with open_to_all() as place:
        workbook = place / "my-horse.xlsx"
        workbook.write_bytes(b"")
        keep_photo(workbook, picture(), "hoof.jpg")
        folder(workbook).chmod(0o000)
        as_somebody_else(lambda: check(why_not_found(workbook), "file-no-permission"))


def why_not_found(workbook: Path) -> str:
    try:
        return find_photo(workbook, "hoof.jpg").name
    except Unreadable as refused:
        return refused.problem.kind


def test_no_name_at_all_is_said_as_such(workbook: Path) -> None:
    with pytest.raises(Unreadable, match="no photograph without a name in the folder"):
        find_photo(workbook, "  ")


# No room, no rights, stopped in the middle

LARGE = packed(drawn(700, 500), "PNG")


def kept_or_not(workbook: Path) -> str:
    try:
        return keep_photo(workbook, LARGE, "hoof.png").name
    except NotWritten as refused:
        return refused.problem.kind


@pytest.mark.parametrize("limit", [0, 1, 4096, 100_000, len(LARGE) - 1, len(LARGE)])
def test_a_file_that_may_not_grow_leaves_nothing_half(workbook: Path, limit: int) -> None:
    said = limited(limit, lambda: kept_or_not(workbook))
    assert said == ("hoof.png" if limit == len(LARGE) else "write-disk-full")
    assert folder(workbook).exists() == (limit == len(LARGE))
    assert half_files(workbook.parent) == []
    assert keep_photo(workbook, LARGE, "hoof.png").path.read_bytes() == LARGE


def test_a_full_disk_leaves_nothing_half(tmp_path: Path) -> None:
    with mounted(tmp_path / "small", "-t", "tmpfs", "-o", "size=2m", "tmpfs") as small:
        if small is None:
            warnings.warn("no small disk can be mounted here: a limit on files stands in", stacklevel=1)
            return
        workbook = small / "my-horse.xlsx"
        workbook.write_bytes(b"")
        said = set()
        for free in range(0, 1600, 80):
            fill(small / "filler", small, free * 1024)
            said.add(kept_or_not(workbook))
            there = os.listdir(folder(workbook)) if folder(workbook).exists() else []
            assert there in ([], ["hoof.png"])
            for name in there:
                assert (folder(workbook) / name).read_bytes() == LARGE
                (folder(workbook) / name).unlink()
            (small / "filler").unlink()
        assert said == {"write-disk-full", "hoof.png"}


def test_a_folder_without_the_right_to_write_is_said() -> None:
    with open_to_all() as place:
        workbook = place / "my-horse.xlsx"
        workbook.write_bytes(b"")
        place.chmod(0o555)
        as_somebody_else(lambda: check(kept_or_not(workbook), "write-no-permission"))
        place.chmod(0o755)
        keep_photo(workbook, picture(), "first.jpg")
        place.chmod(0o777)
        (place / "my-horse.xlsx backups").chmod(0o777)
        (place / "my-horse.xlsx backups" / "in use").chmod(0o666)
        folder(workbook).chmod(0o555)
        as_somebody_else(lambda: check(kept_or_not(workbook), "write-no-permission"))
        assert os.listdir(folder(workbook)) == ["first.jpg"]


def check(said: str, wanted: str) -> None:
    assert said == wanted


def test_a_writer_that_was_stopped_leaves_nothing_that_looks_like_a_photograph(
    workbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped_before_its_name(say: Say) -> None:
        monkeypatch.setattr("tracker.photos.keep._named", lambda *_: os._exit(0))
        keep_photo(workbook, LARGE, "hoof.png")

    Child(stopped_before_its_name).end()
    assert len(half_files(folder(workbook))) == 1
    with pytest.raises(Unreadable):
        find_photo(workbook, "hoof.png")
    assert keep_photo(workbook, LARGE, "hoof.png").name == "hoof.png"
    assert os.listdir(folder(workbook)) == ["hoof.png"]


def test_two_windows_that_keep_the_same_picture_at_once_keep_it_once(workbook: Path) -> None:
    def keep(say: Say) -> None:
        say(keep_photo(workbook, LARGE, "hoof.png").name)

    said = [name for child in [Child(keep) for _ in range(4)] for name in child.end()]
    assert said == ["hoof.png"] * 4
    assert os.listdir(folder(workbook)) == ["hoof.png"]
