"""Engraving: values of the theory → finished SVG with its words; the keyboard drawing; the picture cache."""
