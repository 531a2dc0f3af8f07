"""The lexicon's checks: every fault of a dealer's file is one sentence with its file and line."""

from collections.abc import Callable
from pathlib import Path

import generator
import pytest
from rows import found, good

from walkround.errors import LexiconError
from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.narration.model import Reading
from walkround.narration.reader import Reader


@pytest.fixture
def dealer(tmp_path: Path) -> Callable[..., Path]:
    """Writes a dealer's folder: file name without its ending to text."""

    def write(**files: str) -> Path:
        for name, text in files.items():
            (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
        return tmp_path

    return write


def read_with(folder: Path, text: str) -> Reading:
    return Reader(load_lexicon(folder)).read(generator.transcript(text))


# --- overlays --------------------------------------------------------------------------------------
def test_a_dealers_word_for_a_part_is_understood(dealer: Callable[..., Path]) -> None:
    folder = dealer(parts='[mirror]\nforms = ["looking glass"]\n')
    assert found(read_with(folder, "The left looking glass is cracked.")) == ["mirror/left/crack"]


def test_a_dealers_word_for_a_defect_is_understood(dealer: Callable[..., Path]) -> None:
    folder = dealer(defects='[dent]\nforms = ["wallop"]\n')
    assert found(read_with(folder, "There are two wallops in the tank.")) == ["fuel-tank/-/dent"]


def test_a_dealers_denial_is_understood(dealer: Callable[..., Path]) -> None:
    folder = dealer(phrases='[denial]\nbefore = ["devil a"]\n')
    assert good(read_with(folder, "Devil a dent in the tank.")) == ["fuel-tank/-"]


def test_a_dealers_spelling_is_understood(dealer: Callable[..., Path]) -> None:
    folder = dealer(spelling='[same]\nskratch = "scratch"\n')
    assert found(read_with(folder, "A skratch on the screen.")) == ["windscreen/-/scratch"]


def test_our_own_words_stay_beside_a_dealers(dealer: Callable[..., Path]) -> None:
    folder = dealer(parts='[mirror]\nforms = ["looking glass"]\n')
    assert found(read_with(folder, "The left mirror is cracked.")) == ["mirror/left/crack"]


def test_a_dealers_folder_changes_the_fingerprint(dealer: Callable[..., Path], lexicon: Lexicon) -> None:
    assert load_lexicon(dealer(parts='[mirror]\nforms = ["looking glass"]\n')).sha256 != lexicon.sha256


def test_a_dealers_folder_does_not_change_ours(dealer: Callable[..., Path]) -> None:
    before = load_lexicon()
    load_lexicon(dealer(parts='[mirror]\nforms = ["looking glass"]\n'))
    assert load_lexicon().trees == before.trees


# --- faults ----------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "text", "line", "says"),
    [
        # A list that is never closed is only reported "at end of document", without a line.
        ("parts", "[mirror]\nforms = looking glass\n", "line 2", "not valid TOML"),
        ("parts", '\n[mirrror]\nforms = ["looking glass"]\n', "line 2", "unknown id 'mirrror'"),
        ("parts", '[mirror]\n\nfroms = ["looking glass"]\n', "line 3", "unknown key 'froms'"),
        ("parts", '[mirror]\nforms = [\n  "petrol tank",\n]\n', "line 3", "'petrol tank' is given to"),
        ("parts", '[mirror]\nforms = "looking glass"\n', "line 2", "'forms' must be a list"),
        ("parts", '[mirror]\nforms = ["..."]\n', "line 2", "holds no word"),
        ("parts", "[mirror]\nforms = [3]\n", "line 2", "is not text"),
        ("parts", '[mirror]\nname = "Mirror"\ngroup = "upstairs"\n', "line 3", "unknown group 'upstairs'"),
        ("defects", '[dent]\nforms = ["wallop"]\nseverity = "dire"\n', "line 3", "unknown severity 'dire'"),
        ("defects", '[dent]\nforms = [\n"wallop",\n"scratched"]\n', "line 4", "'scratched' is given to"),
        ("families", '[tyre]\nmembers = { front = "front-tire" }\n', "line 2", "unknown part 'front-tire'"),
        ("phrases", '[praise]\nphrases = ["tops"]\n', "line 1", "unknown id 'praise'"),
    ],
)
def test_a_fault_names_its_file_and_line(
    dealer: Callable[..., Path], name: str, text: str, line: str, says: str
) -> None:
    folder = dealer(**{name: text})
    with pytest.raises(LexiconError) as caught:
        load_lexicon(folder)
    message = str(caught.value)
    assert f"{name}.toml" in message
    assert line in message
    assert says in message
    assert "\n" not in message


def test_a_file_of_another_name_is_refused(dealer: Callable[..., Path]) -> None:
    with pytest.raises(LexiconError, match=r"bits\.toml: unknown file name; use one of parts\.toml"):
        load_lexicon(dealer(bits="[mirror]\n"))


def test_a_folder_without_files_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LexiconError, match=r"holds no \.toml file"):
        load_lexicon(tmp_path)


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LexiconError, match="no such folder"):
        load_lexicon(tmp_path / "nowhere")


def test_text_that_is_not_utf8_is_refused(tmp_path: Path) -> None:
    (tmp_path / "parts.toml").write_bytes(b'[mirror]\nforms = ["caf\xe9"]\n')
    with pytest.raises(LexiconError, match=r"parts\.toml: is not UTF-8 text"):
        load_lexicon(tmp_path)


# --- our own files ---------------------------------------------------------------------------------
def test_every_part_can_be_named(lexicon: Lexicon) -> None:
    assert all(generator.names(part) for part in lexicon.parts if part != "keys")


def test_every_defect_can_be_said(lexicon: Lexicon) -> None:
    assert all(defect.forms for defect in lexicon.defects.values())
