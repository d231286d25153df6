"""The browser's tables: what the scripts walk, written from the Python core at build time."""
