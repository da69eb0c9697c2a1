"""Foreign composition tables, brought in: how one is laid out, what its columns are, which conventions it follows.

``detection.detect`` finds the layout, ``detection.make_plan`` the columns and choices, ``running`` reads by the plan: a
preview, a dry run, the import into the library.  Each layout has a reader of its own (``fdc_csv``, ``fdc_json``,
``standard_reference``, ``wide``, ``long``, ``product``, ``exported``) that yields drafts in our units;
``conventions.settle`` makes foods of them.  ``bundle``, ``text_rows``, ``workbook`` and ``grid`` read files that nobody
vouches for, within bounds; ``cells`` reads one cell, ``headers`` one title, ``looking`` what only figures can tell;
``remembering`` keeps what the user said of the columns.
"""
