"""Explorers, a file a lesson; here the question that several of them ask last: whose rules count."""
from ...tables import records
from ..panel import Choice

NO_PLACE = "no place set"


def places():
    """Every place that the rows know; first none."""
    return (NO_PLACE, *(record["place"] for record in records("rules_places")))


def place_of(word):
    """The place that a word of PLACE stands for, as `rules` takes it: "" for none."""
    return "" if word == NO_PLACE else word


PLACE = Choice("place", "place", places, NO_PLACE)
