"""Entries: YAML files read, checked and typed. The pydantic models in `schema.py` are the schema."""
