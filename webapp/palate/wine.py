"""Wine as one configuration of the learner: the face that the rest of the server calls."""

from .book import learn_book
from .document import palate_document
from .wine_styles import ATTRIBUTES, warmth_of, wine_world

__all__ = ["ATTRIBUTES", "learn_book", "palate_document", "warmth_of", "wine_world"]
