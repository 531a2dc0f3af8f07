"""What is published from the record: chapters, captions, print, a page to share, tables and an advert's text.

Every text here is a pure function of the record: the same record gives the same bytes.
"""
