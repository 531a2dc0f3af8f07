"""Narrations made from templates over the lexicon's own forms, with what a reader must take from them.

A narration is a list of simple sentences. Each names its part in full and says one thing of it: a fault that is
there, one that is not, one that may be, or a good word. The forms are the lexicon's; which defect goes with
which part is set down here, so that no hose is dented and no seat leaks.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from hypothesis import strategies as st

from walkround.narration.lexicon import Lexicon, load_lexicon
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Segment, Transcript, Word

#: What hard parts of metal, plastic or paint there are to be marked.
_HARD = """
headlight nose-fairing front-mudguard fork-leg front-brake-caliper front-wheel bar-end clutch-lever brake-lever
mirror top-yoke fuel-tank fuel-cap side-fairing belly-pan side-panel tail-unit hand-guard frame engine-casing
engine-bar crash-bung exhaust-header exhaust-silencer gear-lever rear-brake-pedal heel-guard side-stand
centre-stand swingarm chain-guard rear-hugger rear-wheel rear-brake-caliper rear-mudguard number-plate grab-rail
luggage-rack pannier-rail pannier top-box handlebar instruments tail-light
""".split()
_SHEET = (
    "fuel-tank front-mudguard rear-mudguard exhaust-silencer exhaust-header radiator pannier top-box headlight".split()
)
_PLASTIC = """
windscreen headlight nose-fairing front-mudguard mirror side-fairing belly-pan side-panel tail-unit hand-guard
front-indicator rear-indicator rear-hugger tail-light chain-guard pannier top-box number-plate
""".split()
_METAL = """
fork-leg front-wheel rear-wheel handlebar fuel-tank frame engine-casing engine-bar exhaust-header exhaust-silencer
swingarm side-stand centre-stand luggage-rack pannier-rail grab-rail rear-brake-disc front-brake-disc radiator
fork-stanchion chain sprockets
""".split()
_RODS = """
clutch-lever brake-lever gear-lever rear-brake-pedal handlebar mirror bar-end engine-bar rider-footrest
pillion-footrest luggage-rack pannier-rail number-plate heel-guard swingarm front-wheel rear-wheel
""".split()
_WET = "fork-seal engine-casing sump rear-shock coolant-hose radiator rear-brake-caliper fluid-reservoir".split()
_FITTED = """
mirror bar-end hand-guard side-panel number-plate heel-guard chain-guard rear-hugger crash-bung grab-rail
front-indicator rear-indicator horn tail-light headlight windscreen luggage-rack belly-pan
""".split()
_CLOTH = "rider-seat pillion-seat handlebar-grip".split()
_RUBBER = "front-tyre rear-tyre coolant-hose brake-hose".split()
_CONSUMED = """
front-tyre rear-tyre front-brake-pads rear-brake-pads chain sprockets front-brake-disc rear-brake-disc
handlebar-grip tank-pad
""".split()
_ELECTRIC = "horn instruments switchgear power-socket battery headlight tail-light ignition-lock".split()
_NOISY = "engine-running chain exhaust-silencer rear-shock brakes-working".split()


@dataclass(frozen=True)
class Kind:
    """How a defect is said: things one can count, stuff one cannot, words after "is", and the parts it befalls."""

    things: tuple[str, ...]
    stuff: tuple[str, ...]
    states: tuple[str, ...]
    parts: tuple[str, ...]


def _kind(things: str, stuff: str, states: str, parts: list[str]) -> Kind:
    one, two, three = (tuple(w.strip() for w in text.split(",") if w.strip()) for text in (things, stuff, states))
    return Kind(one, two, three, tuple(parts))


KINDS: dict[str, Kind] = {
    "scratch": _kind("scratch, gouge, hairline scratch, score mark", "", "scratched, gouged", _HARD),
    "scuff": _kind("scuff, scuff mark, scrape, graze", "kerb rash", "scuffed, scraped, grazed", _HARD),
    "mark": _kind("mark, blemish, scar", "", "marked, blemished", _HARD),
    "stone-chip": _kind("stone chip, rock chip, road chip", "", "stone chipped, peppered", _HARD),
    "paint-chip": _kind("chip, paint chip, nick, bare patch", "paint loss", "chipped, flaking", _HARD),
    "dent": _kind("dent, ding, dink, dimple", "", "dented, creased", _SHEET),
    "crack": _kind("crack, hairline crack, stress crack, fracture", "", "cracked, crazed", _PLASTIC),
    "broken": _kind("", "", "broken, snapped, smashed", _PLASTIC),
    "missing": _kind("", "", "missing", _FITTED),
    "bent": _kind("", "", "bent, twisted, buckled", _RODS),
    "corrosion": _kind("rust spot", "rust, corrosion, surface rust, verdigris", "rusty, corroded, tarnished", _METAL),
    "pitting": _kind("", "pitting", "pitted", [p for p in _METAL if p != "fork-leg"]),
    "fading": _kind("", "", "faded, discoloured, yellowed", _PLASTIC),
    "peeling": _kind("blister", "", "peeling, delaminating", _PLASTIC),
    "residue": _kind("glue mark, sticker mark", "residue, gunk", "", _HARD),
    "stain": _kind("stain, burn mark, tide mark", "", "stained, scorched", _HARD),
    "leak": _kind("leak, weep, oil weep, drip", "seepage", "leaking, weeping", _WET),
    "wear": _kind("", "wear", "worn, worn out, part worn", _CONSUMED),
    "perished": _kind("", "dry rot", "perished, brittle", _RUBBER),
    "tear": _kind("tear, rip, hole, slit", "fraying", "torn, ripped, frayed", _CLOTH),
    "loose": _kind("wobble", "", "loose, wobbly, undone", _FITTED),
    "misaligned": _kind("", "", "misaligned, crooked, out of line", _FITTED),
    "noise": _kind("rattle, knock, squeak, whine", "grinding", "noisy, rattling", _NOISY),
    "not-working": _kind("", "", "seized, stuck, faulty, intermittent", _ELECTRIC),
    "out-of-date": _kind("", "", "out of date, expired, overdue", ["test-certificate"]),
}

_STATED = {
    "things": (
        "There's a {d} on the {p}.",
        "The {p} has a {d} on it.",
        "The {p} has got a {d}.",
        "The {p}'s got a small {d}.",
        "On the {p} there's a {d}.",
        "You can see a {d} on the {p}.",
        "There is one {d} on the {p} here.",
    ),
    "stuff": (
        "There's some {d} on the {p}.",
        "The {p} has {d} on it.",
        "The {p} has got a bit of {d}.",
        "You can see {d} on the {p}.",
    ),
    "states": ("The {p} is {d}.", "The {p} is now {d}.", "The {p} looks {d} to me.", "The {p}'s {d}."),
}
_DENIED = {
    "things": (
        "There's no {d} on the {p}.",
        "The {p} has no {d} on it.",
        "The {p} hasn't got a {d}.",
        "I can't see a {d} on the {p}.",
        "The {p} is without a {d}.",
        "There isn't a single {d} on the {p}.",
    ),
    "stuff": (
        "There's no {d} on the {p}.",
        "The {p} has no {d} on it.",
        "The {p} hasn't got any {d}.",
        "I can't find any {d} on the {p}.",
        "The {p} is free of {d}.",
    ),
    "states": ("The {p} isn't {d}.", "The {p} is not {d}.", "The {p} has never been {d}."),
}
_DOUBTED = {
    "things": (
        "There might be a {d} on the {p}.",
        "The {p} might have a {d}.",
        "I'm not sure if there's a {d} on the {p}.",
        "I can't rule out a {d} on the {p}.",
    ),
    "stuff": ("There might be some {d} on the {p}.", "I can't rule out {d} on the {p}."),
    "states": ("The {p} might be {d}.", "I'm not sure if the {p} is {d}."),
}
TEMPLATES = {"stated": _STATED, "denied": _DENIED, "doubted": _DOUBTED}
PRAISE = ("The {p} is spot on.", "The {p} is fine.", "The {p} is in good order.", "The {p} is perfect.")
#: Words in a form that make it no plain name of a part ("where you sit", "once it's going", "the can").
_NO_NAME = frozenset("where it it's she once listen have the a your tools end over".split())


@dataclass(frozen=True)
class Fact:
    """One thing that is said. ``mode`` is stated, denied, doubted or praised; a good word has no defect."""

    part: str
    side: str | None
    mode: str
    text: str
    defect: str | None = None
    word: str = ""

    @property
    def key(self) -> tuple[str, str | None, str | None]:
        """What a reader takes from it."""
        return self.part, self.side, self.defect


@dataclass(frozen=True)
class Told:
    """A narration with its key."""

    facts: tuple[Fact, ...]

    @property
    def text(self) -> str:
        """The sentences one after the other."""
        return " ".join(fact.text for fact in self.facts)

    def keys(self, *modes: str) -> set[tuple[str, str | None, str | None]]:
        """What is said in these modes."""
        return {fact.key for fact in self.facts if fact.mode in modes}


@cache
def lexicon() -> Lexicon:
    """The project's own lexicon, loaded once."""
    return load_lexicon()


@cache
def names(part: str) -> tuple[str, ...]:
    """Plain names of a part: its strong forms, or those that "front" and "rear" make of its family's."""
    words = lexicon()
    forms = list(words.parts[part].forms)
    for family in words.families.values():
        for axis, member in family.members.items():
            if member == part and family.axis_words and axis in words.axis:
                forms += [f"{word} {form}" for word in words.axis[axis] for form in family.forms]
    forms = [f for f in forms if f not in words.parts[part].right]  # "the throttle grip" is never the left one
    return tuple(f for f in forms if not _NO_NAME & set(f.split()) and "left" not in f and "right" not in f)


def means(defect: str, word: str, part: str) -> str:
    """The defect that a word means on a part: a cracked tyre is perished, by the lexicon's own rule."""
    for rule in lexicon().defects[defect].becomes:
        if part in rule["parts"] and word in rule["forms"]:
            return str(rule["defect"])
    return defect


def combinations() -> Iterator[tuple[str, str, str, str]]:
    """Every defect, way of saying it, word and part that go together."""
    for defect, kind in KINDS.items():
        for way in ("things", "stuff", "states"):
            for word in getattr(kind, way):
                for part in kind.parts:
                    yield defect, way, word, part


@cache
def _all() -> tuple[tuple[str, str, str, str], ...]:
    return tuple(combinations())


def fact_of(mode: str, template: str, part: str, name: str, side: str | None, defect: str, word: str) -> Fact:
    """A fact with its sentence; the side stands before the part's name."""
    named = f"{side} {name}" if side else name
    text = template.format(p=named, d=word)
    for vowel in "aeiou":
        text = text.replace(f" a {vowel}", f" an {vowel}")
    return Fact(part, side, mode, text[0].upper() + text[1:], means(defect, word, part) if defect else None, word)


@st.composite
def facts(draw: st.DrawFn, modes: tuple[str, ...] = ("stated", "denied", "doubted", "praised")) -> Fact:
    """One sentence of any of the modes."""
    mode = draw(st.sampled_from(modes))
    defect, way, word, part = draw(st.sampled_from(_all()))
    sided = lexicon().parts[part].sided
    side = draw(st.sampled_from(("left", "right"))) if sided else None
    name = draw(st.sampled_from(names(part)))
    if mode == "praised":
        return fact_of(mode, draw(st.sampled_from(PRAISE)), part, name, side, "", "")
    return fact_of(mode, draw(st.sampled_from(TEMPLATES[mode][way])), part, name, side, defect, word)


def narrations(*modes: str, most: int = 6) -> st.SearchStrategy[Told]:
    """Narrations of one to ``most`` sentences, each of a part of its own, in any order."""
    wanted = modes or ("stated", "denied", "doubted", "praised")
    listed = st.lists(facts(wanted), min_size=1, max_size=most, unique_by=lambda f: f.part)
    return listed.map(lambda found: Told(tuple(found)))


def transcript(text: str) -> Transcript:
    """The text as words with guessed times, as a typed transcript gives them."""
    return Transcript(tuple(read_plain_text(text, None)), "estimated", "made for a test")


def bare(text: str) -> str:
    """The text without capitals and without marks; apostrophes and hyphens belong to words."""
    return "".join(c for c in text.lower() if c.isalnum() or c in " '-’\n")


def stripped(talk: Transcript) -> Transcript:
    """The same words at the same times without capitals and marks, as some recognisers write them."""
    segments = []
    for segment in talk.segments:
        words = tuple(Word(bare(w.text), w.start, w.end) for w in segment.words if bare(w.text))
        segments.append(Segment(segment.start, segment.end, words))
    return Transcript(tuple(segments), talk.timing, talk.source)


SWAP = {"left": "right", "right": "left"}


def swapped(text: str) -> str:
    """The text with left and right exchanged, capitals kept."""
    out = []
    for word in text.split(" "):
        core = word.strip(".,").lower()
        new = word.lower().replace(core, SWAP[core]) if core in SWAP else word
        out.append(new.capitalize() if core in SWAP and word[:1].isupper() else new)
    return " ".join(out)
