"""What a person did with a report: the edit log, applying it, signing off, checking, and the page for it."""
