"""The one hand that writes in files typed by people: job.yaml, photos.yaml and the sheets of an office.

In: a file as it was shown, and what to set, add or take away by its path. Out: the same file with just that
changed, every comment, blank line, quoting and order as it was. Must not know what a field means. Begin at
`text.py`; `spans.py` is where each value stands, `means.py` what a file says by the reader's own counting, and
`file.py` puts a new text in place of the one that was shown and keeps the old one for one undo.
"""
