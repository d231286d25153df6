"""Phrases: musical typesetting and the sentences of the catalogues, filled with values."""
