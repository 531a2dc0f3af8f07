"""Words that the recogniser wrote though nobody said them: in silence, and by going round in circles.

Whisper models invent text with high confidence (Koenecke et al., "Careless Whisper", FAccT 2024: about 1 in
100 segments, more where there are long stretches without speech), so the recogniser's own probabilities do
not tell. What tells: whether there was sound at all, repetition, and words a second. Where it is not certain
that words are invented they stay and a warning says so: a disclosed defect must not be lost.
"""

import re
import zlib
from collections.abc import Sequence
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from walkround.media.sound import FRAME_SECONDS, SILENCE_DBFS
from walkround.speech.transcript import Segment, Word
from walkround.timecode import clock

#: A phrase said this often without a break is a loop whatever else; people do say "no, no, no, no".
SURE_REPEATS = 8
#: Fewer repeats are a loop only where the text is as repetitive as Whisper's own limit for failed decoding
#: (compression ratio 2.4), or faster than anyone speaks.
LIKELY_REPEATS = 4
COMPRESSION_LIMIT = 2.4
#: Fast conversation is 4 to 5 words a second; nobody keeps up 8.
WORDS_A_SECOND_LIMIT = 8.0
LONGEST_PHRASE = 14  #: words
_PAD_SECONDS = 0.5


def drop_silent(segments: Sequence[Segment], levels: NDArray[np.float32], warnings: list[str]) -> list[Segment]:
    """Without the segments that lie where no frame of the sound reaches the floor of silence.

    ``levels`` are from `walkround.media.sound.frame_levels`. What is dropped is told in ``warnings``.
    """
    kept = []
    for segment in segments:
        first = max(0, int((segment.start - _PAD_SECONDS) / FRAME_SECONDS))
        last = int((segment.end + _PAD_SECONDS) / FRAME_SECONDS) + 1
        if np.any(levels[first:last] >= SILENCE_DBFS):
            kept.append(segment)
        else:
            warnings.append(
                f'At {clock(segment.start)} the recogniser wrote "{segment.text}" where the recording is '
                "silent; left out."
            )
    return kept


def drop_loops(segments: Sequence[Segment], warnings: list[str]) -> list[Segment]:
    """With each loop cut down to the first time round, since that may have been said.

    A loop is a phrase of up to 14 words repeated without a break, also across segments. What is dropped is
    told in ``warnings``.
    """
    words = list(chain.from_iterable(segment.words for segment in segments))
    keys = [_key(word.text) for word in words]
    drop: set[int] = set()
    i = 0
    while i < len(words):
        length, times = _repeats(keys, i)
        run = words[i : i + length * times]
        if times > 1 and _is_loop(run, times):
            drop.update(range(i + length, i + length * times))
            phrase = " ".join(word.text for word in run[:length])
            warnings.append(
                f'From {clock(run[length].start)} to {clock(run[-1].end)} the recogniser repeated "{phrase}" '
                f"{times - 1} more times; the repeats are left out. Listen to that stretch."
            )
            i += length * times
        else:
            i += 1
    kept: list[Segment] = []
    position = 0
    for segment in segments:
        left = tuple(w for n, w in enumerate(segment.words, position) if n not in drop)
        position += len(segment.words)
        if left:
            kept.append(segment if len(left) == len(segment.words) else Segment(left[0].start, left[-1].end, left))
    return kept


def warn_of_haste(segments: Sequence[Segment], warnings: list[str]) -> None:
    """Warn of more words a second than anyone speaks. They are kept: only their times may be off."""
    for segment in segments:
        seconds = max(segment.end - segment.start, 0.01)
        if len(segment.words) >= 8 and len(segment.words) / seconds > WORDS_A_SECOND_LIMIT:
            warnings.append(
                f"At {clock(segment.start)} more words were written than fit into the time: "
                f'"{segment.text}". Listen to that stretch.'
            )


def _key(text: str) -> str:
    return re.sub(r"[^\w']+", "", text.casefold())


def _repeats(keys: Sequence[str], start: int) -> tuple[int, int]:
    """Length of the phrase at ``start`` and how often it follows itself; the one that covers most words."""
    best = (1, 1)
    for length in range(1, LONGEST_PHRASE + 1):
        phrase = keys[start : start + length]
        if len(phrase) < length or not any(phrase):
            break
        times = 1
        while keys[start + times * length : start + (times + 1) * length] == phrase:
            times += 1
        if times > 1 and length * times > best[0] * best[1]:
            best = (length, times)
    return best


def _is_loop(run: Sequence[Word], times: int) -> bool:
    if times >= SURE_REPEATS:
        return True
    if times < LIKELY_REPEATS:
        return False
    text = " ".join(word.text for word in run).encode()
    seconds = max(run[-1].end - run[0].start, 0.01)
    hurried = len(run) / seconds > WORDS_A_SECOND_LIMIT
    return hurried or len(text) / len(zlib.compress(text)) > COMPRESSION_LIMIT
