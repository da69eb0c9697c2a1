"""Wrapper labels: ``sheet`` is the paper with its rows and columns, ``layout`` sets labels on it and writes them."""
