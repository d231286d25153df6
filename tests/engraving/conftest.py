"""What the tests of engraving share."""

from .drawn import drawn

__all__ = ["drawn"]
