"""The owner's ratings and those of the example are never learned from together."""

from webapp.palate.use.taster import select_taster

SAMPLE = {"id": "s", "example": True, "liking": 3}
OWN = {"id": "o", "liking": 8}


def ids(tastings, **options):
    found = select_taster(tastings, **options)
    return [one["id"] for one in found.tastings], found.is_example


def test_example_teaches_while_the_owner_has_no_rating():
    assert ids([SAMPLE, {"id": "unrated"}]) == (["s"], True)


def test_own_rating_leaves_the_example_out():
    assert ids([SAMPLE, OWN, {"id": "unrated"}]) == (["o", "unrated"], False)


def test_own_rating_of_a_corked_bottle_leaves_the_example():
    corked = {**OWN, "faults": ["corked"]}
    assert ids([SAMPLE, corked]) == (["s"], True)
    assert ids([SAMPLE, {**corked, "fault_counts": True}]) == (["o"], False)


def test_example_is_learned_from_when_asked_for():
    assert ids([SAMPLE, OWN], wants_example=True) == (["s"], True)


def test_notebook_without_ratings_is_the_owners():
    assert ids([]) == ([], False)
    assert ids([{"id": "unrated"}], wants_example=True) == (["unrated"], False)
