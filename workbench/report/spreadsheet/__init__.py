"""The workbook that is handed over, with live formulas; ``workbench.report.sheet`` writes it.

Each variant has three sheets.  The *spec sheet* (``variant``) has the inputs (``inputs``), the results (``nutrition``)
and what a pack has to say (``pack``); the *calculation* transcribes the engine cell by cell (``calculation``,
``portioning``, ``amounts``, ``judging``, ``declared``, ``charts``); the *composition* has what both rest on
(``composition``, ``sources``).  ``comparison`` sets variants beside each other.

``places`` knows where everything stands before a cell is written; ``formula`` and ``figures`` make formulas and the
same words for viewers that do not calculate; ``page`` puts rows on a worksheet, ``look`` has colours and formats,
``safe_text`` makes text of users harmless.
"""
