"""Pictures as evidence: stills and clips for what was said, and where little can be seen."""
