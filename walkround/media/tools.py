"""The ffmpeg program that cuts clips and writes chapters."""

import shutil

import imageio_ffmpeg

from walkround.errors import MediaError


def ffmpeg_path() -> str:
    """The system's ffmpeg where there is one, else the one that imageio-ffmpeg carries.

    Raises MediaError when there is neither.
    """
    system = shutil.which("ffmpeg")
    if system:
        return system
    try:
        return str(imageio_ffmpeg.get_ffmpeg_exe())
    except RuntimeError as error:
        raise MediaError(
            "ffmpeg is not on this computer; install it from your system's packages, "
            "or run 'pip install --force-reinstall imageio-ffmpeg'."
        ) from error
