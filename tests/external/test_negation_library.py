"""Denial read by us and by a general library for the scope of negation, on the same words.

Reference: negspacy 1.1 (MIT), which implements NegEx (Chapman, Bridewell, Hanbury, Cooper and Buchanan, "A simple
algorithm for identifying negated findings and diseases in discharge summaries", Journal of Biomedical Informatics 34,
2001), with its general English term set "en" and, for good measure, its clinical one, on a blank English spaCy
pipeline with a rule-based sentencizer. It is given the very spans of the defect words that we judge, so that only the
scope of denial is compared. No trained model is used.

NegEx was made for clinical notes and not for talk: the figures say how far a general tool would carry this job, not
that it is a bad one. The sentences were written by people who know how our reading works; the last ones are there
because we read most of them wrongly. Of the project's own narrations a word counts as denied where no finding of the
key quotes it: that takes in what is wished, of another bike or said again, which NegEx does not claim to find.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import spacy
from negspacy.negation import Negex  # noqa: F401  (registers the component)
from negspacy.termsets import termset
from spacy.language import Language

from walkround.narration.lexicon import load_lexicon
from walkround.narration.polarity import judge
from walkround.narration.reader import Reader
from walkround.speech.timed_text import read_plain_text
from walkround.speech.transcript import Transcript

GOLD = Path(__file__).resolve().parents[1] / "gold"
#: Words in [brackets] are said to be there or may be, words in {braces} are denied.
SENTENCES = """
There's no {rust} on the frame.
No {dents}, no {scratches}, but there's a [scuff] on the left fairing.
The screen isn't {cracked}, it's just [scratched].
I can't see any {chips} in the paint.
I can't say there isn't a [dent] in the tank.
I'm not going to tell you there's no [scratch] on the screen.
Not a {mark} on the seat except a small [tear] at the back.
The chain isn't {rusty}, only a bit [slack].
Any {rust} under the seat? None.
Any {leaks} from the forks? No, bone dry.
{Dents}, none.
{Scratches}, not that I can see.
The tank has neither {rust} nor {scratches}.
There are no {rips}, {tears} or {splits} in the seat.
I can't rule out a [leak] at the sump.
I'm not sure if that's a [crack] or not.
There might be a small [dent] under the sticker.
I don't know whether that's a [scratch].
There's no getting away from it, the seat's [torn].
No doubt about it, the mirror's [cracked].
There's no hiding the [dent] in the tank.
I won't lie, the exhaust is [dented].
The [scratch] on the tank won't polish out.
The [dent] doesn't show up on the camera.
I don't know how the [scratch] got there.
Don't worry about the [scuff] on the heel guard.
Not only is it [scratched], it's [loose] as well.
The left mirror isn't {loose}, it's [bent].
Never a {leak} from the left fork seal.
The tank has never been {dented}.
The wheels are free from {dents}.
Without a single {chip}, that mudguard.
You won't find a {scratch} on that tank.
I've looked for {rust} and found none.
The hoses show no sign of {dry rot}.
There isnae a {dent} in it.
It doesnae {rattle}.
Nae {rust} to speak of.
It's not {bent}, mind, but it's [pitted].
There's a [chip] on the mudguard and no {rust}.
The rack's [rusty] and the stand isn't {bent}.
The headlight's not {cracked}. The indicator is [cracked].
It's [worn], not {perished}.
It's barely [marked].
The brake disc has a [lip] but no {scoring}.
It isn't that there's no [rust], there's a little.
There's nothing {broken} on the left side.
Neither mirror is {cracked}.
None of the spokes are {loose}.
It hasn't got a {scratch} on it, apart from a [nick] by the key.
I wouldn't say there's a {dent}.
I wouldn't call that a {dent}.
The seat isn't {ripped}. It's [stained].
No {knocks}, no {rattles}, a slight [whine] in first.
The swingarm's [scratched], the frame isn't {scratched}.
It came with a [scratch], nothing {cracked} though.
Zero {rust}.
A [dent], no more than that.
It's got no {cracks} that I can find, only a [scratch].
The lever is [bent]; I did not notice it before.
I couldn't swear there isn't a [leak] at the sump.
I can't be sure there isn't [rust] inside the tank.
I can't promise there's no [rust] in the box section.
The {leak} that everybody worries about isn't there.
It would take a better eye than mine to find a {scratch}.
Show me a {scratch} on that tank, you'll not manage it.
I'd be amazed if you found {rust} on it.
{Rust} has yet to touch the frame.
A [dent]? Not a big one, but it's there.
""".strip().splitlines()


@dataclass(frozen=True)
class Case:
    """Defect words with the truth, the place of each in the text, and what we say of it."""

    text: str
    spans: list[tuple[int, int]]
    denied: list[bool]
    ours: list[bool]


@dataclass
class Table:
    """Counts of "denied": said and true, said and false, missed."""

    right: int = 0
    extra: int = 0
    missed: int = 0
    true_other: int = 0

    def add(self, said: bool, true: bool) -> None:
        """Count one word."""
        self.right += said and true
        self.extra += said and not true
        self.missed += true and not said
        self.true_other += not true and not said

    @property
    def f1(self) -> float:
        """2 TP / (2 TP + FP + FN)."""
        return 2 * self.right / (2 * self.right + self.extra + self.missed)

    def line(self, name: str) -> str:
        """One line of the printed table."""
        precision = self.right / (self.right + self.extra) if self.right + self.extra else 1.0
        recall = self.right / (self.right + self.missed)
        counts = f"{self.right:5}{self.extra:7}{self.missed:8}{self.true_other:9}"
        return f"{name:22}{counts}{precision:8.3f}{recall:8.3f}{self.f1:8.3f}"


HEAD = f"{'':22}{'right':>5}{'extra':>7}{'missed':>8}{'neither':>9}{'P':>8}{'R':>8}{'F1':>8}"


@pytest.fixture(scope="module")
def reader() -> Reader:
    return Reader(load_lexicon())


@pytest.fixture(scope="module", params=["en", "en_clinical"])
def negex(request: pytest.FixtureRequest) -> tuple[str, Language]:
    """The reference pipeline with one of its term sets."""
    nlp = spacy.blank("en")
    nlp.add_pipe("sentencizer")
    nlp.add_pipe("negex", config={"neg_termset": termset(request.param).get_patterns()})
    return request.param, nlp


def judged(reader: Reader, text: str, defects_only: bool = False) -> Iterator[tuple[int, int, str]]:
    """The characters of each defect word and the status we give it; of a good word, that of the fault it denies."""
    doc = reader.parse(Transcript(tuple(read_plain_text(text, None)), "estimated", "made for a test"))
    places, at = [], 0
    for word in doc._.words:
        at = text.index(word.text, at)
        places.append((at, at + len(word.text)))
        at += len(word.text)
    for said in judge(doc, reader.lexicon):
        if defects_only and said.kind != "defect":
            continue
        words = doc._.tokens[said.start].word, doc._.tokens[said.end - 1].word
        good = {"said": "denied", "denied": "said"}  # "not a mark on it" is a good word, and denies the mark
        status = said.status if said.kind == "defect" else good.get(said.status, said.status)
        yield places[words[0]][0], places[words[1]][1], status


def sentence_case(reader: Reader, marked: str) -> Case:
    """A case of one sentence. A word that is none of ours counts as not denied by us."""
    text = re.sub(r"[\[\]{}]", "", marked)
    truth, shift = [], 0
    for match in re.finditer(r"[\[{](.+?)[\]}]", marked):
        start = match.start() - shift
        truth.append((start, start + len(match[1]), match[0].startswith("{")))
        shift += 2
    found = list(judged(reader, text))
    spans, denied, ours = [], [], []
    for start, end, true in truth:
        status = [s for a, b, s in found if a < end and start < b]
        spans.append((start, end))
        denied.append(true)
        ours.append("denied" in status)
    return Case(text, spans, denied, ours)


def gold_case(reader: Reader, folder: Path) -> Case:
    """A case of a whole narration: a defect word is denied where no finding of the key quotes it."""
    lines = (folder / "narration.txt").read_text(encoding="utf-8").splitlines()
    text = " ".join(" ".join(line for line in lines if not line.startswith("[")).split())
    quoted = []
    for finding in json.loads((folder / "gold.json").read_text(encoding="utf-8"))["findings"]:
        quote = " ".join(finding["quote"].split())
        quoted += [m.span() for m in re.finditer(re.escape(quote), text)]
    spans, denied, ours = [], [], []
    for start, end, status in judged(reader, text, defects_only=True):
        spans.append((start, end))
        denied.append(not any(a < end and start < b for a, b in quoted))
        ours.append(status != "said")
    return Case(text, spans, denied, ours)


def by_negex(nlp: Language, case: Case) -> list[bool]:
    """What the library says of the same words."""
    doc = nlp.make_doc(case.text)
    ents = [doc.char_span(start, end, label="DEFECT", alignment_mode="expand") for start, end in case.spans]
    doc.ents = ents
    for _, pipe in nlp.pipeline:
        doc = pipe(doc)
    return [ent._.negex for ent in doc.ents]


def compare(cases: list[Case], nlp: Language) -> tuple[Table, Table]:
    """Our table and the library's, over the same words."""
    mine, theirs = Table(), Table()
    for case in cases:
        library = by_negex(nlp, case)
        assert len(library) == len(case.denied)
        for true, our, their in zip(case.denied, case.ours, library, strict=True):
            mine.add(our, true)
            theirs.add(their, true)
    return mine, theirs


def show(title: str, mine: Table, theirs: Table, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Print both tables."""
    with capsys.disabled():
        print(f"\n{title}\n{HEAD}\n{mine.line('ours')}\n{theirs.line(f'negspacy {name}')}")


def test_our_denial_is_ahead_on_sentences(
    reader: Reader, negex: tuple[str, Language], capsys: pytest.CaptureFixture[str]
) -> None:
    name, nlp = negex
    cases = [sentence_case(reader, marked) for marked in SENTENCES]
    mine, theirs = compare(cases, nlp)
    show(f"denied, {len(SENTENCES)} sentences", mine, theirs, name, capsys)
    assert mine.right + mine.missed >= 40
    assert mine.f1 > theirs.f1


def test_our_denial_is_ahead_on_whole_narrations(
    reader: Reader, negex: tuple[str, Language], capsys: pytest.CaptureFixture[str]
) -> None:
    name, nlp = negex
    cases = [gold_case(reader, path.parent) for path in sorted(GOLD.glob("*/gold.json"))]
    mine, theirs = compare(cases, nlp)
    show(f"not asserted, {len(cases)} narrations", mine, theirs, name, capsys)
    assert mine.right + mine.missed >= 50
    assert mine.f1 > theirs.f1
