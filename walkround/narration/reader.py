"""The reading pipeline: from a transcript to a Reading."""

from dataclasses import dataclass

import spacy
from spacy.language import Language
from spacy.tokens import Doc

from walkround.narration.absence import read_absences
from walkround.narration.attach import Attacher
from walkround.narration.clauses import find_clauses
from walkround.narration.echoes import again_events, echo_events, read_echoes
from walkround.narration.excepted import read_exceptions
from walkround.narration.extras import read_extras
from walkround.narration.facts import read_facts
from walkround.narration.leftovers import read_leftovers
from walkround.narration.lexicon import Lexicon
from walkround.narration.light import LightWord, light
from walkround.narration.lowsizes import read_low_sizes
from walkround.narration.marks import restore, weights
from walkround.narration.measures import counted, find_measures
from walkround.narration.model import Move, Reading, Row
from walkround.narration.nothing import nothing_events
from walkround.narration.opinion import give_opinions, model
from walkround.narration.particulars import to_come
from walkround.narration.polarity import Said, judge
from walkround.narration.reserve import read_reserves
from walkround.narration.rows import RowMaker
from walkround.narration.severity import used_up
from walkround.narration.sides import find_sides
from walkround.narration.sizes import read_sizes
from walkround.narration.soundalike import SoundAlikes, confusions
from walkround.narration.terms import TermFinder
from walkround.narration.text import build_doc, quote, times
from walkround.narration.told import Told
from walkround.narration.unlisted import read_unlisted
from walkround.speech.transcript import Transcript


@dataclass
class Reader:
    """Reads narrations with one lexicon. Building it compiles the lexicon once; reading is then fast."""

    lexicon: Lexicon

    def __post_init__(self) -> None:
        self.nlp: Language = spacy.blank("en")
        self.finder = TermFinder(self.nlp.vocab, self.lexicon)
        self.sounds = SoundAlikes(self.lexicon)
        self.confusions = confusions(self.lexicon)
        self.opinions = model()
        self.seen: dict[str, LightWord] = {}

    def parse(self, transcript: Transcript) -> Doc:
        """The Doc with terms, clauses and nothing decided yet."""
        recognised = transcript.timing == "recognised" or any(w.probability is not None for w in transcript.words())
        doc = build_doc(transcript, self.lexicon, self.nlp.vocab, self.confusions if recognised else None)
        doc = self.finder(doc)
        if not doc._.punctuated:
            restore(doc, weights())
            doc = self.finder(doc)
        return light(find_clauses(self.sounds(doc) if recognised else doc), self.seen)

    def read(self, transcript: Transcript) -> Reading:
        """Everything that the narration says."""
        return self.read_doc(self.parse(transcript))

    def read_doc(self, doc: Doc) -> Reading:
        """The same, of a Doc that was parsed already."""
        reading = Reading()
        if not len(doc):
            return reading
        give_opinions(doc, self.opinions)
        sides = find_sides(doc)
        said = judge(doc, self.lexicon)
        measures = find_measures(doc, self.lexicon)
        said += [Said("measure", str(i), m.start, m.end) for i, m in enumerate(measures)]
        said = [s for s in said if not counted(doc, s, measures) and not to_come(doc, self.lexicon, s)]
        nothing = list(nothing_events(doc, self.lexicon, sides))
        said = [s for s in said if s.kind != "good" or not any(n.start <= s.start < n.end for n in nothing)]
        said += [*nothing, *echo_events(doc), *again_events(doc, said)]
        said.sort(key=lambda s: s.start)
        attacher = Attacher(doc, self.lexicon, sides, said)
        told = attacher.read()
        read_echoes(doc, self.lexicon, sides, told)
        read_facts(doc, self.lexicon, reading)
        RowMaker(doc, self.lexicon, told, reading).make()
        read_absences(doc, self.lexicon, told, reading)
        read_exceptions(doc, self.lexicon, told, reading)
        read_sizes(doc, self.lexicon, told, measures, reading)
        read_low_sizes(doc, self.lexicon, told, measures, reading)
        used_up(self.lexicon, reading)
        read_extras(doc, self.lexicon, told, reading)
        read_leftovers(doc, self.lexicon, told, reading)
        read_reserves(doc, self.lexicon, told, self.opinions, reading)
        read_unlisted(doc, told, reading)
        _name(doc, told, reading)
        reading.findings.sort(key=lambda r: (r.start, r.at))
        reading.unplaced.sort(key=lambda r: (r.start, r.at))
        return reading


def _name(doc: Doc, told: Told, reading: Reading) -> None:
    """Every part that was named, with where."""
    sentence = {}
    for start, end in doc._.clauses.sentences:
        for i in range(start, end):
            sentence[i] = (start, end)
    for mention in told.mentions:
        if not mention.named_only:
            continue
        start, end = sentence[mention.start]
        first, last = times(doc, start, end)
        for target in mention.targets:
            reading.named.append(Row(quote(doc, start, end), first, last, target.part, target.side))
    for index, place in told.moves:
        reading.moves.append(Move(times(doc, index, index + 1)[0], place))
