"""The names of SVG's elements, as ElementTree has them."""

SVG = "http://www.w3.org/2000/svg"


def svg_tag(name: str) -> str:
    """Return an element's tag with SVG's namespace."""
    return f"{{{SVG}}}{name}"
