"""Times as people write them: ``9:31``, ``1:02:05``. All values are seconds as floats."""

import re

_CLOCK = re.compile(r"(?:(\d+):)?(\d{1,3}):(\d{1,2}(?:[.,]\d+)?)")


def clock(seconds: float) -> str:
    """Seconds as ``m:ss`` or ``h:mm:ss``, rounded down, so that a jump never lands after the words."""
    whole = max(0, int(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, secs = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{secs:02}" if hours else f"{minutes}:{secs:02}"


def parse_clock(text: str) -> float:
    """Seconds from ``m:ss``, ``h:mm:ss``, with an optional fraction after a full stop or a comma.

    Raises ValueError when the text is not a time, or when seconds (or minutes beside hours) reach 60.
    """
    match = _CLOCK.fullmatch(text.strip())
    if not match:
        raise ValueError(f"not a time: {text!r}")
    hours, minutes, secs = match[1], int(match[2]), float(match[3].replace(",", "."))
    if secs >= 60 or (hours and minutes >= 60):
        raise ValueError(f"not a time: {text!r}")
    return int(hours or 0) * 3600 + minutes * 60 + secs


def vtt_clock(seconds: float) -> str:
    """Seconds as a WebVTT time, ``hh:mm:ss.mmm``."""
    whole, thousandths = divmod(round(max(0.0, seconds) * 1000), 1000)
    return f"{whole // 3600:02}:{whole // 60 % 60:02}:{whole % 60:02}.{thousandths:03}"
