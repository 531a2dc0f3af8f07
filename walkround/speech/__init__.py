"""From sound to words: weights, recognition, and transcripts made elsewhere."""
