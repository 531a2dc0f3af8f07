"""The fixture that makes recordings."""

from pathlib import Path

import pytest
from making import MakeMedia, make_media_file


@pytest.fixture
def make_media(tmp_path: Path) -> MakeMedia:
    """`making.make_media_file` with a file name in the test's own folder."""

    def make(name: str, **how: object) -> Path:
        return make_media_file(tmp_path / name, **how)  # type: ignore[arg-type]

    return make
