"""What the spoken numbers mean: held against published values, each with its source. Never advice, never a verdict."""
