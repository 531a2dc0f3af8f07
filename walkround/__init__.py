"""walkround: from a filmed, spoken walk-round of a used motorcycle to a condition report."""

__version__ = "0.1.0"
