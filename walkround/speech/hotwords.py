"""A list of words the recogniser should lean towards, cut to what it can take."""

from collections.abc import Sequence

from tokenizers import Tokenizer

from walkround.speech.weights import Weights

#: faster-whisper takes up to 223 tokens and cuts the rest off without a word. Few work better: 49 tokens (19
#: words) raised the recall of part and defect words, 200 tokens made base go round in circles and lose 97
#: words of one narration (see walkround/speech/transcribe.py for the figures).
TOKEN_LIMIT = 60


def fit_hotwords(words: Sequence[str], tokenizer_or_weights: Tokenizer | Weights, limit: int = TOKEN_LIMIT) -> str:
    """As many of the words as ``limit`` tokens hold, most wanted first, joined by commas.

    Repeats are passed over, and so is a word too long for the room left, where a later one may still fit.
    """
    if isinstance(tokenizer_or_weights, Weights):
        tokenizer = Tokenizer.from_file(str(tokenizer_or_weights.folder / "tokenizer.json"))
    else:
        tokenizer = tokenizer_or_weights
    chosen: dict[str, str] = {}
    used = 0
    for word in words:
        text = " ".join(word.split())
        if not text or text.casefold() in chosen:
            continue
        # The tokenizer never joins across a comma or into a space, so the lengths add up.
        length = len(tokenizer.encode(f", {text}" if chosen else f" {text}", add_special_tokens=False).ids)
        if used + length <= limit:
            chosen[text.casefold()] = text
            used += length
    return ", ".join(chosen.values())
