"""Sentences said by a synthetic voice one after the other, heard once, and cut apart again by when they were said."""

import sys
from collections.abc import Sequence
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
if str(TESTS / "speech") not in sys.path:
    sys.path.insert(0, str(TESTS / "speech"))

from speaking import narrate  # noqa: E402

from walkround.speech.transcribe import SpeechOptions, transcribe  # noqa: E402
from walkround.speech.transcript import Segment, Transcript, Word  # noqa: E402
from walkround.speech.weights import find_weights  # noqa: E402

#: Seconds of silence between sentences, and how far outside a sentence a word of it may be placed.
PAUSE, SLACK = 1.4, 0.6


def heard(sentences: Sequence[str], model: str | None = None) -> list[Transcript]:
    """What the recogniser makes of each sentence."""
    sound, truth = narrate([(PAUSE, sentence) for sentence in sentences])
    whole = transcribe(sound, find_weights(model, say=lambda _: None, allow_download=False), SpeechOptions())
    words = list(whole.words())
    out = []
    for spoken in truth:
        own = [w for w in words if spoken.start - SLACK < (w.start + w.end) / 2 < spoken.end + SLACK]
        out.append(_talk(own, whole))
    return out


def _talk(words: list[Word], whole: Transcript) -> Transcript:
    if not words:
        return Transcript((), whole.timing, whole.source, whole.language)
    return Transcript(
        (Segment(words[0].start, words[-1].end, tuple(words)),), whole.timing, whole.source, whole.language
    )
