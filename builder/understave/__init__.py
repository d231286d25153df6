"""A static-site theory glossary for piano lessons."""
