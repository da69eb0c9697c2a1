"""The spreadsheet of values that is handed over; ``workbench.report.sheet`` writes it.

``safe_text`` makes text of users harmless, ``look`` holds colours and formats, ``page`` puts rows on a worksheet and
decides where a printed page ends.  ``variant``, ``nutrition``, ``sources`` and ``overview`` say what the rows hold.
"""
