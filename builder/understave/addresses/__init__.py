"""Addresses: slugs, the ledger of published permalinks, redirects."""
