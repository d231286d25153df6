"""What the tests of the built site share."""

from ..built_site import demo

__all__ = ["demo"]
