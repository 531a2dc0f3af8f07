"""Reading media files: what is in them, their sound, their pictures."""
