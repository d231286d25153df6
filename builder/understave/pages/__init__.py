"""Pages: values and templates → the site's pages, joined with lessons. Nothing here knows MkDocs."""
