"""A camera's own clock into a moment that can be compared with another.

In: a `PhotoFact` and the zone of the job. Out: a moment in UTC and what was assumed for it. Must not
know what the photo is filed under.
"""

from datetime import UTC, datetime, tzinfo

from dossier.evidence.facts import PhotoFact

JOB_ZONE = "the job's time zone"


def taken_at_utc(fact: PhotoFact, zone: tzinfo) -> tuple[datetime, str | None]:
    """Return when a photo was taken, in UTC, and what was assumed in saying so.

    zone: of the job. The second is None where the camera gave its offset itself, else “the job's time
    zone”, to be said wherever the moment is used. An hour that clocks went through twice is taken for
    its first time (PEP 495, fold=0). Raises ValueError where the camera gave no time at all.
    """
    if fact.taken_at_local is None:
        raise ValueError(f"{fact.file} has no camera time")
    try:
        if fact.taken_offset is not None:
            return (fact.taken_at_local - fact.taken_offset).replace(tzinfo=UTC), None
        return fact.taken_at_local.replace(tzinfo=zone).astimezone(UTC), JOB_ZONE
    except OverflowError:
        # A camera may write the first or the last day there is, and UTC would lie beyond it.
        assumed = JOB_ZONE if fact.taken_offset is None else None
        return fact.taken_at_local.replace(tzinfo=UTC), assumed
