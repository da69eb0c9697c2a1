"""A table of foods as files that import again without loss.

``columns`` says what stands where, for writing here and for reading in ``imports.exported``; ``sheets`` lays foods out,
``files`` writes them as a workbook or as CSV files in a zip.
"""
