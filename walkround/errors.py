"""Errors that a person can cause and can mend."""

from pathlib import Path


class WalkroundError(Exception):
    """A fault in what the person gave us. The message is one sentence: which file, what is wrong, what to do.

    The command line prints the message alone and ends with exit status 2.
    """


class MediaError(WalkroundError):
    """A video or sound file that cannot be used."""


class TranscriptError(WalkroundError):
    """A transcript file that cannot be read."""


class WeightsError(WalkroundError):
    """Speech weights that cannot be found, are damaged, or do not fit this machine."""


class LexiconError(WalkroundError):
    """A fault in a lexicon file; the message names the file and the line."""


class OutputError(WalkroundError):
    """An output folder that cannot be written or must not be overwritten."""


class InputError(WalkroundError):
    """Something else that was given and cannot be used: a folder that is no walk-round, an unknown kind."""


def shown(path: str | Path) -> str:
    """A path as it is shown in a message: control characters made visible, so that it stays one line."""
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in str(path))
