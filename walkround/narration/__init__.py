"""From words to statements about the parts of a motorcycle."""
