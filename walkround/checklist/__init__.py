"""What a walk-round must cover, and what this one did."""
