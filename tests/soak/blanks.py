"""Leave every place of every made-up job blank in turn, and print what a rule reads and does not declare.

`python -m tests.soak.blanks` takes some minutes. The everyday run does the same with nine jobs.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from dossier.rules.book import rule_book
from dossier.rules.declare import GROUND
from dossier.rules.facts import address_of
from tests import jobs
from tests.blanks import noticed
from tests.jobs.made_up import loaded, made_up
from tests.known_good import Known, Unreadable, known_good
from tests.rules.test_rests_on import covers


def every_job() -> Iterator[tuple[str, Known]]:
    """Yield the known-good job and every made-up one that can be read."""
    yield "the known-good job", known_good()
    for folder in sorted(Path(jobs.__file__).parents[1].glob("*jobs/*/expected.yaml")):
        name, shelf = folder.parent.name, folder.parents[1]
        expected = loaded(name, "expected.yaml", shelf)
        today = expected["today"] if "today" in expected else expected["days"][-1]["today"]
        try:
            yield name, made_up(name, date.fromisoformat(today), shelf)
        except Unreadable:
            continue


def main() -> None:
    """Print each rule and fact that is not declared, with the number of places."""
    rests_on = {rule.id: tuple(rule.rests_on) for rule in rule_book()}
    found: Counter[tuple[str, str]] = Counter()
    for name, known in every_job():
        print(name, flush=True)
        for path, id_ in noticed(known):
            address = address_of(path)
            if address not in GROUND and not any(covers(one, address) for one in rests_on[id_]):
                found[id_, address] += 1
    for (id_, address), count in sorted(found.items()):
        print(id_, address, count)


if __name__ == "__main__":
    main()
