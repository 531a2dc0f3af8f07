"""The list itself, a dealer's own laid over it, and the faults that either can hold."""

from pathlib import Path

import pytest
from talks import reader

from walkround.checklist.items import checklist_of, kinds_given, part_given, read_own_checklist
from walkround.errors import InputError, LexiconError
from walkround.narration.lexicon import lexicon_folder, load_lexicon

KINDS = [
    "naked",
    "faired",
    "adventure",
    "touring",
    "cruiser",
    "scooter",
    "off-road",
    "two-stroke",
    "classic",
    "electric",
]


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "ours.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_part_of_the_lexicon_is_asked_for_once() -> None:
    lexicon = reader().lexicon
    asked = [part for entry in checklist_of(lexicon).entries.values() for part in entry.parts]
    assert sorted(asked) == sorted(lexicon.parts)


def test_every_item_has_a_place_a_sentence_and_a_reason() -> None:
    lexicon = reader().lexicon
    items = checklist_of(lexicon)
    for entry in items.entries.values():
        assert entry.why.endswith(".")
        assert entry.why.count(".") == 1, entry.id
        assert not entry.say.endswith(".")
        assert entry.stand in items.stands or all(lexicon.parts[part].sided for part in entry.parts), entry.id
    assert list(items.kinds) == KINDS
    assert {"tread-depth", "date-code"} <= set(items.entries["front-tyre"].wants)
    assert {"tread-depth", "date-code"} <= set(items.entries["rear-tyre"].wants)
    for end in ("front", "rear"):
        assert items.entries[f"{end}-brake-pads"].wants == ("pad-thickness",)
    assert items.entries["chain"].wants == ("verdict",)


@pytest.mark.parametrize("kind", KINDS)
def test_no_kind_lacks_what_it_is_asked_for_first(kind: str) -> None:
    items = checklist_of(reader().lexicon)
    lacking = set(items.kinds[kind].not_fitted)
    asked = {p for e in items.entries.values() if kind in (*e.essential_on, *e.usual_on) for p in e.parts}
    assert not lacking & asked
    safe = {"front-tyre", "rear-tyre", "front-brake-pads", "rear-brake-pads", "steering-head", "frame"}
    assert not lacking & safe


def test_a_dealers_list_is_laid_over_ours(tmp_path: Path) -> None:
    lexicon = reader().lexicon
    path = own(
        tmp_path,
        '[item.front-tyre]\nwants = ["verdict"]\n[item.horn]\nasked = false\n'
        '[item.luggage]\nparts = ["pannier", "top-box"]\nessential = true\nstand = "rear"\n'
        'say = "open each"\nwhy = "They leak."\n',
    )
    items = checklist_of(lexicon, read_own_checklist(path, lexicon))
    assert items.entries["front-tyre"].wants == ("verdict",)
    assert items.entries["front-tyre"].essential
    assert "horn" not in items.entries
    assert items.entries["luggage"].parts == ("pannier", "top-box")


def test_the_file_in_the_dealers_lexicon_folder_counts_too(tmp_path: Path) -> None:
    (tmp_path / "checklist.toml").write_text("[item.horn]\nessential = true\n", encoding="utf-8")
    assert checklist_of(load_lexicon(tmp_path)).entries["horn"].essential


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ('\n[item.swingarm]\nparts = ["swing-arm"]\n', 3, "unknown part 'swing-arm' in [item.swingarm]; use swingarm"),
        ('[item.sidecar]\nsay = "show it"\nwhy = "It matters."\n', 1, "unknown part 'sidecar'"),
        ('[item.horn]\nwants = ["loudness"]\n', 2, "unknown want 'loudness'"),
        ('[item.horn]\nstand = "roof"\n', 2, "unknown stand 'roof'"),
        ('[item.horn]\nusual_on = ["hovercraft"]\n', 2, "unknown kind 'hovercraft'"),
        ('[item.horn]\ncolour = "red"\n', 2, "unknown key 'colour'"),
        ('[item.horn]\nessential = "yes"\n', 2, "must be true or false"),
        ('[item.horn]\nsay = ["a"]\n', 2, "is not text"),
        ('[item.horn]\nparts = "horn"\n', 2, "is not a list"),
        ('[item.horn]\nsides = "one"\n', 2, 'must be "each" or "either"'),
        ('[item.extra]\nparts = ["horn"]\nwhy = "So."\n', 1, "has no 'say'"),
        ('[item.extra]\nfacts = ["colour"]\nsay = "a"\nwhy = "So."\n', 1, "has facts and no 'name'"),
        ('[kind.naked]\nnot_fitted = ["wings"]\n', 2, "unknown part 'wings'"),
        ("[items.horn]\nessential = true\n", 1, "unknown table 'items'"),
        ("item = 3\n", 1, "not written as in our checklist.toml"),
        ("[kinds]\nwithin_words = true\n", None, "[kinds] needs"),
        ("[[left_out]]\nwhat = 3\n", None, "needs 'what' and 'why'"),
        ("[item.horn\n", 1, "is not valid TOML"),
    ],
)
def test_a_fault_names_the_file_and_the_line(tmp_path: Path, text: str, line: int | None, says: str) -> None:
    path = own(tmp_path, text)
    with pytest.raises(LexiconError) as fault:
        read_own_checklist(path, reader().lexicon)
    told = str(fault.value)
    assert str(path) in told
    assert says in told
    assert told.endswith(".")
    if line is not None:
        assert f"line {line}" in told


@pytest.mark.parametrize("data", [b"\xff\xfe", None])
def test_a_file_that_cannot_be_read(tmp_path: Path, data: bytes | None) -> None:
    path = tmp_path / "ours.toml"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(LexiconError, match=r"ours\.toml"):
        read_own_checklist(path, reader().lexicon)


def test_kinds_and_parts_that_are_given() -> None:
    lexicon = reader().lexicon
    items = checklist_of(lexicon)
    assert kinds_given("Faired, electric", items) == ("faired", "electric")
    assert part_given("centre stand", lexicon) == part_given("center stand", lexicon) == "centre-stand"
    assert part_given("front-tyre", lexicon) == "front-tyre"
    with pytest.raises(InputError, match="no kind of bike 'hovercraft'; use one of naked"):
        kinds_given("hovercraft", items)
    with pytest.raises(InputError, match="No kind of bike"):
        kinds_given(" , ", items)
    with pytest.raises(InputError, match="no part 'centre-stnd'; use centre-stand"):
        part_given("centre-stnd", lexicon)


def test_the_list_leaves_nothing_out_without_a_reason() -> None:
    for what, why in checklist_of(reader().lexicon).left_out:
        assert what
        assert len(why) > 20


def test_our_file_is_in_the_lexicon_folder() -> None:
    assert (lexicon_folder() / "checklist.toml").is_file()
