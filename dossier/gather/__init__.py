"""A heap of files from phones, mail and memory cards into photos and papers filed in the job.

In: folders, zips and single files, read and never changed; the record of one job. Out: a proposal with
a reason for each file, and then copies under `photos/` and `papers/` with their entries in
`photos.yaml`; a supplier's ticket becomes a delivery in `job.yaml`. Must not know the office's sheets
nor how a proposal is printed. Begin at `proposal.py`; `heap.py` is how files are reached, `asked.py` how photos
are asked about in runs, `filing.py` how they are filed so that a kill at any moment leaves the job whole.
"""
