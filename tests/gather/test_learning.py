"""Which words of names are worth keeping: those that were news, and of one meaning."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from dossier.gather.heap import Heap
from dossier.gather.learning import news_of_words
from dossier.gather.proposal import Proposal, propose
from dossier.words import Phase
from tests.gather.test_proposal import fact, known, seen

Places = Mapping[str, tuple[Phase | None, str | None]]

OTHERS: Places = {
    "mail/a/IMG_7001.jpg": (Phase.FIELD, "front"),
    "mail/b/IMG_7002.jpg": (Phase.DECK, "back"),
}


def news(
    places: Places, own: Mapping[str, Phase] | None = None, slopes: Mapping[str, str] | None = None
) -> list[tuple[str, Phase | str | None, int]]:
    """Return the words that these choices offer, beside two photos of other things."""
    has = replace(known(), phase_words=own or {}, slope_words=slopes or {})
    chosen = {**OTHERS, **places}
    before = propose(Heap(tuple(seen(fact(name)) for name in chosen), ()), has)
    after = (
        replace(one, phase=chosen[one.name][0], slope=chosen[one.name][1]) for one in before.files
    )
    found = news_of_words(before, Proposal(tuple(after), ()), has)
    return [(one.word, one.phase or one.slope, one.photos) for one in found]


DRIP, ICE = Phase.DRIP_EDGE, Phase.ICE_BARRIER


@pytest.mark.parametrize(
    ("places", "offered"),
    [
        ({"mail/tin/1.jpg": (DRIP, None), "mail/Tin/2.jpg": (DRIP, None)}, [("tin", DRIP, 2)]),
        ({"mail/tin/1.jpg": (DRIP, "front"), "mail/tin/2.jpg": (DRIP, "back")}, [("tin", DRIP, 2)]),
        (
            {"mail/street/1.jpg": (DRIP, "front"), "mail/street/2.jpg": (ICE, "front")},
            [("street", "front", 2)],
        ),
        ({"mail/tin 1.jpg": (DRIP, None), "mail/tin 2.jpg": (DRIP, None)}, [("tin", DRIP, 2)]),
        # One photo is no habit.
        ({"mail/tin/1.jpg": (DRIP, None)}, []),
        # Phase or slope: nobody can tell.
        ({"mail/tin/1.jpg": (DRIP, "front"), "mail/tin/2.jpg": (DRIP, "front")}, []),
        # Two meanings.
        ({"mail/tin/1.jpg": (DRIP, None), "mail/tin/2.jpg": (ICE, None)}, []),
        # What the name says anyway, by its own word or by another beside it.
        ({"mail/drip edge/1.jpg": (DRIP, None), "mail/drip edge/2.jpg": (DRIP, None)}, []),
        ({"mail/drip done/1.jpg": (DRIP, "front"), "mail/drip done/2.jpg": (DRIP, "back")}, []),
        # A word of the trade that this office uses otherwise.
        ({"mail/felt/1.jpg": (ICE, "front"), "mail/felt/2.jpg": (ICE, "back")}, [("felt", ICE, 2)]),
        # Folders of phones and days, and the source itself.
        ({"mail/DCIM/1.jpg": (DRIP, None), "mail/DCIM/2.jpg": (DRIP, None)}, []),
        ({"mail/monday/1.jpg": (DRIP, None), "mail/monday/2.jpg": (DRIP, None)}, []),
        ({"tin/1.jpg": (DRIP, None), "tin/2.jpg": (DRIP, None)}, []),
    ],
)
def test_a_word_is_offered_where_it_is_news_and_means_one_thing(
    places: Places, offered: list[tuple[str, Phase | str | None, int]]
) -> None:
    assert news(places) == offered


def test_a_kept_word_is_offered_to_be_changed_or_forgotten_when_photos_go_elsewhere() -> None:
    other = {"mail/tin/1.jpg": (ICE, None), "mail/tin/2.jpg": (ICE, None)}
    assert news(other, {"tin": DRIP}) == [("tin", ICE, 2)]
    mixed = {"mail/tin/1.jpg": (ICE, None), "mail/tin/2.jpg": (DRIP, None)}
    assert news(mixed, {"tin": DRIP}) == [("tin", None, 1)]
    right = {"mail/tin/1.jpg": (DRIP, None), "mail/tin/2.jpg": (DRIP, None)}
    assert news(right, {"tin": DRIP}) == []
    assert news({"mail/street/1.jpg": (ICE, "back")}, slopes={"street": "front"}) == [
        ("street", None, 1)
    ]
