"""Many mutants of good jobs, within the types of their values, and a table of what the program says of each field.

In: how many, and a seed. Out: the table, and every outcome that the lists of the everyday test do not know. Run by
hand: `python -m tests.soak.mutants 5000 7`. The everyday test looks at a few hundred of the same kind.
"""

import sys
import time
from collections import Counter, defaultdict
from concurrent.futures import ProcessPoolExecutor
from itertools import groupby

from tests.jobs.mutants import Came, Mutant, Outcome, fields_of_the_record, mutants, outcome
from tests.jobs.test_mutants import LISTED, unexplained


def _came(mutant: Mutant) -> Outcome | str:
    try:
        return outcome(mutant)
    except Exception as problem:
        return f"{mutant} raised {problem!r}"


def sweep(count: int, seed: int, workers: int = 2) -> None:
    """Print what came of so many mutants, field by field."""
    began = time.monotonic()
    drawn = mutants(count, seed)
    with ProcessPoolExecutor(workers) as pool:
        found = list(pool.map(_came, drawn, chunksize=20))
    raised = [one for one in found if isinstance(one, str)]
    outcomes = [one for one in found if isinstance(one, Outcome)]
    counted = Counter(one.came for one in outcomes)
    print(f"{len(drawn)} mutants, seed {seed}, {time.monotonic() - began:.0f} s")
    print("; ".join(f"{came.value}: {counted[came]}" for came in Came), f"; raised: {len(raised)}")
    readier = [one for one in outcomes if one.readier]
    print(f"fewer things are held up than in the unchanged job: {len(readier)}")

    print(
        "\n| field | " + " | ".join(came.value for came in Came) + " | ways that no item tells of |"
    )
    print("|" + "---|" * (len(Came) + 2))
    for field, group in groupby(
        sorted(outcomes, key=lambda o: o.mutant.field), lambda o: o.mutant.field
    ):
        rows = list(group)
        counts = Counter(one.came for one in rows)
        silent = {one.mutant.way for one in rows if one.came in (Came.SHOWN, Came.NOTHING)}
        cells = " | ".join(str(counts[came] or "") for came in Came)
        print(f"| `{field}` | {cells} | {', '.join(sorted(silent))} |")

    never = fields_of_the_record() - {one.mutant.field for one in outcomes}
    print(f"\nfields that no mutant changed: {', '.join(sorted(never)) or 'none'}")
    silent_fields = defaultdict(set)
    for one in outcomes:
        if one.came in (Came.SHOWN, Came.NOTHING):
            silent_fields[one.mutant.field].add(one.came)
    told = sorted(field for field in LISTED if field not in silent_fields)
    print(f"listed, and an item told of every mutant: {', '.join(told) or 'none'}")
    unknown = [text for one in outcomes if (text := unexplained(one))]
    for text in (*raised, *unknown):
        print(text)
    if raised or unknown:
        raise SystemExit(1)


if __name__ == "__main__":
    sweep(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 7)
