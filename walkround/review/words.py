"""Words of the transcript that a person put right: laid over what was heard, before it is read."""

from collections.abc import Iterable

from walkround.report import record as r
from walkround.report.heard import Heard, rounded
from walkround.review.log import Entry

#: Word times may have moved by so much (seconds) since the correction was made.
NEAR = 0.25


def put_right(heard: Heard, edits: Iterable[Entry]) -> tuple[Heard, list[r.Correction]]:
    """What was heard with the corrections in it, and those that could be laid over it. Pure."""
    corrections = [edit for edit in edits if edit.action == "correct" and edit.target]
    if not corrections:
        return heard, []
    films = [film.model_copy(update={"transcript": _loose(film.transcript)}) for film in heard.films]
    done = []
    for edit in corrections:
        target = edit.target or {}
        source, start = int(target["source"]), float(target["start"])
        if source < len(films) and _lay(films[source].transcript, start, str(edit.before), str(edit.after)):
            done.append(
                r.Correction(
                    source=source, start=start, heard=str(edit.before), put=str(edit.after), who=edit.who, at=edit.time
                )
            )
    return heard.model_copy(update={"films": films}), done


def _loose(transcript: r.TranscriptRow) -> r.TranscriptRow:
    """A transcript whose list of segments can be changed; the segments are still those of the other one."""
    return transcript.model_copy(update={"segments": list(transcript.segments)})


def _lay(transcript: r.TranscriptRow, start: float, heard: str, put: str) -> bool:
    """Put the words ``put`` where ``heard`` begins at ``start`` (seconds). False where they no longer stand there."""
    wanted = heard.split()
    best: tuple[float, int, int] | None = None
    for at, segment in enumerate(transcript.segments):
        for index, word in enumerate(segment.words):
            away = abs(word.start - start)
            if away > NEAR:
                continue
            here = [w.text for w in segment.words[index : index + len(wanted)]]
            if here == wanted and (best is None or away < best[0]):
                best = (away, at, index)
    if best is None or not wanted:
        return False
    _, at, index = best
    segment = transcript.segments[at]
    first, last = segment.words[index], segment.words[index + len(wanted) - 1]
    words = put.split()
    step = (last.end - first.start) / max(len(words), 1)
    spoken = list(segment.words)
    spoken[index : index + len(wanted)] = [
        # Certain, since a person wrote it; with a probability still, since the words beside it were recognised.
        r.WordRow(
            text=text,
            start=rounded(first.start + n * step),
            end=rounded(first.start + (n + 1) * step),
            probability=None if first.probability is None else 1.0,
        )
        for n, text in enumerate(words)
    ]
    said = " ".join(word.text for word in spoken)
    transcript.segments[at] = segment.model_copy(update={"words": spoken, "text": said})
    return True
